"""Where the plan has a balloon at a moment."""

import pytest

from farglide.air.sounding import Sounding
from farglide.chances.ensemble import Ensemble
from farglide.flightfile.flightfile import FlightFile
from farglide.live.asking import as_planned
from farglide.live.expecting import expected
from farglide.sim.core.workers import in_one_go
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.track.typed.known import LastPlace


@pytest.fixture(scope="module")
def climb_planned(demo_flight: FlightFile, demo_sounding: Sounding) -> Ensemble:
    """Return the demo's climbs: 26.3 km high, 43 km east and 37 km south of the launch at T+76."""
    pack = Pack(flight_text="", sounding=demo_sounding)
    grain = Grain(n_draws=60, clock_s=60.0, prices_mps=(8.0,), slab=5)
    return as_planned(demo_flight.sortie, pack, grain, in_one_go)


def test_it_is_where_the_middle_draw_is(climb_planned: Ensemble) -> None:
    launch = climb_planned.sortie.launch
    begun = expected(climb_planned, launch.t_s)
    assert begun is not None
    assert (begun.lat_deg, begun.lon_deg) == pytest.approx((launch.lat_deg, launch.lon_deg))
    now = expected(climb_planned, launch.t_s + 76.0 * 60.0)
    assert now is not None
    assert now.amsl_m == pytest.approx(26_300.0, abs=1000.0)
    assert now.lat_deg == pytest.approx(-46.5 - 36.6 / 111.195, abs=0.05)
    assert now.lon_deg == pytest.approx(108.0 + 43.2 / 76.542, abs=0.07)


def test_it_is_moved_by_what_the_last_place_was_off(climb_planned: Ensemble) -> None:
    t_s = climb_planned.sortie.launch.t_s
    then = expected(climb_planned, t_s + 600.0)
    assert then is not None
    last = LastPlace(
        lat_deg=then.lat_deg + 0.1, lon_deg=then.lon_deg - 0.2, amsl_m=3000.0, t_s=t_s + 600.0
    )
    free = expected(climb_planned, t_s + 1200.0)
    moved = expected(climb_planned, t_s + 1200.0, last)
    assert free is not None
    assert moved is not None
    assert moved.lat_deg - free.lat_deg == pytest.approx(0.1)
    assert moved.lon_deg - free.lon_deg == pytest.approx(-0.2)


def test_before_the_launch_and_long_after_the_burst_it_is_nowhere(climb_planned: Ensemble) -> None:
    t_s = climb_planned.sortie.launch.t_s
    assert expected(climb_planned, t_s - 60.0) is None
    assert expected(climb_planned, t_s + 40_000.0) is None
    tracks = climb_planned.climbs.tracks
    assert expected(climb_planned, t_s + (tracks.amsl_m.shape[1] - 1) * tracks.step_s) is None
