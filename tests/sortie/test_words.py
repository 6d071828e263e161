"""Words for chances: the nearest there are, on their own side of what classes them."""

import numpy as np
import pytest

from farglide.errors import InputError
from farglide.sortie.spec import Wish
from farglide.sortie.words import at_least_words, at_most_words, chance_words, shares_words

BOUNDS = Wish().bounds
_BETTER = [
    "under 1 in 50",
    "1 in 50",
    "1 in 30",
    "1 in 20",
    *(f"{n} in 10" for n in range(1, 5)),
    "5 in 10",
]
BETTER = [*_BETTER, *(f"{n} in 10" for n in range(6, 10)), "19 in 20", "over 49 in 50"]


@pytest.mark.parametrize(
    ("ratio", "words"),
    [
        (0.896, "8 in 10"),  # doubtful: not told as the 9 in 10 that opens a field
        (0.9, "9 in 10"),
        (0.93, "9 in 10"),
        (0.49, "4 in 10"),  # shut: not told as the even chance that is doubtful
        (0.5, "5 in 10"),
        (0.84, "8 in 10"),
    ],
)
def test_no_chance_is_told_across_what_classes_it(ratio: float, words: str) -> None:
    assert chance_words(ratio, BOUNDS) == words


@pytest.mark.parametrize(
    ("ratio", "words"),
    [(0.019, "under 1 in 50"), (0.02, "1 in 50"), (0.03, "1 in 30"), (0.04, "1 in 20")],
)
def test_a_small_share_is_not_rounded_up_to_1_in_20(ratio: float, words: str) -> None:
    assert chance_words(ratio) == words


def test_words_rise_with_the_chance_and_change_side_with_it() -> None:
    for bounds in ((), BOUNDS, (0.5, 0.85, 0.97), (0.52, 0.9)):
        told = [BETTER.index(chance_words(n / 1000.0, bounds)) for n in range(1001)]
        assert told == sorted(told)
    for n in range(1001):
        side = BETTER.index(chance_words(n / 1000.0, BOUNDS)) >= BETTER.index("9 in 10")
        assert side == (n >= 900)


def test_where_no_words_lie_between_two_bounds_the_nearest_are_told() -> None:
    assert chance_words(0.925, (0.92, 0.93)) == "9 in 10"


@pytest.mark.parametrize(
    ("ratio", "at_least", "at_most"),
    [
        (0.0, "", "under 1 in 50"),
        (0.0199, "", "under 1 in 50"),
        (0.03, "1 in 50", "1 in 30"),
        (0.04, "1 in 30", "1 in 20"),
        (0.1, "1 in 10", "1 in 10"),
        (0.139, "1 in 10", "2 in 10"),
        (0.3, "3 in 10", "3 in 10"),  # as tenths are added up, not a hair less
        (0.656, "6 in 10", "7 in 10"),
        (0.97, "19 in 20", "49 in 50"),
        (1.0, "49 in 50", "10 in 10"),
    ],
)
def test_a_bound_is_never_told_as_better_than_it_is(
    ratio: float, at_least: str, at_most: str
) -> None:
    assert at_least_words(ratio) == at_least
    assert at_most_words(ratio) == at_most


def test_a_chance_in_percent_is_refused() -> None:
    with pytest.raises(InputError, match="ratio"):
        at_least_words(70.0)
    with pytest.raises(InputError, match="ratio"):
        at_most_words(70.0)
    with pytest.raises(InputError, match="ratio"):
        chance_words(93.0, BOUNDS)


def test_chances_that_exclude_each_other_add_up_to_ten_in_ten() -> None:
    rng = np.random.default_rng(11)
    for n in (2, 3, 4, 5):
        for ratios in rng.dirichlet(np.full(n, 4.0), 400).tolist():
            words = shares_words(ratios)
            if min(ratios) < 0.1:  # told in twentieths and less, or raised to a tenth
                continue
            tenths = [int(one.removesuffix(" in 10")) for one in words]
            assert sum(tenths) == 10
            assert max(abs(10.0 * a - b) for a, b in zip(ratios, tenths, strict=True)) < 1.0


def test_what_is_rare_keeps_its_own_words() -> None:
    assert shares_words([0.93, 0.05, 0.02]) == ["9 in 10", "1 in 20", "1 in 50"]
    assert shares_words([0.0, 1.0]) == ["under 1 in 50", "over 49 in 50"]
    assert shares_words([0.06, 0.94]) == ["1 in 10", "9 in 10"]
    some = shares_words([0.34, 0.34])  # not all stories are listed
    assert sorted(some) == ["3 in 10", "4 in 10"]
    with pytest.raises(InputError, match=r"ratio is 1\.2"):
        shares_words([1.2])
