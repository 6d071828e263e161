"""Words: the 32 words of a hand-over sentence, as they are spoken, typed and heard."""

import re
from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Final

from farglide.errors import AnswerError
from farglide.track.handover.check import N_WORDS

SOUNDS: Final[Mapping[str, str]] = MappingProxyType({
    "alfa": "AL FAH", "bravo": "BRAH VOH", "charlie": "CHAR LEE", "delta": "DELL TAH",
    "echo": "ECK OH", "foxtrot": "FOKS TROT", "golf": "GOLF", "hotel": "HO TELL",
    "india": "IN DEE AH", "juliett": "JEW LEE ETT", "kilo": "KEY LOH", "lima": "LEE MAH",
    "mike": "MIKE", "november": "NO VEM BER", "oscar": "OSS CAH", "papa": "PAH PAH",
    "quebec": "KEH BECK", "romeo": "ROW ME OH", "sierra": "SEE AIR RAH", "tango": "TANG GO",
    "uniform": "YOU NEE FORM", "victor": "VIK TAH", "whiskey": "WISS KEY", "xray": "ECKS RAY",
    "yankee": "YANG KEY", "zulu": "ZOO LOO",
    "0": "ZE RO", "1": "WUN", "2": "TOO", "3": "TREE", "4": "FOW er", "5": "FIFE", "6": "SIX",
    "7": "SEV en", "8": "AIT", "9": "NIN er",
})  # fmt: skip
"""How each is spoken. Source: the spelling alphabet and figures of ICAO Annex 10 volume II, 5.2.1,
from memory."""
LEFT_OUT: Final = ("4", "5", "0", "3")
"""Four words too many for 32: of the figures, one by one, that which sounds most like another word
(by the share of letters of `SOUNDS` to be changed)."""
ALPHABET: Final = tuple(word for word in SOUNDS if word not in LEFT_OUT)
"""The words by their number."""
_OTHERS: Final = {
    "alpha": "alfa", "juliet": "juliett", "whisky": "whiskey", "one": "1", "wun": "1", "two": "2",
    "too": "2", "six": "6", "seven": "7", "eight": "8", "ait": "8", "nine": "9", "niner": "9",
}  # fmt: skip
_MARKS: Final = re.compile(r"[,.;]")
_BY_WORD: Final = {
    **{word[0]: k for k, word in enumerate(ALPHABET)},
    **{word: k for k, word in enumerate(ALPHABET)},
    **{said: ALPHABET.index(word) for said, word in _OTHERS.items()},
}


def numbers_of(text: str) -> tuple[int, ...]:
    """Return the numbers of words as they are typed: whole, by their letter, or letters in groups.

    >>> numbers_of("Alfa x-ray 7"), numbers_of("ax7"), numbers_of("ax 7b")
    ((0, 23, 29), (0, 23, 29), (0, 23, 29, 1))

    Raises AnswerError, which names the word that is none and the nearest that is one.
    """
    typed = _MARKS.sub(" ", text.casefold().replace("x-ray", "xray")).split()
    if _are_groups(typed):
        typed = list("".join(typed))
    found = []
    for place, word in enumerate(typed, start=1):
        if word not in _BY_WORD:
            near = min(ALPHABET, key=lambda one: distance_ratio(word, one))
            raise AnswerError(f"Word {place}, {word!r}, is none of the words. Did you mean {near}?")
        found.append(_BY_WORD[word])
    return tuple(found)


def _are_groups(typed: Sequence[str]) -> bool:
    """Tell whether letters are typed in groups: then some are no words, though others may be.

    Twelve letters are a sentence, with "kilo" among its groups or not; fewer or more are groups
    where no word is whole.
    """
    if all(one in _BY_WORD for one in typed):
        return False
    if len(typed) == 1:
        return True
    letters = "".join(typed)
    if any(one not in _BY_WORD for one in letters):
        return False
    is_bare = all(len(one) > 1 and one not in _BY_WORD for one in typed)
    return is_bare or len(letters) == N_WORDS


def distance_ratio(one: str, other: str) -> float:
    """Return the share of letters to change, add or take away that makes one text the other.

    >>> distance_ratio("five", "nine"), distance_ratio("mike", "mike")
    (0.5, 0.0)

    Source: V. Levenshtein, 1965, over the longer length.
    """
    before = list(range(len(other) + 1))
    for i, a in enumerate(one, start=1):
        now = [i]
        for j, b in enumerate(other, start=1):
            now.append(min(before[j] + 1, now[-1] + 1, before[j - 1] + (a != b)))
        before = now
    return before[-1] / max(len(one), len(other), 1)
