"""Known: what a typed entry is held against: the last place, the names, the plan, the marks."""

import difflib
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

from farglide.errors import AnswerError
from farglide.track.handover.sentence import AHEAD_S
from farglide.track.typed.entries import Entry, MarkKind

_LEAST_LIKE: Final = 0.75
_HARDLY: Final = 0.1  # of likeness: two names apart by a letter or two are both meant
_FEW: Final = 8
_NEAREST: Final = 3
"""So many names are listed whole; of more than that only the nearest to what was typed."""
_LATELY_S: Final = 600.0
"""In ten minutes no jet carries it farther than 40 km: a choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LastPlace:
    """The last true position: where, how high above sea level, when by UTC."""

    lat_deg: float
    lon_deg: float
    amsl_m: float
    t_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StandKnown:
    """A stand as entries name it: where, and where the nose of the standing car points, if said."""

    name: str
    lat_deg: float
    lon_deg: float
    amsl_m: float
    nose_deg: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """What is known when something is typed; None for what is not.

    `places`: names that a road may join, `marks`: those that stand, in their order; `expected`:
    where the plan, with all that was heard, has it about now; `begun`: the launch as it was, by
    marks, typed lines and fixes; `is_launched`: that it is in the air is known without a mark.
    `zone`: of the clock that the crew reads; `ahead_s`: so far to come a moment told may be.
    """

    t_s: float  # now, UTC
    zone: str = "UTC"
    ahead_s: float = AHEAD_S
    launch: LastPlace | None = None  # as planned
    begun: LastPlace | None = None
    is_launched: bool = False
    last: LastPlace | None = None
    expected: LastPlace | None = None
    stands: tuple[StandKnown, ...] = ()
    stand: str = ""  # where the crew is
    fields: tuple[str, ...] = ()
    places: tuple[str, ...] = ()
    planned_neck_kg: float | None = None
    hanging_kg: float | None = None
    marks: tuple[MarkKind, ...] = ()

    @property
    def since(self) -> LastPlace | None:
        """Return from where it has come: the last place, else the launch as it was."""
        return self.last or self.begun

    @property
    def about(self) -> LastPlace | None:
        """Return about where it is: seen lately, else expected, else seen at all, else launched."""
        if self.last is not None and self.t_s - self.last.t_s <= _LATELY_S:
            return self.last
        return self.expected or self.last or self.launch

    def stand_named(self, name: str) -> StandKnown | None:
        """Return the stand of a name, else the one where the crew is; None for neither."""
        wanted = name or self.stand
        return next((one for one in self.stands if one.name == wanted), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Understood:
    """What an entry was taken for, in words that the crew can check at a glance."""

    entry: Entry
    words: str


class Why(NamedTuple):
    """What an entry contradicts, and what may have been meant instead."""

    words: str
    meant: tuple[Understood, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedBack:
    """An entry that contradicts what is known: it is not taken until the crew says so.

    `alternatives`: what may have been meant, the nearest first; `typed`: as it stands, None where
    it is beyond its limits, so that it cannot be taken as it is.
    """

    typed: Understood | None
    why: str
    alternatives: tuple[Understood, ...] = ()

    @property
    def words(self) -> str:
        """Return the question in one line."""
        offered = " or ".join(one.words for one in self.alternatives)
        ask = f" Did you mean {offered}?" if offered else " Read it again."
        return f"{self.why}{ask}"


def named(typed: str, names: Sequence[str], what: str) -> str:
    """Return the one name that a text is the beginning of, or is nearly; refuse none and several.

    >>> named("tan", ["Tansy Lea", "Brackmoor"], "field"), named("brakmoor", ["Brackmoor"], "field")
    ('Tansy Lea', 'Brackmoor')
    """
    names = list(dict.fromkeys(names))  # a field and the stand beside it may share their name
    wanted = " ".join(typed.casefold().split())
    exact = [one for one in names if one.casefold() == wanted]
    begun = exact or [one for one in names if wanted and one.casefold().startswith(wanted)]
    begun = begun or [one for one in names if begins(wanted, one)]
    if not begun:
        begun = _nearly(wanted, names)
    if len(begun) > 1:
        raise AnswerError(f"{typed.strip()!r} may be any {what} of these: {_listed(begun)}.")
    if not begun:
        raise AnswerError(_unknown(typed.strip(), names, what))
    return begun[0]


def begins(typed: str, name: str) -> bool:
    """Tell whether a name, or one of its words, begins with what was typed.

    >>> [begins(one, "Wether Knap") for one in ("kn", "ther", " wether k")]
    [True, False, True]
    """
    wanted, words = " ".join(typed.casefold().split()), name.casefold().split()
    return bool(wanted) and any(" ".join(words[k:]).startswith(wanted) for k in range(len(words)))


def _nearly(wanted: str, names: Sequence[str]) -> list[str]:
    """Return the name that a text is nearly, with those that it is hardly less.

    >>> _nearly("stile gav", ["Stile Gap", "Stile Gate"]), _nearly("tansi", ["Tansy", "Brackmoor"])
    (['Stile Gap', 'Stile Gate'], ['Tansy'])
    """
    alike = {one: _alike(wanted, one) for one in names}
    most = max([_LEAST_LIKE, *alike.values()])
    near = [one for one in names if alike[one] >= max(_LEAST_LIKE, most - _HARDLY)]
    return sorted(near, key=lambda one: -alike[one])


def _unknown(typed: str, names: Sequence[str], what: str) -> str:
    """Return that nothing has a name, with those that are known; of many the nearest."""
    if not names:
        return f"There is no {what} {typed!r}: none is known."
    if not typed:
        return f"Which {what}? There are: {_listed(names)}."
    if len(names) <= _FEW:
        return f"There is no {what} {typed!r}. There are: {_listed(names)}."
    near = sorted(names, key=lambda one: -_alike(typed, one))[:_NEAREST]
    return f"There is no {what} {typed!r}. Nearest: {_listed(near)}."


def _listed(names: Sequence[str]) -> str:
    rest = len(names) - _FEW
    return ", ".join(names[:_FEW]) + (f" and {rest} more" if rest > 0 else "")


def _alike(typed: str, name: str) -> float:
    return difflib.SequenceMatcher(None, typed.casefold(), name.casefold()).ratio()
