"""Asked: all that a search is asked with, and what was looked at, by the names of segments."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, NamedTuple

from farglide.errors import InputError, check_range
from farglide.search.bearings import Bearing
from farglide.search.cover import BUSH, Cover, cover_named
from farglide.search.datum import LastSeen
from farglide.search.heard import LastHeard
from farglide.search.order import Party
from farglide.search.stories import USUAL

_BUSH: Final = cover_named(BUSH)
_NAME: Final = re.compile(r"([A-Z]{1,3})(\d{0,3})", re.ASCII)


@dataclass(frozen=True, slots=True, kw_only=True)
class Looked:
    """A segment that the party looked at without finding it, and for how long."""

    segment: str
    seconds: float

    def __post_init__(self) -> None:
        split(self.segment)
        remedy = "Give the minutes that all looked: A=40."
        check_range(f"time in segment {self.segment}", self.seconds, "s", (0.0, 86_400.0), remedy)


class Split(NamedTuple):
    """A segment's letters, and how many bearings were told when it was made."""

    letters: str
    n_bearings: int


def split(name: str) -> Split:
    """Return what a segment's name says.

    >>> split("B2")
    Split(letters='B', n_bearings=2)
    """
    match = _NAME.fullmatch(name)
    if match is None:
        raise InputError("segment", repr(name), "a name as it was printed, such as A or B1")
    return Split(match[1], int(match[2] or 0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What is known and who looks.

    `bearings` in the order in which they were told: segments are made anew with each, and their
    names count them, so that what was looked at earlier keeps its place.
    """

    last: LastSeen
    party: Party
    weights: Mapping[str, float]
    bearings: tuple[Bearing, ...] = ()
    heard: tuple[LastHeard, ...] = ()
    looked: tuple[Looked, ...] = ()
    elsewhere: Cover = _BUSH  # what covers the ground where nothing tells
    notes: tuple[str, ...] = ()  # what was taken for granted while asking


def weights_of(told: Mapping[str, float]) -> Mapping[str, float]:
    """Return the weights of the stories, those that are told in place of the usual ones.

    A story is named by any of its words: hands, spiral, spin, straight, tied.
    """
    found = dict(USUAL)
    for word, weight in told.items():
        wanted = word.strip().casefold()
        names = [name for name in USUAL if wanted and wanted in re.split(r"[ ,]+", name)]
        if len(names) != 1:
            raise InputError("story", repr(word), "hands, spiral, spin, straight or tied")
        check_range(f"weight of {names[0]}", weight, "", (0.0, 1000.0), "0 leaves it out.")
        found[names[0]] = weight
    return found
