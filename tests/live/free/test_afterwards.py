"""Afterwards: whole rides of the demo on from the release, the burst or neither mark."""

from pathlib import Path

import pytest
from tests.live.loose import RELEASE_S, Told, burst, hears, released, up_to
from tests.live.made import SPECS, Crew, begun, flight_of, gone_on

from farglide.air.sounding import Sounding
from farglide.flightfile.flightfile import FlightFile
from farglide.live.resume import replay
from farglide.live.ride.slow import Flight, Maker
from farglide.live.running import moment_of
from farglide.outlook.advice import Advice, Level
from farglide.outlook.after import Stage
from farglide.outlook.freshness import Freshness
from farglide.sortie.spec import Sortie

HOME = "Harrowend strip"


@pytest.fixture(scope="module")
def flight(demo_flight: object, sortie: Sortie, demo_sounding: Sounding) -> Flight:
    return flight_of(sortie, demo_sounding)


@pytest.fixture(scope="module")
def make(flight: Flight) -> Maker:
    return Maker(flight)


@pytest.fixture(scope="module")
def home(flight: Flight) -> Told:
    return released(flight)


@pytest.fixture(scope="module")
def tied(flight: Flight) -> Told:
    return burst(flight)


@pytest.fixture
def crew(tmp_path: Path, sortie: Sortie, make: Maker) -> Crew:
    return begun(tmp_path / "ride.log", sortie, make)


def last(crew: Crew) -> Advice:
    return crew.published[-1]


def weight(advice: Advice, *stories: str) -> float:
    return sum(one.chance_ratio for one in advice.stories if one.story in stories)


# --- after the release ----------------------------------------------------------------------------


def test_a_flight_is_advised_from_its_release_to_the_ground(crew: Crew, home: Told) -> None:
    up_to(crew, home, RELEASE_S - 30.0)
    hears(crew, home, RELEASE_S + 5.0)
    crew.types("released")
    dropped = last(crew)
    assert (dropped.stage, dropped.level) == (Stage.DROPPED, Level.WATCH)
    assert dropped.release is None
    assert dropped.burst is None
    hears(crew, home, RELEASE_S + 100.0)
    crew.sums()
    gliding = last(crew)
    assert gliding.stage is Stage.GLIDING
    assert weight(gliding, "gliding") > 0.8
    after = gliding.after
    assert after is not None
    assert after.since_after_launch_s == pytest.approx(RELEASE_S, abs=1.0)
    assert after.steer is not None
    assert after.steer.field == HOME
    assert after.barrier is not None
    assert after.barrier.barrier == "Gollan Wood"
    assert after.barrier.turn_back_until_after_launch_s is not None
    assert after.landing is not None
    # it stays with its field as it comes nearer and lower, and says so at the end
    hears(crew, home, home.path.end_s - 60.0, 60.0)
    crew.sums()
    hears(crew, home, home.path.end_s - 20.0)
    low = last(crew)
    assert low.level is Level.DECIDE
    assert low.after is not None
    assert low.after.steer is not None
    assert low.after.steer.field == HOME
    assert low.fields[0].state == "open"
    fields = [one.after.steer.field for one in crew.published if one.after and one.after.steer]
    assert set(fields) == {HOME}
    for fix in home.between(home.path.end_s + 5.0, home.path.end_s + 60.0):
        crew.hears(fix)
    assert last(crew).stage is Stage.DOWN
    n = len(crew.published)
    crew.types("landed")
    crew.at(crew.t_s - crew.launch_t_s + 5.0)
    crew.turn()
    assert len(crew.published) == n


def test_a_flight_for_the_field_that_the_crew_names_is_advised_so(crew: Crew, home: Told) -> None:
    up_to(crew, home, RELEASE_S - 20.0)
    hears(crew, home, RELEASE_S + 2.0)
    crew.types("released")
    hears(crew, home, RELEASE_S + 60.0)
    steer = last(crew).after.steer  # type: ignore[union-attr]
    assert steer is not None
    assert steer.field == HOME
    assert crew.types("for brack") == "Taken: flown for Brackmoor. (u takes it back.)"
    hears(crew, home, RELEASE_S + 70.0)
    assert {one.name: one.state for one in last(crew).fields}["Brackmoor"] == "open"
    steer = last(crew).after.steer  # type: ignore[union-attr]
    assert steer is not None
    assert steer.field == "Brackmoor"
    crew.types("u for")
    hears(crew, home, RELEASE_S + 75.0)
    assert last(crew).after.steer.field == HOME  # type: ignore[union-attr]


