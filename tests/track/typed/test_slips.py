"""Slips of a height: of the number as it was typed, in the unit that it was typed in."""

import pytest

from farglide.track.typed.slips import N_LOST, HeightTyped, misread, other_units, wrong_digits
from farglide.units import FOOT_M


def test_feet_are_no_feet_once_more() -> None:
    assert [one.amsl_m for one in other_units(HeightTyped(40_500.0, FOOT_M))] == [40_500.0]
    found = [one.amsl_m for one in other_units(HeightTyped(40_500.0))]
    assert found == pytest.approx([12_344.4])


def test_small_numbers_may_be_kilometres() -> None:
    assert [one.as_words for one in other_units(HeightTyped(12.4))] == ["12 ft", "12.4 km"]


def test_digits_are_of_what_was_typed() -> None:
    feet = list(misread(HeightTyped(40_500.0, FOOT_M)))
    assert feet[0].as_words == "405000 ft"
    assert all(one.amsl_m == pytest.approx(_feet(one.as_words)) for one in feet)
    metres = [one.amsl_m for one in misread(HeightTyped(180.0))]
    assert metres[:N_LOST] == [1800.0, 18.0, 18_000.0]
    assert 810.0 in metres  # two swapped
    assert 1180.0 in metres  # one more


def test_a_number_of_too_many_digits_is_no_slip_of_one() -> None:
    assert len(list(misread(HeightTyped(1e12)))) == N_LOST


def test_one_wrong_or_two_swapped() -> None:
    assert sorted(wrong_digits("12"))[:3] == [2.0, 10.0, 11.0]
    assert 21.0 in list(wrong_digits("12"))


def _feet(words: str) -> float:
    return float(words.removesuffix(" ft")) * FOOT_M
