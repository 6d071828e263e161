"""Beginning: as what a flight came loose, by marks and packs, and how late at the most."""

from math import nan

import numpy as np
import pytest
from tests.live.ride.test_stage import DROP, GLIDE, TOP_M, TOP_S, UP, fix, ride
from tests.track.filter.made import AT_S, ensemble, laws

from farglide.chances.onward import Seen
from farglide.live.free.beginning import Carried, beginning, begun_as, carried_at, heard_fixes
from farglide.live.ride.state import Ride
from farglide.track.filter.begun import after_burst, after_release, whatever_sinks
from farglide.track.filter.particles import Story
from farglide.track.typed.entries import MarkKind

RELEASED = (4012.0, MarkKind.RELEASED)


def test_a_marked_release_is_at_the_last_fix_before_it_fell() -> None:
    found = beginning(ride(DROP, RELEASED))
    assert found is not None
    assert (found.left, found.stories) == (fix(TOP_S, TOP_M), after_release())
    assert found.late_s == 5.0  # up to the next fix
    assert found.t_s == 1000.0 + TOP_S
    assert beginning(ride(UP)) is None
    assert beginning(Ride()) is None


def test_a_burst_is_tied_on_and_what_nobody_marked_may_be_anything() -> None:
    burst = beginning(ride(DROP, (4012.0, MarkKind.BURST)))
    assert burst is not None
    assert (burst.stories, burst.late_s) == (after_burst(), 0.0)
    loose = beginning(ride(DROP))
    assert loose is not None
    assert loose.stories == whatever_sinks()


def test_a_release_marked_minutes_late_is_told_by_its_fall() -> None:
    unmarked = beginning(ride(GLIDE))
    late = beginning(ride(GLIDE, (TOP_S + 130.0, MarkKind.RELEASED)))
    assert late == unmarked  # so what is followed already goes on, and takes the mark in
    assert late is not None
    assert late.stories == whatever_sinks()
    burst = beginning(ride(GLIDE, (TOP_S + 130.0, MarkKind.BURST)))
    assert burst is not None
    assert (burst.left, burst.stories) == (fix(TOP_S, TOP_M), after_burst())


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


def test_where_no_fix_tells_it_begins_where_the_tables_have_the_balloon() -> None:
    found = beginning(ride({}, (4560.0, MarkKind.RELEASED)))
    assert found is not None
    assert (found.left, found.t_s, found.late_s) == (None, 1000.0 + 4560.0, 0.0)
    assert begun_as(laws(), found, 0, None) is None  # nobody knows where
    found = found._replace(t_s=laws().launch_t_s + AT_S)
    carried = Carried(ensemble(), Seen(0.0, nan, nan, nan))
    last = carried_at(carried, AT_S)
    particles = begun_as(laws(), found, 0, carried)
    assert particles is not None
    tracks = ensemble().climbs.tracks
    k = round(AT_S / tracks.step_s)
    assert last.amsl_m == pytest.approx(np.nanmedian(tracks.amsl_m[:, k]))
    # all of them together are as far apart as the draws, and each draw's particles are near it
    cloud, weight = particles.cloud, particles.weight
    for z, spread, sd in (
        (cloud.amsl_m, cloud.spread[:, 1, 0], np.nanstd(tracks.amsl_m[:, k])),
        (
            6.37e6 * cloud.north_rad,
            cloud.spread[:, 0, 0],
            6.37e6 * np.nanstd(tracks.north_rad[:, k]),
        ),
    ):
        whole = np.sqrt(weight @ (z - weight @ z) ** 2 + weight @ spread)
        assert whole == pytest.approx(sd, rel=0.25)
    own = np.corrcoef(cloud.amsl_m, tracks.amsl_m[cloud.draw, k])[0, 1]
    assert own > 0.99


def test_the_newest_fix_is_heard_though_it_is_not_kept() -> None:
    one = ride(UP)
    new = fix(TOP_S + 0.4, TOP_M)
    assert heard_fixes(one) == one.kept
    assert heard_fixes(Ride(kept=one.kept, newest=new)) == (*one.kept, new)
