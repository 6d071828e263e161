"""Phase: by the marks, else by clock and height; the launch as it was."""

from dataclasses import replace

import pytest

from farglide.live.ride.phase import Phase, launch_of, phase_of
from farglide.live.ride.state import Loosed, Ride
from farglide.live.ride.task import Entered
from farglide.sortie.spec import Launch
from farglide.track.reports import Fix
from farglide.track.typed.entries import Entry, LaunchLate, LaunchMoved, Mark, MarkKind

T_S = 1_800_000_000.0
LAUNCH = Launch(name="Strip", lat_deg=-46.5, lon_deg=108.0, amsl_m=240.0, t_s=T_S, zone="UTC")


def ride(*entries: Entry, newest: Fix | None = None) -> Ride:
    entered = tuple(
        Entered(number=k, t_s=T_S + 10.0 * k, entry=one) for k, one in enumerate(entries)
    )
    return Ride(entries=entered, newest=newest)


def mark(kind: MarkKind) -> Mark:
    return Mark(kind=kind)


def fix(t_s: float, height_m: float) -> Fix:
    return Fix(feed="a", lat_deg=-46.5, lon_deg=108.0, t_s=t_s, height_m=height_m)


@pytest.mark.parametrize(
    ("kinds", "phase"),
    [
        ((), Phase.HAND),
        ((MarkKind.LAUNCHED,), Phase.CLIMB),
        ((MarkKind.LAUNCHED, MarkKind.SENT), Phase.SENT),
        ((MarkKind.LAUNCHED, MarkKind.SENT, MarkKind.STUCK), Phase.STUCK),
        ((MarkKind.LAUNCHED, MarkKind.SENT, MarkKind.STUCK, MarkKind.SENT), Phase.SENT),
        ((MarkKind.LAUNCHED, MarkKind.SENT, MarkKind.RELEASED), Phase.RELEASED),
        ((MarkKind.LAUNCHED, MarkKind.BURST), Phase.BURST),
        ((MarkKind.LAUNCHED, MarkKind.BURST, MarkKind.RELEASED), Phase.RELEASED),
        ((MarkKind.LAUNCHED, MarkKind.BURST, MarkKind.LANDED), Phase.DOWN),
    ],
)
def test_the_phase_follows_the_marks(kinds: tuple[MarkKind, ...], phase: Phase) -> None:
    found = phase_of(ride(*map(mark, kinds)), LAUNCH, T_S)
    assert found is phase
    assert found.is_carried is (phase in (Phase.CLIMB, Phase.SENT, Phase.STUCK))


def test_what_fell_off_its_balloon_and_lies_low_is_not_on_the_hand() -> None:
    left = fix(T_S + 4000.0, 27_000.0)
    fallen = replace(ride(newest=fix(T_S + 6000.0, 241.0)), loosed=Loosed(left=left))
    assert phase_of(fallen, LAUNCH, T_S + 6000.0) is Phase.CLIMB


@pytest.mark.parametrize(
    ("after_s", "height_m", "phase"),
    [(60.0, 500.0, Phase.CLIMB), (60.0, 330.0, Phase.HAND), (-60.0, 500.0, Phase.HAND)],
)
def test_without_a_mark_clock_and_height_tell(
    after_s: float, height_m: float, phase: Phase
) -> None:
    assert phase_of(ride(newest=fix(T_S, height_m)), LAUNCH, T_S + after_s) is phase


def test_what_was_seen_to_leave_the_hand_is_not_on_it_again_when_it_comes_down() -> None:
    low = replace(ride(newest=fix(T_S + 6000.0, 250.0)), lifted_t_s=T_S + 3.0)
    assert phase_of(low, LAUNCH, T_S + 6001.0) is Phase.CLIMB


def test_the_launch_is_late_moved_and_marked() -> None:
    late, moved = LaunchLate(late_s=1200.0), LaunchMoved(lat_deg=-46.6, lon_deg=108.2)
    assert launch_of(ride(), LAUNCH) == LAUNCH
    assert launch_of(ride(late), LAUNCH) == replace(LAUNCH, t_s=T_S + 1200.0)
    both = launch_of(ride(late, moved, LaunchLate(late_s=600.0)), LAUNCH)
    assert both == replace(LAUNCH, t_s=T_S + 600.0, lat_deg=-46.6, lon_deg=108.2)
    assert launch_of(ride(late, mark(MarkKind.LAUNCHED)), LAUNCH).t_s == T_S + 10.0
