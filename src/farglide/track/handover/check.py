"""Check: two words more that catch any wrong or swapped word, and point at a single wrong one.

Words are numbers of the field with 32 elements. The ten that carry something are followed by two,
so that the sum of all and the weighted sum of all are 0: any two sentences differ in three words.
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
    """The sum of all words and their weighted sum: both 0 for a sound sentence."""

    plain: int
    weighted: int


class Wrong(NamedTuple):
    """What may be wrong with a sentence: one word, and what it should be; or two in each other's
    place."""

    place: int  # from 0
    word: int
    swapped_with: int | None = None


def with_check(said: Sequence[int]) -> tuple[int, ...]:
    """Return ten numbers of words with the two that check them behind."""
    first = syndrome(said)
    # c10 + c11 = plain; a^10 c10 + a^11 c11 = weighted
    weights = _POWER[N_SAID], _POWER[N_SAID + 1]
    both = first.weighted ^ multiplied(weights[0], first.plain)
    last = divided(both, weights[0] ^ weights[1])
    return (*said, first.plain ^ last, last)


def syndrome(words: Sequence[int]) -> Syndrome:
    """Return both sums of a sentence."""
    plain = weighted = 0
    for k, word in enumerate(words):
        plain ^= word
        weighted ^= multiplied(_POWER[k], word)
    return Syndrome(plain, weighted)


def is_sound(words: Sequence[int]) -> bool:
    """Tell whether a sentence of twelve words checks."""
    return len(words) == N_WORDS and syndrome(words) == (0, 0)


def wrongs_of(words: Sequence[int]) -> list[Wrong]:
    """Return what may be wrong with a sentence that does not check: one word, or two swapped.

    Empty where it takes more. It points at places; what is right, those who spoke it know.
    """
    found, sums = list[Wrong](), syndrome(words)
    if sums.plain and sums.weighted:
        place = (_LOG[sums.weighted] - _LOG[sums.plain]) % (SIZE - 1)
        if place < N_WORDS:
            found.append(Wrong(place, words[place] ^ sums.plain))
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
