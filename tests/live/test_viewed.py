"""Viewed: what a screen is told: phase, ages, troubles, entries, what is odd, the alarm."""

from pathlib import Path

import pytest

from farglide.live.feeds.reader import Condition, State
from farglide.live.ride.slow import Maker
from farglide.live.running import moment_of
from farglide.live.viewed import Listened, Said, view_of
from farglide.outlook.freshness import Freshness
from farglide.outlook.rideview import RideView
from farglide.sortie.spec import Sortie
from farglide.track.reports import Fix

from .made import SPECS, Crew, begun, moved, no_tables

AWAY = Condition(state=State.AWAY, why="No such device")


def view(crew: Crew, lost: int = 0) -> RideView:
    conditions = {"second": AWAY, "car": Condition(state=State.ENDED)}
    listened = Listened(SPECS, conditions, lambda name: lost)
    return view_of(crew.running, listened, Said(answer="said"), moment_of(crew.clocks))


@pytest.fixture
def crew(tmp_path: Path, sortie: Sortie) -> Crew:
    return begun(tmp_path / "ride.log", sortie, no_tables)


def test_on_the_hand_it_is_said_what_to_type(crew: Crew) -> None:
    found = view(crew)
    assert (found.phase, found.advice, found.answer) == ("on the hand", None, "said")
    assert found.why.startswith("On the hand. Type launched")
    assert found.now_t_s == crew.t_s


def test_each_feed_tells_its_age_and_its_trouble(crew: Crew, climb: tuple[Fix, ...]) -> None:
    for one in climb[:3]:
        crew.hears(one)
    crew.at(60.1)
    tracker, second, car = view(crew, lost=40).feeds
    assert tracker.heard_ago_s == pytest.approx(40.0)
    assert (tracker.data, tracker.trouble) == (Freshness.AGEING, "40 bytes lost")
    assert second.trouble == "not there: No such device"
    assert second.data is Freshness.UNKNOWN
    assert (car.of, car.trouble) == ("car", "read to its end")


def test_why_there_is_no_advice_in_the_climb(crew: Crew) -> None:
    crew.at(0.0)
    crew.types("launched")
    assert view(crew).why == "Computing the first answer: the climb, the winds and the ways home."
    crew.sums()
    assert view(crew).why.startswith("none of ")
    crew.types("sent")
    crew.types("released")
    assert view(crew).why.startswith("none of ")


def test_entries_and_what_is_odd_stand_with_their_times(crew: Crew, climb: tuple[Fix, ...]) -> None:
    crew.at(0.0)
    crew.types("launched")
    for one in climb[1:4]:
        crew.hears(one)
    crew.hears(moved(climb[4], north_deg=10.0))
    found = view(crew)
    assert [(one.t_s - crew.launch_t_s, one.words) for one in found.entries] == [(0.0, "launched")]
    assert "km from the launch" in found.odd[0].words
    crew.at(700.0)
    assert view(crew).odd == ()


def test_with_advice_its_age_and_that_of_its_tables_are_told(
    tmp_path: Path, sortie: Sortie, make: Maker
) -> None:
    crew = begun(tmp_path / "other.log", sortie, make)
    crew.at(0.0)
    crew.types("launched")
    crew.sums()
    crew.at(0.4)
    found = view(crew)
    assert found.why == ""
    assert found.advice is crew.published[-1]
    assert found.advised_ago_s == pytest.approx(0.4)
    assert found.tables_ago_s == pytest.approx(0.4)


def test_a_card_is_handed_on(crew: Crew) -> None:
    listened = Listened(SPECS, {}, lambda name: 0)
    found = view_of(crew.running, listened, Said(card=("Wait.",)), moment_of(crew.clocks))
    assert found.card == ("Wait.",)


def test_what_waits_tells_how_far_it_is_behind(crew: Crew) -> None:
    crew.at(30.0)
    listened = Listened(SPECS, {}, lambda name: 0)
    now = moment_of(crew.clocks)
    assert view_of(crew.running, listened, Said(), now).behind_s == 0.0
    waits = Said(oldest_s=crew.at_s - 7.0)
    assert view_of(crew.running, listened, waits, now).behind_s == pytest.approx(7.0)
    crew.running.taking_s = crew.at_s - 9.0
    assert view_of(crew.running, listened, waits, now).behind_s == pytest.approx(9.0)


def test_what_is_done_ahead_stands_in_the_first_line(crew: Crew) -> None:
    crew.at(0.0)
    crew.types("launched")
    listened = Listened(SPECS, {}, lambda name: 0)
    said = Said(doing="compiling (climbs)")
    found = view_of(crew.running, listened, said, moment_of(crew.clocks))
    assert found.why == "Computing the first answer: compiling (climbs)."


def test_until_the_first_answer_the_seconds_count_through_all_sums(crew: Crew) -> None:
    crew.at(0.0)
    crew.types("launched")
    assert view(crew).summing_s is None
    crew.turn()
    began_s = crew.at_s
    crew.at(9.0)
    crew.running.begun_s = crew.at_s - 2.0  # summed anew, for a launch that fixes tell better
    assert view(crew).summing_s == pytest.approx(crew.at_s - began_s)
    crew.sums()
    assert crew.running.trouble
    assert view(crew).summing_s is None


def test_the_place_heard_and_a_landing_are_handed_on(crew: Crew, climb: tuple[Fix, ...]) -> None:
    assert view(crew).heard is None
    for one in climb[:4]:
        crew.hears(one)
    found = view(crew)
    assert found.heard is not None
    assert found.heard.t_s == climb[3].t_s
    assert found.lies is None
    for line in ("launched", "landed", "as typed"):
        crew.types(line)
    down = view(crew)
    assert (down.phase, down.is_loose) == ("down", True)
    assert down.lies is not None


def test_a_launch_days_off_is_told(crew: Crew) -> None:
    assert view(crew).launch_off_s is None
    crew.at(-20.0 * 86_400.0)
    assert view(crew).launch_off_s == pytest.approx(-20.0 * 86_400.0)
    crew.at(3.0 * 3600.0)
    assert view(crew).launch_off_s == pytest.approx(3.0 * 3600.0)
    crew.types("launched")
    crew.types("as typed")
    assert view(crew).launch_off_s == pytest.approx(3.0 * 3600.0)
