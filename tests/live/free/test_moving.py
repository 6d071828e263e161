"""Moving: track and speed of the last fixes, none of what is old."""

import pytest

from farglide.live.free.moving import moving
from farglide.live.ride.state import Ride
from farglide.track.reports import Fix

T_S = 1_800_000_000.0


def ride(*east_m: float, step_s: float = 10.0) -> Ride:
    """Return a ride with a fix each step, so far east along the equator."""
    fixes = tuple(
        Fix(feed="tracker", lat_deg=0.0, lon_deg=one / 111_319.5, t_s=T_S + step_s * k,
            height_m=9_000.0)
        for k, one in enumerate(east_m)
    )  # fmt: skip
    return Ride(kept=fixes, newest=fixes[-1])


def test_it_is_told_over_half_a_minute_of_fixes() -> None:
    """Turned about half a minute ago: what was before it does not count."""
    found = moving(ride(0.0, 300.0, 600.0, 400.0, 200.0, 0.0), T_S + 52.0)
    assert found is not None
    assert found.to_deg == pytest.approx(-90.0 % 360.0)
    assert found.mps == pytest.approx(20.0, rel=1e-3)


def test_of_old_or_few_fixes_nothing_is_told() -> None:
    assert moving(ride(0.0, 100.0), T_S + 75.0) is None
    assert moving(ride(0.0), T_S) is None
    assert moving(ride(0.0, 20.0, step_s=2.0), T_S + 2.0) is None
    assert moving(Ride(), T_S) is None
