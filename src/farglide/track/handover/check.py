"""Check: two words more that catch any wrong or swapped word, and point at a single wrong one.

Words are numbers of the field with 32 elements. The ten that carry something are followed by two,
so that the sums of all, weighted by a^i and by a^2i at place i, are 0: any two sentences differ in
three words, and every place has weights of its own in both.
Source: I. Reed & G. Solomon, Polynomial codes over certain finite fields, 1960; the field by
x^5 + x^2 + 1.
"""

from collections.abc import Sequence
from itertools import combinations
from typing import Final, NamedTuple

N_SAID: Final = 10
N_WORDS: Final = 12
SIZE: Final = 32
_POLYNOMIAL: Final = 0b100101


def _powers() -> list[int]:
    found, x = [], 1
    for _ in range(SIZE - 1):
        found.append(x)
        x <<= 1
        if x & SIZE:
            x ^= _POLYNOMIAL
    return found


_POWER: Final = _powers()
_LOG: Final = {x: k for k, x in enumerate(_POWER)}


class Syndrome(NamedTuple):
    """The sums of all words, weighted once and twice over: both 0 for a sound sentence."""

    once: int
    twice: int


class Wrong(NamedTuple):
    """What may be wrong with a sentence: one word, and what it should be; or two in each other's
    place."""

    place: int  # from 0
    word: int
    swapped_with: int | None = None


def with_check(said: Sequence[int]) -> tuple[int, ...]:
    """Return ten numbers of words with the two that check them behind."""
    first = syndrome(said)
    # p c10 + q c11 = once; p^2 c10 + q^2 c11 = twice, with p = a^10 and q = a^11
    p, q = _POWER[N_SAID], _POWER[N_SAID + 1]
    last = divided(first.twice ^ multiplied(p, first.once), multiplied(q, p ^ q))
    return (*said, divided(first.once ^ multiplied(q, last), p), last)


def syndrome(words: Sequence[int]) -> Syndrome:
    """Return both sums of a sentence."""
    once = twice = 0
    for k, word in enumerate(words):
        once ^= multiplied(_POWER[k % (SIZE - 1)], word)
        twice ^= multiplied(_POWER[2 * k % (SIZE - 1)], word)
    return Syndrome(once, twice)


def is_sound(words: Sequence[int]) -> bool:
    """Tell whether a sentence of twelve words checks."""
    return len(words) == N_WORDS and syndrome(words) == (0, 0)


def wrongs_of(words: Sequence[int]) -> list[Wrong]:
    """Return what may be wrong with a sentence that does not check: one word, or two swapped.

    Empty where it takes more. It points at places; what is right, those who spoke it know.
    """
    found, sums = list[Wrong](), syndrome(words)
    if sums.once and sums.twice:
        place = (_LOG[sums.twice] - _LOG[sums.once]) % (SIZE - 1)
        if place < N_WORDS:
            found.append(Wrong(place, words[place] ^ divided(sums.once, _POWER[place])))
    for i, j in combinations(range(N_WORDS), 2):
        turned = list(words)
        turned[i], turned[j] = words[j], words[i]
        if syndrome(turned) == (0, 0):
            found.append(Wrong(i, words[j], j))
    return found


def multiplied(one: int, other: int) -> int:
    """Return a product in the field.

    >>> multiplied(0b10000, 0b10)  # x^4 times x is x^2 + 1
    5
    """
    if not one or not other:
        return 0
    return _POWER[(_LOG[one] + _LOG[other]) % (SIZE - 1)]


def divided(one: int, other: int) -> int:
    """Return a quotient in the field; `other` is not 0."""
    return 0 if not one else _POWER[(_LOG[one] - _LOG[other]) % (SIZE - 1)]
