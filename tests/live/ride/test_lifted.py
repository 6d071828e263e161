"""The launch by its own fixes: told once, and nothing else moves it."""

from dataclasses import replace

import pytest

from farglide.live.ride.lifted import with_liftoff
from farglide.live.ride.phase import Phase, launch_of, phase_of
from farglide.live.ride.state import Ride
from farglide.live.ride.task import Entered
from farglide.sortie.spec import Launch
from farglide.track.reports import Fix
from farglide.track.typed.entries import LaunchLate, Mark, MarkKind

T_S = 1_800_000_000.0
LAUNCH = Launch(name="Strip", lat_deg=-46.5, lon_deg=108.0, amsl_m=240.0, t_s=T_S, zone="UTC")


def climbed(left_s: float, to_s: float) -> Ride:
    """Return a ride that has heard a climb at 5 m/s, each 5 s, from a minute before it began."""
    ride = Ride()
    for k in range(int((to_s - left_s + 60.0) / 5.0)):
        t_s = left_s - 60.0 + 5.0 * k
        height_m = 240.0 + 5.0 * max(t_s - left_s, 0.0)
        fix = Fix(feed="a", lat_deg=-46.5, lon_deg=108.0, t_s=T_S + t_s, height_m=height_m)
        ride = with_liftoff(replace(ride, kept=(*ride.kept, fix), newest=fix), LAUNCH)
    return ride


@pytest.mark.parametrize("left_s", [-900.0, 0.0, 1500.0])
def test_a_launch_that_nobody_marked_is_told_by_the_climb(left_s: float) -> None:
    ride = climbed(left_s, left_s + 120.0)
    assert ride.lifted_t_s == pytest.approx(T_S + left_s, abs=1.0)
    assert launch_of(ride, LAUNCH).t_s == ride.lifted_t_s
    assert phase_of(ride, launch_of(ride, LAUNCH), T_S + left_s + 120.0) is Phase.CLIMB


def test_it_is_told_at_300_m_and_kept() -> None:
    assert climbed(300.0, 350.0).lifted_t_s is None
    first = climbed(300.0, 375.0).lifted_t_s
    assert first is not None
    assert climbed(300.0, 600.0).lifted_t_s == first


def test_a_mark_counts_more_and_what_was_planned_counts_less() -> None:
    ride = climbed(300.0, 400.0)
    late = Entered(number=1, t_s=T_S, entry=LaunchLate(late_s=1200.0))
    assert launch_of(replace(ride, entries=(late,)), LAUNCH).t_s == ride.lifted_t_s
    mark = Entered(number=2, t_s=T_S + 310.0, entry=Mark(kind=MarkKind.LAUNCHED))
    assert launch_of(replace(ride, entries=(late, mark)), LAUNCH).t_s == T_S + 310.0


def test_a_mark_typed_minutes_late_does_not_move_the_launch() -> None:
    ride = climbed(300.0, 400.0)
    mark = Entered(number=2, t_s=T_S + 960.0, entry=Mark(kind=MarkKind.LAUNCHED))
    assert launch_of(replace(ride, entries=(mark,)), LAUNCH).t_s == ride.lifted_t_s
    unseen = replace(ride, lifted_t_s=None, entries=(mark,))
    assert launch_of(unseen, LAUNCH).t_s == T_S + 960.0


def test_another_day_s_climb_is_not_this_one() -> None:
    assert climbed(90_000.0, 90_200.0).lifted_t_s is None