def test_a_release_that_nobody_marked_is_taken_for_one(crew: Crew, home: Told) -> None:
    up_to(crew, home, RELEASE_S - 30.0)
    hears(crew, home, RELEASE_S + 25.0)
    found = last(crew)
    assert (found.stage, found.level) == (Stage.DROPPED, Level.NOW)
    assert found.after is not None
    assert not found.after.is_marked
    hears(crew, home, RELEASE_S + 240.0)
    found = last(crew)
    assert found.stage is Stage.GLIDING
    assert weight(found, "gliding", "hands off", "spiral") > 0.9


def test_aims_go_on_and_are_from_where_the_crew_said_that_it_is(
    tmp_path: Path, demo_flight: FlightFile, demo_sounding: Sounding, home: Told
) -> None:
    sortie = demo_flight.sortie
    crew = begun(tmp_path / "ride.log", sortie, Maker(flight_of(sortie, demo_sounding)))
    up_to(crew, home, RELEASE_S - 30.0)
    hears(crew, home, RELEASE_S + 5.0)
    crew.types("released")
    hears(crew, home, RELEASE_S + 40.0)
    crew.types(f"at {sortie.stands[1].name}")
    found = last(crew)
    assert [one.stand for one in found.aims] == [one.name for one in sortie.stands]
    assert found.after is not None
    assert found.after.aim == found.aims[1]
    assert found.after.aim.range_m > 10_000.0
    assert {one.data for one in found.fields} == {Freshness.FRESH}
    task = crew.running.session.task(crew.running.ride, 0, sortie.launch.t_s + RELEASE_S + 40.0)
    assert task.is_loose
    assert [type(one.entry).__name__ for one in task.entries] == ["AtStand"]
    assert task.now_t_s <= sortie.launch.t_s + RELEASE_S + 5.0


def test_silence_after_the_release_widens_and_asks_for_the_aim(crew: Crew, home: Told) -> None:
    up_to(crew, home, RELEASE_S - 30.0)
    hears(crew, home, RELEASE_S + 5.0)
    crew.types("released")
    hears(crew, home, RELEASE_S + 200.0)
    crew.sums()
    crew.types("lost")
    lost = last(crew)
    assert lost.stage is Stage.UNSTEERED
    assert weight(lost, "hands off", "spiral") == pytest.approx(0.5, abs=0.1)
    within_m, ages = [], []
    for age_s in (10.0, 70.0, 310.0):
        crew.at(RELEASE_S + 200.0 + age_s)
        crew.turn()
        within_m.append(last(crew).place.most_within_m)
        ages.append(last(crew).data)
    assert within_m == sorted(within_m)
    assert within_m[-1] > 3000.0
    assert ages == [Freshness.FRESH, Freshness.GUESSED, Freshness.UNKNOWN]
    after = last(crew).after
    assert after is not None
    assert {"hands off", "spiral"} <= {one.story for one in after.comes_down}
    crew.types("back")
    assert weight(last(crew), "gliding") > 0.8


def test_without_a_picture_nobody_steers_though_nobody_marked_the_release(
    crew: Crew, home: Told
) -> None:
    up_to(crew, home, RELEASE_S - 30.0)
    hears(crew, home, RELEASE_S + 200.0)
    crew.sums()
    before = last(crew)
    assert (before.stage, weight(before, "gliding") > 0.8) == (Stage.GLIDING, True)
    crew.types("lost")
    lost = last(crew)
    assert lost.stage is Stage.UNSTEERED
    assert lost.level in (Level.DECIDE, Level.NOW)
    assert weight(lost, "hands off", "spiral") == pytest.approx(0.5, abs=0.1)
    after = lost.after
    assert after is not None
    assert not after.is_marked
    assert {"hands off", "spiral"} <= {one.story for one in after.comes_down}
    crew.types("back")
    assert last(crew).stage is Stage.GLIDING
    crew.at(RELEASE_S + 330.0)
    crew.turn()
    assert last(crew).stage is Stage.UNSTEERED  # nothing heard for two minutes


