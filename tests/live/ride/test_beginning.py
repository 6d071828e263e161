"""Beginning: as what a flight came loose, by marks and packs, and how late at the most."""

import pytest

from farglide.live.ride.beginning import beginning, heard_fixes
from farglide.live.ride.state import Ride
from farglide.track.filter.begun import after_burst, after_release, whatever_sinks
from farglide.track.filter.particles import Story
from farglide.track.typed.entries import MarkKind

from .test_stage import DROP, TOP_M, TOP_S, UP, fix, ride

RELEASED = (4012.0, MarkKind.RELEASED)


def test_a_marked_release_is_at_the_last_fix_before_it_fell() -> None:
    found = beginning(ride(DROP, RELEASED))
    assert found is not None
    assert (found.left, found.stories) == (fix(TOP_S, TOP_M), after_release())
    assert found.late_s == 5.0  # up to the next fix
    assert beginning(ride(UP)) is None
    assert beginning(Ride()) is None


def test_a_burst_is_tied_on_and_what_nobody_marked_may_be_anything() -> None:
    burst = beginning(ride(DROP, (4012.0, MarkKind.BURST)))
    assert burst is not None
    assert (burst.stories, burst.late_s) == (after_burst(), 0.0)
    loose = beginning(ride(DROP))
    assert loose is not None
    assert loose.stories == whatever_sinks()


@pytest.mark.parametrize("marks", [(RELEASED,), ()])
def test_on_empty_packs_it_comes_loose_unsteered(marks: tuple[tuple[float, MarkKind], ...]) -> None:
    steered = beginning(ride(DROP, *marks))
    found = beginning(ride(DROP, (3900.0, MarkKind.DEAD), *marks))
    assert found is not None
    assert steered is not None
    assert Story.GLIDING not in found.stories
    assert sum(found.stories.values()) == pytest.approx(sum(steered.stories.values()))
    assert found.stories[Story.TANGLED] == steered.stories[Story.TANGLED]
    later = beginning(ride(DROP, *marks, (4020.0, MarkKind.DEAD)))
    assert later == steered  # that it ended is taken in when it came


def test_the_newest_fix_is_heard_though_it_is_not_kept() -> None:
    one = ride(UP)
    new = fix(TOP_S + 0.4, TOP_M)
    assert heard_fixes(one) == one.kept
    assert heard_fixes(Ride(kept=one.kept, newest=new)) == (*one.kept, new)
