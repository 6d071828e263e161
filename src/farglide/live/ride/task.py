"""Task: what slow tables are computed from, what was typed among it."""

from dataclasses import dataclass, replace
from typing import Final

from farglide.earth.state import Place
from farglide.sortie.spec import Launch
from farglide.track.reports import Fix
from farglide.track.typed.entries import AtStand, Entry, NeckLift, RoadClosed
from farglide.track.typed.told import words_of

SHAPING: Final = (NeckLift, RoadClosed, AtStand)
"""Entries that change the flight itself: new tables are due at once."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entered:
    """One entry of the crew, by the number of its record, and when it was typed, UTC."""

    number: int
    t_s: float
    entry: Entry
    car: Fix | None = None  # where the car was, if that is heard

    @property
    def words(self) -> str:
        """Return what it says."""
        return words_of(self.entry)


@dataclass(frozen=True, slots=True, kw_only=True)
class Onward:
    """What the way ahead is asked of: a level glider, the field advised, where the car is.

    `t_s`: when it was asked, UTC; `glide`: the fixes of its glide so far, as far as it is steered.
    """

    t_s: float
    fix: Fix
    field: str
    car: Place | None
    glide: tuple[Fix, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """What slow tables are computed from; `number`: of the record that began them.

    `fixes`: of the balloon; `onward`: None while it carries the glider, or before one is level.
    """

    number: int
    launch: Launch
    refused: tuple[str, ...]
    fixes: tuple[Fix, ...]
    now_t_s: float
    points: tuple[Fix, ...] = ()  # places without a height
    entries: tuple[Entered, ...] = ()
    onward: Onward | None = None
    is_loose: bool = False

    @property
    def flight(self) -> tuple[object, ...]:
        """Return what makes it another flight than the files have."""
        return (
            self.launch,
            self.refused,
            *(one for one in self.entries if isinstance(one.entry, SHAPING)),
        )

    @property
    def learnt_by(self) -> tuple[object, ...]:
        """Return what draws and their laws hang on, short: all but roads and where the crew is."""
        told = (
            one.number for one in self.entries if not isinstance(one.entry, RoadClosed | AtStand)
        )
        return self.launch, self.refused, len(self.fixes), len(self.points), *told

    def carried(self, until_t_s: float) -> "Task":
        """Return the task with what tells of the balloon as long as it carried the glider."""
        fixes, points = (
            tuple(one for one in some if (one.t_s or 0.0) <= until_t_s)
            for some in (self.fixes, self.points)
        )
        entries = tuple(
            one for one in self.entries if one.t_s <= until_t_s or isinstance(one.entry, SHAPING)
        )
        return replace(
            self,
            fixes=fixes,
            points=points,
            entries=entries,
            now_t_s=min(self.now_t_s, until_t_s),
        )

    @property
    def asked_t_s(self) -> float:
        """Return of which moment its answers are, UTC."""
        return self.now_t_s if self.onward is None else self.onward.t_s
