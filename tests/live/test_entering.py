"""Entering: what is understood is said, a question is answered by one key, an undo by one."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from farglide.errors import AnswerError
from farglide.live.entering import known_of, last_of
from farglide.live.ride.state import Ride
from farglide.live.ride.task import Entered
from farglide.sortie.spec import Sortie
from farglide.track.reports import Fix
from farglide.track.typed.entries import Entry, Grade, Mark, MarkKind, Overlay, Undo

from ..review.made import advice
from .made import Crew, begun, no_tables

NECK = (
    "Taken: neck lift 1.20 kg, after the launch: climb and burst are summed anew with it. (u takes "
    "it back.)"
)


@pytest.fixture
def crew(tmp_path: Path, sortie: Sortie, climb: tuple[Fix, ...]) -> Crew:
    made = begun(tmp_path / "ride.log", sortie, no_tables)
    made.at(0.0)
    made.types("l")
    made.hears(climb[1])
    made.hears(climb[2])
    made.hears(climb[3])
    return made


def test_what_is_taken_is_said_with_how_to_take_it_back(crew: Crew) -> None:
    assert crew.types("q 3") == "Taken: picture 3. (u takes it back.)"
    assert crew.types("u") == "Taken back: picture 3."
    assert crew.types("u launched") == "Taken back: launched."
    assert crew.types("u") == "There is nothing to take back: no entry stands."


def test_one_kind_is_taken_back_with_what_counts_then(crew: Crew) -> None:
    crew.types("neck 1.62")
    crew.types("neck 1.55")
    crew.types("q 3")
    assert crew.types("u neck") == "Taken back: neck lift 1.55 kg. Neck lift 1.62 kg counts."
    assert crew.types("u neck") == "Taken back: neck lift 1.62 kg."
    assert crew.types("u neck") == "There is nothing to take back: no neck lift stands."
    assert crew.types("u wood") == "There is nothing to take back: no wood stands."
    assert [one.words for one in crew.running.ride.entries] == ["launched", "picture 3"]


def test_the_same_again_confirms(crew: Crew) -> None:
    asked = crew.types("neck 1.2")
    assert asked == (
        "1.20 kg is far from the 1.60 kg planned. Type y, or the same again, for neck lift "
        "1.20 kg all the same; u for none of it."
    )
    assert crew.types("Neck 1.2") == NECK


def test_a_line_that_was_asked_back_counts_from_when_it_was_typed(crew: Crew) -> None:
    crew.at(700.0)
    crew.types("neck 1.2")
    typed_t_s = crew.t_s
    crew.at(880.0)
    assert crew.types("y") == NECK
    assert crew.running.ride.entries[-1].t_s == pytest.approx(typed_t_s)
    crew.at(900.0)
    crew.types("q 3")
    assert crew.running.ride.entries[-1].t_s == pytest.approx(typed_t_s + 200.0)


def test_a_fill_told_late_says_what_it_changes(crew: Crew) -> None:
    crew.types("u launched")
    crew.types("released")
    assert crew.types("neck 1.55") == (
        "Taken: neck lift 1.55 kg, late: the climb that it tells of is over. (u takes it back.)"
    )


def test_a_fill_weighed_on_the_hand_is_just_taken(tmp_path: Path, sortie: Sortie) -> None:
    hand = begun(tmp_path / "hand.log", sortie, no_tables)
    hand.at(-300.0)
    assert hand.types("neck 1.55") == "Taken: neck lift 1.55 kg. (u takes it back.)"


def test_what_no_limit_allows_is_not_confirmed_by_the_same_again(crew: Crew) -> None:
    asked = crew.types("neck 1600")
    assert asked.endswith("Grams? Type y for neck lift 1.60 kg; u for none of it.")
    assert crew.types("neck 1600") == asked
    assert crew.types("y").startswith("Taken: neck lift 1.60 kg, after the launch: ")


def test_a_release_counts_without_a_mark_of_the_launch(crew: Crew) -> None:
    """The fixes have told that it is up."""
    crew.types("u launched")
    assert crew.types("sent") == "Taken: release sent. (u takes it back.)"
    assert crew.types("released") == "Taken: release seen. (u takes it back.)"


def test_a_release_after_the_landing_is_asked_in_the_order_of_the_day(crew: Crew) -> None:
    crew.types("landed")
    crew.types("y")
    asked = (
        "It is marked as landed: did that come before it, or does it still fly? Type y for release "
        "seen, before it landed, y2 for landed taken back, it still flies (then type released "
        "again); u for none of it."
    )
    assert crew.types("released") == asked
    assert crew.types("y").startswith("Taken: release seen, before it landed.")
    assert [one.entry for one in crew.running.ride.entries[-2:]] == [
        Mark(kind=MarkKind.LANDED), Mark(kind=MarkKind.RELEASED)
    ]  # fmt: skip
    crew.types("u")
    crew.types("r")
    assert crew.types("y2") == "Taken back: landed."


def test_a_question_is_answered_by_a_key(crew: Crew) -> None:
    asked = crew.types("h 1200 ft")
    assert asked.startswith("Taken: height 366 m")
    asked = crew.types("h 3660")
    assert "would be a climb of" in asked or "m cannot be" in asked
    assert "Type y for height 366 m" in asked
    assert '"as typed", or the same again, for height 3660 m; u for none of it.' in asked
    n = len(crew.running.ride.entries)
    assert crew.types("y").startswith("Taken: height ")
    assert len(crew.running.ride.entries) == n + 1
    crew.types("h 12000")
    assert crew.types("As typed") == "Taken: height 12000 m. (u takes it back.)"
    assert crew.running.ride.entries[-1].entry == Overlay(amsl_m=12_000.0)


def test_a_question_is_over_with_the_next_line(crew: Crew) -> None:
    crew.types("h 12000")
    assert crew.types("q 3").startswith("Taken: picture 3")
    assert crew.types("y") == "No question is open: type the entry again."


@pytest.mark.parametrize("answer", ["u", "Undo", "no"])
def test_an_undo_drops_a_question_and_no_entry(crew: Crew, answer: str) -> None:
    crew.types("q 3")
    crew.types("h 12000")
    assert crew.types(answer) == "Dropped: h 12000. Nothing was taken."
    assert [one.words for one in crew.running.ride.entries] == ["launched", "picture 3"]
    assert crew.types("u") == "Taken back: picture 3."


def test_an_answer_that_was_not_offered_leaves_the_question_open(crew: Crew) -> None:
    asked = crew.types("neck 1600")
    assert crew.types("as typed").startswith("'as typed' is none of it. Type y for neck lift 1.60")
    assert crew.types("y3").startswith("'y3' is none of it. Type y for")
    assert crew.types("neck 1600") == asked
    crew.types("neck 1.2")
    assert crew.types("y") == NECK


def test_what_is_no_entry_changes_nothing(crew: Crew) -> None:
    before = crew.running.ride.entries
    assert crew.types("boat 3").startswith("'boat' is no entry")
    assert crew.types("q 9").startswith("picture grade is 9")
    assert crew.running.ride.entries == before


def test_what_a_line_is_held_against(crew: Crew, climb: tuple[Fix, ...]) -> None:
    known = known_of(crew.running.ride, crew.running.session.sortie, 5.0)
    assert known.t_s == 5.0
    assert known.last is not None
    assert known.last.amsl_m == pytest.approx(climb[2].height_m or 0.0, abs=60.0)
    assert known.fields[0] == "Harrowend strip"
    assert "launch" in known.places
    assert known.marks == (MarkKind.LAUNCHED,)
    assert known.planned_neck_kg == 1.6


def test_the_last_of_a_kind_is_taken_back() -> None:
    marks = (Mark(kind=MarkKind.LOST), Grade(grade=1), Mark(kind=MarkKind.BACK))
    ride = Ride(entries=tuple(Entered(number=k, t_s=0.0, entry=m) for k, m in enumerate(marks)))
    assert last_of(ride, Undo()) == 2
    assert last_of(ride, Undo(kind=MarkKind.LOST)) == 0
    with pytest.raises(AnswerError, match="There is nothing to take back"):
        last_of(ride, Undo(kind=MarkKind.BURST))


def test_a_place_is_expected_where_the_last_advice_has_it(crew: Crew) -> None:
    sortie = crew.running.session.sortie
    assert known_of(crew.running.ride, sortie, 5.0).expected is None
    told = advice(600.0)
    expected = known_of(crew.running.ride, sortie, 5.0, told).expected
    assert expected is not None
    assert (expected.lat_deg, expected.lon_deg) == (told.place.lat_deg, told.place.lon_deg)


ENTRIES = st.one_of(
    st.builds(Mark, kind=st.sampled_from(MarkKind)),
    st.builds(Grade, grade=st.integers(0, 5)),
    st.builds(Overlay, amsl_m=st.floats(0.0, 30_000.0)),
)


@given(st.lists(ENTRIES, max_size=8), ENTRIES)
def test_an_undo_takes_back_the_last_entry_exactly(before: list[Entry], entry: Entry) -> None:
    every = (*before, entry)
    ride = Ride(entries=tuple(Entered(number=k, t_s=0.0, entry=e) for k, e in enumerate(every)))
    assert last_of(ride, Undo()) == len(before)
    if isinstance(entry, Mark):
        assert last_of(ride, Undo(kind=entry.kind)) == len(before)
    assert last_of(ride, Undo(of=type(entry))) == len(before)
