"""Barriers, landmarks and all places of an area: what to keep away from, and what is known."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from farglide.atlas.fields import Field
from farglide.atlas.outline import LatLon, Outline, checked_corners
from farglide.errors import ContradictionError, InputError

BARRIER_KINDS: Final = ("water", "closed forest", "gorge", "border", "town", "no landing")
LANDMARK_KINDS: Final = ("road", "rail", "wires", "house")
_MOST_CORNERS: Final = 20_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Barrier:
    """An area not to come down in: what it is called, what it is, where, and a word about it."""

    name: str
    kind: str
    outline: Outline
    note: str = ""

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise InputError("barrier name", repr(self.name), "a name", "Each needs its own.")
        _check_kind("barrier", self.name, self.kind, BARRIER_KINDS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Landmark:
    """A line of corners (latitude, longitude): road, rail or wires; or a house.

    A house is one point, or its outline with the first corner again at the end.
    """

    name: str
    kind: str
    points: tuple[LatLon, ...]

    def __post_init__(self) -> None:
        _check_kind("landmark", self.name, self.kind, LANDMARK_KINDS)
        least = 1 if self.kind == "house" else 2
        if not least <= len(self.points) <= _MOST_CORNERS:
            name = f"corners of {self.kind} {self.name!r}"
            raise InputError(name, len(self.points), f"{least} to {_MOST_CORNERS}")
        points = checked_corners(self.points)
        is_closed = len(points) >= 4 and points[0] == points[-1]
        if self.kind == "house" and len(points) > 1 and not is_closed:
            allowed = "one point, or three or more corners and the first again"
            raise InputError(f"corners of house {self.name!r}", len(points), allowed)
        object.__setattr__(self, "points", tuple(points))


def check_barriers(barriers: Sequence[Barrier]) -> None:
    """Refuse two barriers of one name, compared without case and outer blanks."""
    names: set[str] = set()
    for barrier in barriers:
        name = barrier.name.strip().casefold()
        if name in names:
            raise ContradictionError(f"two barriers are called {barrier.name!r}.", "Rename one.")
        names.add(name)


def _check_kind(what: str, name: str, kind: str, allowed: Sequence[str]) -> None:
    if kind not in allowed:
        listed = ", ".join(repr(one) for one in allowed)
        raise InputError(f"kind of {what} {name!r}", repr(kind), f"one of {listed}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Places:
    """What is known of an area; `notes`: what a reader had to leave out or to take for granted."""

    fields: tuple[Field, ...] = ()
    barriers: tuple[Barrier, ...] = ()
    landmarks: tuple[Landmark, ...] = ()
    notes: tuple[str, ...] = ()

    def __add__(self, other: "Places") -> "Places":
        return Places(
            fields=self.fields + other.fields,
            barriers=self.barriers + other.barriers,
            landmarks=self.landmarks + other.landmarks,
            notes=self.notes + other.notes,
        )