def test_on_empty_packs_nobody_steers_and_nothing_is_in_reach(crew: Crew, home: Told) -> None:
    up_to(crew, home, RELEASE_S - 30.0)
    hears(crew, home, RELEASE_S + 5.0)
    crew.types("released")
    hears(crew, home, RELEASE_S + 200.0)
    crew.sums()
    assert last(crew).stage is Stage.GLIDING
    assert "packs empty" in crew.types("dead")
    for _ in range(2):
        found = last(crew)
        assert (found.stage, found.level) == (Stage.UNSTEERED, Level.DECIDE)
        assert weight(found, "gliding") == 0.0
        assert weight(found, "hands off", "spiral", "spin") > 0.95
        assert {one.state for one in found.fields} == {"shut"}
        after = found.after
        assert after is not None
        assert after.packs_empty
        assert after.steer is None
        assert "hands off" in {one.story for one in after.comes_down}
        hears(crew, home, RELEASE_S + 300.0)  # it is still heard, and still not steered
        crew.sums()
    crew.types("undo")
    hears(crew, home, RELEASE_S + 330.0)
    assert last(crew).stage is Stage.GLIDING


# --- after a burst --------------------------------------------------------------------------------


def test_after_a_burst_the_seconds_left_run_down(crew: Crew, tied: Told) -> None:
    up_to(crew, tied, tied.event_s - 30.0)
    hears(crew, tied, tied.event_s + 6.0, 2.0)
    crew.types("burst")
    ends_s = []
    for since_s in (10.0, 40.0, 70.0, 100.0):
        hears(crew, tied, tied.event_s + since_s, 2.0)
        found = last(crew)
        assert (found.stage, found.level) == (Stage.TIED_ON, Level.NOW)
        ends_s.append((found.fields[0].shuts_after_launch_s or 0.0) - tied.event_s)
    # real remains fall slower aloft than the 146 s of one drag area: half as much time again
    assert ends_s == pytest.approx([1.5 * 146.0] * 4, rel=0.25)
    assert max(ends_s) - min(ends_s) < 40.0
    assert found.after is not None
    assert found.after.comes_free_ratio == 0.5
    assert found.fields[0].chance_ratio == pytest.approx(0.5 * found.fields[0].open_ratio, abs=0.02)


def test_a_burst_that_nobody_marked_is_taken_for_one(crew: Crew, tied: Told) -> None:
    up_to(crew, tied, tied.event_s - 30.0)
    hears(crew, tied, tied.event_s + 60.0, 2.0)
    found = last(crew)
    assert (found.stage, found.level) == (Stage.TIED_ON, Level.NOW)
    assert weight(found, "falling with remains") > 0.9
    assert found.after is not None
    assert not found.after.is_marked


# --- again ----------------------------------------------------------------------------------------


def test_a_replay_after_the_release_is_the_ride_bit_for_bit(
    tmp_path: Path, crew: Crew, home: Told, sortie: Sortie, make: Maker
) -> None:
    up_to(crew, home, RELEASE_S - 30.0)
    hears(crew, home, RELEASE_S + 5.0)
    crew.types("released")
    hears(crew, home, RELEASE_S + 100.0)
    crew.sums()
    crew.types("sun 11")
    crew.types("b 138 40 wether knap")
    crew.types("u")
    hears(crew, home, RELEASE_S + 150.0)
    crew.running.close()
    again = gone_on(tmp_path / "ride.log", sortie, make, crew.t_s + 20.0)
    again.sums()
    hears(again, home, RELEASE_S + 220.0)
    again.sums()
    hears(again, home, RELEASE_S + 260.0)
    assert last(again).stage is Stage.GLIDING
    assert weight(last(again), "gliding") > 0.8
    again.running.end(moment_of(again.clocks))
    again.running.close()
    found = list(replay(sortie, SPECS, tmp_path / "ride.log", make))
    assert len(found) > 60
    assert [one.record.number for one in found if not one.is_same] == []


def test_a_long_pull_out_that_nobody_marked_is_no_flight_without_a_hand(
    crew: Crew, flight: Flight
) -> None:
    """It is drawn to be slow: level 47 s after the release."""
    told = released(flight, 4200.0, seed=6)
    up_to(crew, told, told.event_s - 20.0)
    hears(crew, told, told.event_s + 150.0, 2.0)
    loose = [one for one in crew.published if one.after is not None]
    assert Stage.UNSTEERED not in {one.stage for one in loose}
    glides = [one for one in loose if one.stage is Stage.GLIDING]
    assert max(weight(one, "hands off", "spiral", "spin") for one in glides) > 0.5
