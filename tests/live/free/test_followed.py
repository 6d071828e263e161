"""Followed: stories brought up to the newest fix and entry, and begun anew where they must be."""

from dataclasses import replace

import numpy as np
import pytest
from tests.live.loose import RELEASE_S, Told, burst, freed, released
from tests.live.made import flight_of

from farglide.air.sounding import Sounding
from farglide.live.free.followed import Follower, at_moment, followed, glide_fixes
from farglide.live.ride.slow import Flight, Maker
from farglide.live.ride.stage import Staged
from farglide.live.ride.state import Ride
from farglide.live.ride.tables import Tables
from farglide.live.ride.task import Entered, Task
from farglide.outlook.after import Stage
from farglide.sortie.spec import Sortie
from farglide.track.filter.begun import turned
from farglide.track.filter.particles import Story, story_weights
from farglide.track.filter.told import FLOWN, where
from farglide.track.typed.entries import Bearing, Entry, Mark, MarkKind


@pytest.fixture(scope="module")
def flight(sortie: Sortie, demo_sounding: Sounding) -> Flight:
    return flight_of(sortie, demo_sounding)


@pytest.fixture(scope="module")
def home(flight: Flight) -> Told:
    return released(flight)


@pytest.fixture(scope="module")
def follower(flight: Flight, home: Told) -> Follower:
    launch = flight.sortie.launch
    task = Task(number=0, launch=launch, refused=(), fixes=home.between(30.0, RELEASE_S, 60.0),
                now_t_s=launch.t_s + RELEASE_S)  # fmt: skip
    made = Maker(flight)(task)
    assert isinstance(made, Tables)
    return Follower(made.laws, ("base",), flight.sortie, None)


def ride(told: Told, until_s: float, *entries: tuple[float, Entry]) -> Ride:
    """Return a ride of some minutes round the release, and what was typed."""
    kept = told.between(told.event_s - 100.0, until_s)
    entered = tuple(
        Entered(number=k, t_s=told.launch.t_s + t_s, entry=entry)
        for k, (t_s, entry) in enumerate(entries, start=1)
    )
    return Ride(kept=kept, newest=kept[-1], entries=entered)


FREE = (RELEASE_S + 3.0, Mark(kind=MarkKind.RELEASED))


def weights(follower: Follower, one: Ride) -> dict[Story, float]:
    found = followed(follower, one)
    assert found is not None
    return story_weights(found.particles)


def test_before_anything_came_loose_there_are_none(follower: Follower, home: Told) -> None:
    assert followed(follower, ride(home, RELEASE_S)) is None


@pytest.mark.parametrize("step_s", [1.0, 2.0, 5.0])
def test_a_glider_survives_its_drop_and_is_seen_in_it(
    follower: Follower, home: Told, step_s: float
) -> None:
    # of the drop, the pull-out and the first minute of the glide each fix is taken in
    one = replace(ride(home, RELEASE_S, FREE), followed=None)
    for since_s in (5.0, 10.0, 15.0, 20.0, 30.0, 60.0, 120.0):
        kept = home.between(RELEASE_S - 100.0, RELEASE_S + since_s, step_s)
        one = replace(one, kept=kept, newest=kept[-1])
        found = followed(follower, one)
        assert found is not None
        one = replace(one, followed=found)
        assert found.particles.placed_s == pytest.approx(kept[-1].t_s - home.launch.t_s)
        held = story_weights(found.particles)
        free = sum(held.get(story, 0.0) for story in FLOWN)
        assert free > 0.9
        said = where(follower.laws, found.particles)
        assert said.amsl_m == pytest.approx(kept[-1].height_m or 0.0, abs=60.0)
    assert held[Story.GLIDING] > 0.8
    assert held.get(Story.TANGLED, 0.0) < 0.01


