"""Season: launch times, launch spots and fills compared, cell by cell, and put in order."""

from dataclasses import dataclass
from typing import Literal

from farglide.earth.state import Place
from farglide.outlook.ascent import Spread
from farglide.outlook.document import Documented
from farglide.outlook.launch import Kind

Limit = Literal[
    "", "barred", "ground wind", "stand", "height", "wind", "packs", "light", "links", "burst"
]
"""What keeps a cell from being enough, the first of these that does; empty where nothing does."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparedSpot:
    """A spot that is compared: the stated launch, a prepared place, or one of an even grid."""

    name: str
    kind: Kind
    lat_deg: float
    lon_deg: float
    drive_s: float  # from home
    drive_guessed: bool
    barred: str  # what bars a launch there; empty where nothing does

    @property
    def place(self) -> Place:
        """Return where it lies, at sea level."""
        return Place(lat_deg=self.lat_deg, lon_deg=self.lon_deg, amsl_m=0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Crossed:
    """An area that the climb may pass over, and with what chance before the release or burst."""

    name: str
    kind: str
    chance_ratio: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonCell:
    """One launch time, spot and fill; chances released at the wished height or above."""

    launch_t_s: float
    spot: int  # of `spots`
    neck_lift_kg: float
    home_ratio: float
    any_field_ratio: float
    home_any_height_ratio: float  # released at any height
    height_ratio: float  # that the balloon is whole at the wished height
    shut_s: float  # home is not open, from T+3 min to the median burst
    release_by_after_launch_s: float | None  # for the wish; None: no release is worth it
    burst_amsl_m: Spread
    burst_after_launch_s: Spread
    drift_m: float  # of the middle draw, to its burst
    drift_deg: float  # true bearing
    crossed: tuple[Crossed, ...]  # borders and no-landing areas, the likeliest first
    light_left_s: float | None  # from landing at best glide, or the packs' end, to dusk
    ground_wind_mps: float
    landing_wind_mps: float  # low over home, when it lands
    landing_wind_from_deg: float
    strongest_mps: float  # of the winds below the burst
    strongest_amsl_m: float
    limit: Limit
    reason: str  # that limit in a few words

    @property
    def wished_ratio(self) -> float:
        """Return the better of both chances: of any field, home among them."""
        return max(self.home_ratio, self.any_field_ratio)


@dataclass(frozen=True, slots=True, kw_only=True)
class Early:
    """That a launch time is too far off to be judged, and when to look again."""

    launch_t_s: float
    look_t_s: float  # a forecast by then tells enough, if it stays as it is told now
    chance_ratio: float  # of its best cell, as doubted now
    then_ratio: float  # the same winds, doubted as little as then


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonOutlook(Documented):
    """What was compared, the best first."""

    name: str
    zone: str
    bring_to: str  # home, or any field
    wanted_amsl_m: float
    enough_ratio: float
    ground_wind_limit_mps: float
    n_draws: int
    seed: int
    wind_origin: str
    run_t_s: float | None
    spots: tuple[ComparedSpot, ...]
    cells: tuple[SeasonCell, ...]  # the best first
    early: tuple[Early, ...]  # by launch time
    changes: tuple[str, ...]  # what would change the order of the first
    left_out: tuple[str, ...]  # launch times and fills that could not be asked, and why
    notes: tuple[str, ...]

    def chance(self, cell: SeasonCell) -> float:
        """Return the chance that counts by the wish."""
        return cell.home_ratio if self.bring_to == "home" else cell.wished_ratio
