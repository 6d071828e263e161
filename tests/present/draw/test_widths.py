"""Widths of words against those a browser measured, and places that keep their distance."""

from itertools import pairwise

import pytest

from farglide.present.draw.widths import spread, stacked, text_width_px

MEASURED_600 = {"Harrowend": 435.9, "quickest": 343.9, "Wether Knap": 512.0, "in time": 272.0}
"""Of the semi-condensed sans at 100 px, in a browser."""


@pytest.mark.parametrize(("words", "width_px"), MEASURED_600.items())
def test_no_word_is_wider_than_told_nor_much_narrower(words: str, width_px: float) -> None:
    assert width_px <= text_width_px(words, 100.0) < 1.1 * width_px


def test_figures_are_as_wide_as_each_other() -> None:
    assert text_width_px("0123456789", 100.0) == pytest.approx(507.0, abs=5.0)  # in a browser


def test_accents_weigh_nothing_and_strange_letters_count_as_wide() -> None:
    assert text_width_px("é", 10.0) == text_width_px("e", 10.0) == text_width_px("e\u0301", 10.0)
    assert text_width_px("Ж", 10.0) > text_width_px("K", 10.0)
    assert text_width_px("田", 10.0) == 10.0


def test_narrow_and_bold_change_the_width() -> None:
    assert text_width_px("name", 10.0, narrow=True) < text_width_px("name", 10.0)
    assert text_width_px("name", 10.0, bold=True) > text_width_px("name", 10.0)


def test_places_keep_their_order_their_distance_and_their_room() -> None:
    for wanted in ([5.0, 5.0, 5.0], [0.0, 40.0, 41.0, 42.0, 90.0], [99.0, 99.5], [7.0]):
        found = spread(wanted, 12.0, 0.0, 100.0)
        assert found == sorted(found)
        assert all(b - a >= 12.0 - 1e-9 for a, b in pairwise(found))
        assert found[0] >= 0.0
        assert found[-1] <= 100.0
    assert spread([1.0, 50.0], 12.0, 0.0, 100.0) == [1.0, 50.0]  # what has room is not moved
    assert spread([], 12.0, 0.0, 100.0) == []


def test_places_without_room_stand_evenly() -> None:
    assert spread([1.0, 2.0, 3.0], 12.0, 0.0, 10.0) == [0.0, 5.0, 10.0]


def test_things_of_many_sizes_are_stacked_without_touching() -> None:
    wanted, sizes = [10.0, 12.0, 80.0, 81.0], [16.0, 32.0, 16.0, 16.0]
    found = stacked(wanted, sizes, 0.0, 100.0)
    for (a, size), (b, other) in pairwise(zip(found, sizes, strict=True)):
        assert b - a >= (size + other) / 2.0 - 1e-9
    assert found[0] >= sizes[0] / 2.0
    assert found[-1] <= 100.0 - sizes[-1] / 2.0
    assert stacked([], [], 0.0, 10.0) == []