def test_step_by_step_it_comes_to_what_it_comes_to_at_once(follower: Follower, home: Told) -> None:
    one = ride(home, RELEASE_S + 60.0 + 5.0, FREE)
    one = replace(one, followed=followed(follower, one))
    for more_s in (70.0, 75.0, 80.0):
        kept = home.between(RELEASE_S - 100.0, RELEASE_S + more_s)
        one = replace(one, kept=kept, newest=kept[-1])
        one = replace(one, followed=followed(follower, one))
    again = followed(follower, ride(home, RELEASE_S + 80.0, FREE))
    assert one.followed is not None
    assert again is not None
    for a, b in zip(one.followed.particles.cloud, again.particles.cloud, strict=True):
        assert np.array_equal(a, b, equal_nan=True)


def test_what_is_taken_back_is_as_if_it_had_never_been(follower: Follower, home: Told) -> None:
    sight = (RELEASE_S + 90.0, Bearing(azimuth_deg=300.0, stand="Wether Knap"))
    whole = ride(home, RELEASE_S + 120.0, FREE)
    with_it = ride(home, RELEASE_S + 120.0, FREE, sight)
    with_it = replace(with_it, followed=followed(follower, with_it))
    undone = followed(follower, replace(with_it, entries=whole.entries))
    plain = followed(follower, whole)
    assert undone is not None
    assert plain is not None
    assert np.array_equal(undone.particles.weight, plain.particles.weight)


def test_marks_of_the_picture_turn_the_stories(follower: Follower, home: Told) -> None:
    lost = (RELEASE_S + 130.0, Mark(kind=MarkKind.LOST))
    back = (RELEASE_S + 140.0, Mark(kind=MarkKind.BACK))
    held = weights(follower, ride(home, RELEASE_S + 128.0, FREE, lost))
    assert held[Story.HANDS_OFF] == pytest.approx(0.35, abs=0.05)
    assert weights(follower, ride(home, RELEASE_S + 128.0, FREE, lost, back))[Story.GLIDING] > 0.85


def test_after_a_burst_all_is_tied_on_until_a_release_frees_it(
    follower: Follower, flight: Flight
) -> None:
    tied = burst(flight)
    mark = (tied.event_s + 5.0, Mark(kind=MarkKind.BURST))
    free = (tied.event_s + 40.0, Mark(kind=MarkKind.RELEASED))
    assert weights(follower, ride(tied, tied.event_s + 38.0, mark)) == {
        Story.TANGLED: pytest.approx(1.0)
    }
    held = weights(follower, ride(tied, tied.event_s + 38.0, mark, free))
    assert held[Story.TANGLED] == pytest.approx(0.5, abs=0.02)  # as often as it comes free


@pytest.mark.parametrize("step_s", [1.0, 5.0])
def test_what_is_freed_of_its_remains_glides_home(
    follower: Follower, flight: Flight, step_s: float
) -> None:
    told = freed(flight)
    marks = (
        (told.event_s + 5.0, Mark(kind=MarkKind.BURST)),
        (told.event_s + 42.0, Mark(kind=MarkKind.RELEASED)),
    )
    one = replace(ride(told, told.event_s), followed=None)
    for since_s in (30.0, 45.0, 60.0, 75.0, 90.0, 120.0, 180.0, 240.0):
        kept = told.between(told.event_s - 100.0, told.event_s + since_s, step_s)
        typed = [(t_s, mark) for t_s, mark in marks if t_s <= told.event_s + since_s]
        entries = ride(told, told.event_s + since_s, *typed).entries
        one = replace(one, kept=kept, newest=kept[-1], entries=entries)
        one = replace(one, followed=followed(follower, one))
        assert one.followed is not None
        held = story_weights(one.followed.particles)
        if since_s < 42.0:
            assert held[Story.TANGLED] > 0.9
        if since_s > 150.0:
            assert held[Story.GLIDING] > 0.8


