"""Dot letters: every letter has its own shape, and any text can be written."""

import string

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from farglide.present.draw.maps.dot_letters import LINE, dots

LETTERS = string.ascii_letters + string.digits + ".,:;-+/()'&?=\"_%#!"


def test_every_letter_has_a_shape_of_its_own() -> None:
    """But for the nought, which the words round it tell from the letter O."""
    shapes = {letter: (dots(letter).shape, dots(letter).tobytes()) for letter in LETTERS}
    assert len(set(shapes.values())) == len(LETTERS) - 1
    assert shapes["0"] == shapes["O"]
    for letter in LETTERS:
        assert dots(letter).shape[0] == LINE
        assert dots(letter).any()
        assert 1 <= dots(letter).shape[1] <= 5


def test_only_letters_that_hang_reach_below_the_line() -> None:
    hanging = {letter for letter in LETTERS if dots(letter)[7:].any()}
    assert hanging == set("gjpqy,;_")


def test_digits_are_equally_wide_so_that_columns_stand() -> None:
    assert {dots(digit).shape[1] for digit in string.digits} == {5}


def test_words_stand_side_by_side() -> None:
    both = dots("ab")
    assert np.array_equal(both[:, :5], dots("a"))
    assert np.array_equal(both[:, 6:], dots("b"))
    assert not both[:, 5].any()
    assert np.array_equal(dots("ab", 3)[::3, ::3], both)
    assert dots("").shape == (LINE, 0)


def test_what_is_not_drawn() -> None:
    assert np.array_equal(dots("Åré – “x”"), dots("Are - ?x?"))
    assert np.array_equal(dots("水"), dots("?"))
    assert np.array_equal(dots("a\u00a0b\tc"), dots("a b c"))


@given(st.text(max_size=30))
def test_any_text(words: str) -> None:
    drawn = dots(words)
    assert drawn.shape[0] == LINE
    assert drawn.dtype == np.bool_
