"""What is asked: names of segments, weights of stories, and limits."""

import pytest

from farglide.chances.falls import HANDS_OFF, SPIRAL, TANGLED
from farglide.errors import InputError
from farglide.search.asked import Looked, split, weights_of
from farglide.search.stories import STRAIGHT, USUAL


def test_names_count_the_bearings() -> None:
    assert split("AB") == ("AB", 0)
    assert split("C12") == ("C", 12)


@pytest.mark.parametrize("name", ["", "a", "1", "A-1", "ABCD", "A1234"])
def test_what_is_no_segment(name: str) -> None:
    with pytest.raises(InputError, match=r"segment is .*; allowed: a name as it was printed"):
        Looked(segment=name, seconds=60.0)


def test_times_have_limits() -> None:
    with pytest.raises(InputError, match=r"time in segment A is -60 s; .* A=40\."):
        Looked(segment="A", seconds=-60.0)


def test_stories_by_one_of_their_words() -> None:
    found = weights_of({"hands": 2.0, "Spiral": 0.0, "tied": 1.0, "straight": 3.0})
    assert [found[name] for name in (HANDS_OFF, SPIRAL, TANGLED, STRAIGHT)] == [2.0, 0.0, 1.0, 3.0]
    assert weights_of({}) == USUAL


def test_what_is_no_story() -> None:
    for word in ("", "glider", "wave"):
        with pytest.raises(InputError, match=r"story is .*; allowed: hands, spiral, spin"):
            weights_of({word: 1.0})
    with pytest.raises(InputError, match=r"weight of glider in a spin is -1; .* 0 leaves it out"):
        weights_of({"spin": -1.0})