def test_nothing_heard_moves_it_on_and_widens(follower: Follower, home: Told) -> None:
    found = followed(follower, ride(home, RELEASE_S + 120.0, FREE))
    assert found is not None
    later = at_moment(follower.laws, found.particles, found.particles.after_launch_s + 300.0)
    assert later.after_launch_s == found.particles.after_launch_s + 300.0
    wide, was = (np.std(one.cloud.north_rad) for one in (later, found.particles))
    assert wide > 3.0 * was
    assert later.placed_s == found.particles.placed_s
    now = at_moment(follower.laws, found.particles, 0.0)
    assert now.after_launch_s == found.particles.after_launch_s


def test_steep_spirals_over_its_field_are_no_fall_with_remains(
    follower: Follower, home: Told
) -> None:
    one, steep_mps = replace(ride(home, RELEASE_S, FREE), followed=None), 0.0
    for before_s in range(1500, 60, -60):
        kept = home.between(RELEASE_S - 100.0, home.path.end_s - before_s)
        one = replace(one, kept=kept, newest=kept[-1])
        one = replace(one, followed=followed(follower, one))
        assert one.followed is not None
        held = story_weights(one.followed.particles)
        assert held[Story.GLIDING] > 0.9
        assert held.get(Story.TANGLED, 0.0) < 0.02
        high, low = (kept[k].height_m or 0.0 for k in (-2, -1))
        steep_mps = max(steep_mps, (high - low) / 5.0)
    assert steep_mps > 15.0


def test_of_a_steered_glide_the_settled_fixes_tell_how_it_glides(
    follower: Follower, home: Told
) -> None:
    one = ride(home, RELEASE_S + 300.0, FREE)
    now_t_s = home.launch.t_s + RELEASE_S + 300.0
    staged = Staged(Stage.GLIDING, None, home.launch.t_s + RELEASE_S, True)
    assert glide_fixes(one, staged) == ()  # nothing is known of it yet
    one = replace(one, followed=followed(follower, one))
    told = glide_fixes(one, staged)
    assert [one.t_s for one in told] == [
        f.t_s for f in home.between(RELEASE_S + 90.0, RELEASE_S + 300.0)
    ]
    lost = ride(home, RELEASE_S + 300.0, FREE, (RELEASE_S + 200.0, Mark(kind=MarkKind.LOST)))
    lost = replace(lost, followed=one.followed)
    unsteered = staged._replace(stage=Stage.UNSTEERED)
    kept = glide_fixes(lost, unsteered)
    assert kept[-1].t_s == home.launch.t_s + RELEASE_S + 200.0  # what was learnt until then stays
    assert kept == told[: len(kept)]
    assert glide_fixes(one, staged._replace(stage=Stage.TIED_ON)) == ()
    alone = ride(home, RELEASE_S + 300.0, (RELEASE_S - 10.0, Mark(kind=MarkKind.DEAD)), FREE)
    alone = replace(alone, followed=followed(follower, alone))
    assert glide_fixes(alone, unsteered) == ()
    assert now_t_s == told[-1].t_s


def test_what_was_flown_counts_again_once_it_is_likelier_steered_than_not(
    follower: Follower, home: Told
) -> None:
    """Not used while it is not, and not forgotten: from 0.9 to 0.3 and back to 0.9."""
    staged = Staged(Stage.GLIDING, None, home.launch.t_s + RELEASE_S, True)
    one = ride(home, RELEASE_S + 300.0, FREE)
    one = replace(one, followed=followed(follower, one))
    told = glide_fixes(one, staged)
    assert one.followed is not None
    doubted = replace(
        one.followed,
        particles=turned(one.followed.particles, {Story.GLIDING: 0.3, Story.HANDS_OFF: 0.7}),
    )
    assert story_weights(doubted.particles)[Story.GLIDING] == pytest.approx(0.3, abs=0.05)
    for stage in (Stage.GLIDING, Stage.UNSTEERED):
        idle = replace(one, followed=doubted, told=replace(one.told, stage=stage.value))
        assert glide_fixes(idle, staged) == ()
    later = replace(ride(home, RELEASE_S + 330.0, FREE), followed=one.followed)
    again = glide_fixes(replace(later, told=replace(one.told, stage="unsteered")), staged)
    assert len(told) > 40
    assert again[: len(told)] == told
