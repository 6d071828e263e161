"""The check of a hand-over: every wrong word, every swap, and where it points."""

from itertools import combinations, permutations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from farglide.track.handover.check import (
    N_SAID,
    N_WORDS,
    SIZE,
    divided,
    is_sound,
    multiplied,
    syndrome,
    with_check,
    wrongs_of,
)

WORDS = st.lists(st.integers(0, SIZE - 1), min_size=N_SAID, max_size=N_SAID)


def sentences(n: int) -> list[tuple[int, ...]]:
    rng = np.random.default_rng(12)
    return [with_check(rng.integers(0, SIZE, N_SAID).tolist()) for _ in range(n)]


@given(WORDS)
def test_a_sentence_checks(said: list[int]) -> None:
    words = with_check(said)
    assert len(words) == N_WORDS
    assert list(words[:N_SAID]) == said
    assert is_sound(words)
    assert wrongs_of(words) == [] or len(set(words)) < N_WORDS


@pytest.mark.slow
def test_every_single_wrong_word_is_caught_and_found() -> None:
    for words in sentences(20):
        for place in range(N_WORDS):
            for other in range(SIZE):
                if other == words[place]:
                    continue
                wrong = (*words[:place], other, *words[place + 1 :])
                assert not is_sound(wrong)
                first = wrongs_of(wrong)[0]
                assert (first.place, first.word, first.swapped_with) == (place, words[place], None)


@pytest.mark.slow
def test_every_swap_is_caught_and_found() -> None:
    for words in sentences(100):
        for i, j in combinations(range(N_WORDS), 2):
            if words[i] == words[j]:
                continue
            swapped = list(words)
            swapped[i], swapped[j] = words[j], words[i]
            assert not is_sound(swapped)
            assert (i, j) in [(one.place, one.swapped_with) for one in wrongs_of(swapped)]


def test_any_two_wrong_words_are_caught() -> None:
    """Any two sentences differ in three words or more."""
    rng = np.random.default_rng(3)
    for words in sentences(2000):
        wrong = list(words)
        for place in rng.choice(N_WORDS, 2, replace=False).tolist():
            wrong[place] ^= int(rng.integers(1, SIZE))
        assert not is_sound(wrong)


def test_one_word_too_many_or_few_does_not_check() -> None:
    words = sentences(1)[0]
    assert not is_sound(words[:-1])
    assert not is_sound((*words, 0))


def test_the_field_is_one() -> None:
    """Every element but 0 has one inverse; products and sums go together."""
    for a in range(1, SIZE):
        assert sorted(multiplied(a, b) for b in range(SIZE)) == list(range(SIZE))
        assert multiplied(divided(1, a), a) == 1
    for a, b, c in ((3, 17, 30), (9, 9, 1), (31, 2, 16)):
        assert multiplied(a, b ^ c) == multiplied(a, b) ^ multiplied(a, c)
    assert divided(0, 5) == 0
    assert syndrome([0] * N_WORDS) == (0, 0)


def test_more_than_that_may_point_nowhere() -> None:
    rng = np.random.default_rng(5)
    found = [wrongs_of(rng.integers(0, SIZE, N_WORDS).tolist()) for _ in range(300)]
    assert any(one == [] for one in found)


@pytest.mark.parametrize("power", range(1, 31))
def test_no_two_places_weigh_the_same(power: int) -> None:
    one = syndrome([0] * (power % N_WORDS) + [1])
    assert one.once != 0
    assert one.twice == multiplied(one.once, one.once)


def test_groups_of_four_said_in_another_order_do_not_check() -> None:
    """One in 1 000 passes by chance; a sum that weighs all places alike would let 1 in 32 pass."""
    passed = n = 0
    for words in sentences(4000):
        groups = [words[:4], words[4:8], words[8:]]
        for order in permutations(range(3)):
            turned = tuple(word for k in order for word in groups[k])
            if turned != words:
                n += 1
                passed += is_sound(turned)
    assert n > 19_000
    assert passed / n < 0.002
