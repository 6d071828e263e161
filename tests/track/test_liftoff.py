"""Liftoff: the moment a balloon leaves the hand, by its own fixes, injected and recovered."""

import numpy as np
import pytest

from farglide.track.liftoff import liftoff_t_s
from farglide.track.reports import Fix

T_S = 1_800_000_000.0
GROUND_M = 240.0


def climb(left_s: float, every_s: float, climb_mps: float = 5.2, off_m: float = 0.0) -> list[Fix]:
    """Return fixes of a balloon on the hand until `left_s`, noise of 5 m drawn beforehand."""
    rng = np.random.default_rng(4)
    times = np.arange(0.0, left_s + 600.0, every_s)
    heights = GROUND_M + off_m + climb_mps * np.maximum(times - left_s, 0.0)
    heights += rng.normal(0.0, 5.0, len(times))
    return [
        Fix(feed="a", lat_deg=0.0, lon_deg=0.0, t_s=T_S + t_s, height_m=z)
        for t_s, z in zip(times.tolist(), heights.tolist(), strict=True)
    ]


@pytest.mark.parametrize(("every_s", "within_s"), [(1.0, 1.0), (10.0, 3.0), (60.0, 12.0)])
@pytest.mark.parametrize("climb_mps", [3.0, 5.2, 8.0])
def test_the_moment_is_recovered(every_s: float, within_s: float, climb_mps: float) -> None:
    found = liftoff_t_s(climb(777.0, every_s, climb_mps), GROUND_M)
    assert found == pytest.approx(T_S + 777.0, abs=within_s)


def test_a_height_that_is_off_on_the_hand_too_moves_nothing() -> None:
    found = liftoff_t_s(climb(777.0, 1.0, off_m=15.0), GROUND_M)
    assert found == pytest.approx(T_S + 777.0, abs=1.5)


def test_from_fixes_in_the_air_alone_the_line_goes_down_to_the_ground() -> None:
    fixes = [one for one in climb(777.0, 5.0) if (one.height_m or 0.0) > GROUND_M + 100.0]
    assert liftoff_t_s(fixes, GROUND_M) == pytest.approx(T_S + 777.0, abs=3.0)


def test_what_was_not_seen_is_not_told() -> None:
    fixes = climb(777.0, 5.0)
    high = [one for one in fixes if (one.height_m or 0.0) > GROUND_M + 1100.0]
    low = [one for one in fixes if (one.height_m or 0.0) < GROUND_M + 250.0]
    bare = [Fix(feed="a", lat_deg=0.0, lon_deg=0.0, t_s=T_S)]
    timeless = [Fix(feed="a", lat_deg=0.0, lon_deg=0.0, height_m=500.0)]
    for some in (high, low, bare, timeless, [], climb(60.0, 1.0, climb_mps=20.0)):
        assert liftoff_t_s(some, GROUND_M) is None


def test_a_hill_on_the_way_to_the_launch_is_no_liftoff() -> None:
    """The tracker rides over a hill of 150 m before: only the last climb from the ground counts."""
    fixes = climb(1200.0, 5.0)
    hill = [
        Fix(feed="a", lat_deg=0.0, lon_deg=0.0, t_s=one.t_s,
            height_m=(one.height_m or 0.0) + 150.0 * (k < 60))
        for k, one in enumerate(fixes)
    ]  # fmt: skip
    assert liftoff_t_s(hill, GROUND_M) == pytest.approx(T_S + 1200.0, abs=3.0)
