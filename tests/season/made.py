"""What the tests of a comparison share: the demo flight, its winds everywhere or changing."""

from dataclasses import dataclass, replace
from functools import cache

from tests.around import around

from farglide.air.gridcolumn import sounding_over
from farglide.air.sounding import Sounding
from farglide.air.windgrid import WindGrid
from farglide.cli.inputs import Wanted, flight_and_pack
from farglide.cli.plan import DEMO
from farglide.earth.state import Place
from farglide.outlook.ascent import Spread
from farglide.outlook.season import ComparedSpot, SeasonCell, SeasonOutlook
from farglide.plan.polarfit import with_fitted_polar
from farglide.season.world import OneColumn, World
from farglide.sortie.grain import Grain

GRAIN = Grain(n_draws=60)


@cache
def world() -> World:
    """Return the demo flight in its own winds, the same everywhere."""
    flight, pack = flight_and_pack(Wanted(file=DEMO, winds=None, pack=None, out=None))
    winds = OneColumn(pack.sounding)
    return World(flight=with_fitted_polar(flight), winds=winds, terrain=pack.terrain)


@dataclass(frozen=True)
class Changing:
    """Winds that differ from place to place and from hour to hour."""

    grid: WindGrid

    def __call__(self, place: Place, t_s: float) -> Sounding:
        return replace(sounding_over(self.grid, place, t_s), around=self.grid)


def changing(east: float, later: float) -> World:
    """Return the demo in winds m/s stronger each 100 km to the east and each hour."""
    one = world()
    assert isinstance(one.winds, OneColumn)
    launch = one.flight.sortie.launch
    return replace(one, winds=Changing(around(one.winds.sounding, launch, east, later)))


SPREAD = Spread(p10=28_000.0, p50=29_900.0, p90=31_000.0)
HOME = ComparedSpot(
    name="Home strip", kind="launch", lat_deg=-46.5, lon_deg=108.0, drive_s=0.0,
    drive_guessed=False, barred="",
)  # fmt: skip
EVEN = ComparedSpot(
    name="25 km at 270°", kind="free", lat_deg=-46.5, lon_deg=107.67, drive_s=2430.0,
    drive_guessed=True, barred="",
)  # fmt: skip
T_S = 1_800_700_000.0
CELL = SeasonCell(
    launch_t_s=T_S, spot=0, neck_lift_kg=1.6, home_ratio=0.93, any_field_ratio=0.97,
    home_any_height_ratio=0.95, height_ratio=0.99, shut_s=1800.0,
    release_by_after_launch_s=4300.0, burst_amsl_m=SPREAD,
    burst_after_launch_s=Spread(p10=4700.0, p50=4980.0, p90=5300.0), drift_m=43_000.0,
    drift_deg=134.0, crossed=(), light_left_s=7200.0, ground_wind_mps=3.5, landing_wind_mps=3.6,
    landing_wind_from_deg=328.0, strongest_mps=36.0, strongest_amsl_m=10_050.0, limit="",
    reason="",
)  # fmt: skip
OUTLOOK = SeasonOutlook(
    name="Amber evening", zone="UTC+07:00", bring_to="home", wanted_amsl_m=20_000.0,
    enough_ratio=0.9, ground_wind_limit_mps=5.0, n_draws=200, seed=1, wind_origin="made up",
    run_t_s=None, spots=(HOME, EVEN), cells=(CELL,), early=(), changes=(), left_out=(), notes=(),
)  # fmt: skip
