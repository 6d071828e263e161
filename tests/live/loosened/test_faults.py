"""Faults after the release: the time in hand by the field that counts, the grade by the links."""

import pytest
from tests.live.loose import RELEASE_S, Told

from farglide.errors import InputError
from farglide.live.asked.moment import Told as Beside
from farglide.live.loosened.faults import fault_after
from farglide.live.loosened.flight import LooseFlight
from farglide.track.typed.entries import MarkKind

from .conftest import AT_S, Asks


def test_the_time_in_hand_is_that_of_the_field_steered_for(gliding: LooseFlight) -> None:
    found = fault_after(gliding)
    assert gliding.after.steer is not None
    assert found.field == gliding.after.steer.field
    shuts_s = next(
        one.shuts_after_launch_s for one in gliding.advice.fields if one.name == found.field
    )
    assert found.door_in_s == (None if shuts_s is None else shuts_s - gliding.now_s)
    assert found.landing_in_s == gliding.after.steer.down_after_launch_s - gliding.now_s
    assert found.grade is None


def test_tied_on_it_lands_as_it_falls(tied: LooseFlight) -> None:
    found = fault_after(tied)
    assert found.landing_in_s == pytest.approx(
        tied.after.comes_down[0].down_after_launch_s - tied.now_s
    )


def test_a_grade_is_held_against_the_links_from_the_car(asks: Asks, home: Told) -> None:
    marks = (RELEASE_S, MarkKind.RELEASED)
    found = fault_after(asks(home, AT_S, marks, beside=Beside(grade=1, fault="frost")))
    assert found.wanted == "frost"
    assert found.grade is not None
    assert found.grade.stand == "Wether Knap"
    assert found.grade.expected_grade > found.grade.seen_grade == 1
    with pytest.raises(InputError, match="grade"):
        fault_after(asks(home, AT_S, marks, beside=Beside(grade=9)))
