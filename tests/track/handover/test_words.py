"""The words of a hand-over: how they were chosen, and how they are typed."""

from itertools import combinations

import pytest

from farglide.errors import AnswerError
from farglide.track.handover.words import (
    ALPHABET,
    LEFT_OUT,
    SOUNDS,
    distance_ratio,
    numbers_of,
)


def nearest(words: dict[str, str], word: str) -> list[float]:
    """Return how near the two words that sound most like one are to it."""
    return sorted(distance_ratio(words[word], words[other]) for other in words if other != word)[:2]


def test_there_are_32_and_figures_that_sound_most_like_another_word_are_left_out() -> None:
    words = dict(SOUNDS)
    for left_out in LEFT_OUT:
        figures = [word for word in words if word.isdigit()]
        assert min(figures, key=lambda word: nearest(words, word)) == left_out
        del words[left_out]
    assert tuple(words) == ALPHABET
    assert len(ALPHABET) == 32


def test_no_two_words_sound_alike() -> None:
    """At least 4 in 10 letters of their sounds differ between any two."""
    for one, other in combinations(ALPHABET, 2):
        assert distance_ratio(SOUNDS[one], SOUNDS[other]) > 0.4


def test_each_word_is_known_whole_by_its_letter_and_as_it_is_spoken_otherwise() -> None:
    assert numbers_of(" ".join(ALPHABET)) == tuple(range(32))
    assert numbers_of("".join(word[0] for word in ALPHABET)) == tuple(range(32))
    assert numbers_of("Alpha, juliet X-RAY niner eight") == numbers_of("a j x 9 8")


def test_a_word_that_is_none_is_named_with_the_nearest() -> None:
    with pytest.raises(AnswerError, match=r"Word 2, 'brawo', .* Did you mean bravo\?"):
        numbers_of("alfa brawo")
    with pytest.raises(AnswerError, match="Word 3, '4'"):
        numbers_of("a b 4")


def test_commas_and_stops_between_words_do_not_matter() -> None:
    assert numbers_of("alfa bravo, 1 2.") == numbers_of("ab12")


def test_letters_may_be_typed_in_groups() -> None:
    assert numbers_of("axbk 7cde 12ab") == numbers_of("axbk7cde12ab")
    assert numbers_of("kilo 7cde 12ab") == numbers_of("k i l o 7 c d e 1 2 a b")  # a word by chance
    assert numbers_of("axb, k7c, de1, 2ab.") == numbers_of("axbk7cde12ab")
    assert len(numbers_of("axbk 7cde 12a")) == 11  # one too few is told as such
    with pytest.raises(AnswerError, match="Word 1, 'axb4'"):
        numbers_of("axb4 7cde 12ab")
