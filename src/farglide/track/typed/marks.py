"""Marks: what the crew says has happened, held against what it said before and where it was."""

from collections.abc import Iterator
from typing import Final

from farglide.track.typed.entries import Entry, Mark, MarkKind, Undo
from farglide.track.typed.known import Known

_NEEDS: Final = {
    MarkKind.SENT: MarkKind.LAUNCHED, MarkKind.RELEASED: MarkKind.LAUNCHED,
    MarkKind.STUCK: MarkKind.SENT, MarkKind.BURST: MarkKind.LAUNCHED,
    MarkKind.LAST: MarkKind.LAUNCHED, MarkKind.DEAD: MarkKind.LAUNCHED,
    MarkKind.LANDED: MarkKind.LAUNCHED,
}  # fmt: skip
_ONCE: Final = (
    MarkKind.LAUNCHED, MarkKind.RELEASED, MarkKind.BURST, MarkKind.DEAD, MarkKind.LANDED,
)  # fmt: skip
_LOW_M: Final = 1500.0
"""So high over the launch nothing has landed that was seen there just now: no hill of the day."""
_LATELY_S: Final = 120.0


def mark_whys(kind: MarkKind, known: Known) -> Iterator[tuple[str, tuple[Entry, ...]]]:
    """Yield why a mark contradicts what is known, and what may have been meant."""
    marks = known.marks
    if kind in _ONCE and kind in marks:
        yield f"{kind.value.capitalize()} is marked already.", (Undo(kind=kind),)
    elif (needs := _NEEDS.get(kind)) is not None and needs not in marks:
        yield f"{needs.value.capitalize()} is not marked yet.", (Mark(kind=needs),)
    elif kind is not MarkKind.LANDED and MarkKind.LANDED in marks:
        yield "It is marked as landed.", (Undo(kind=MarkKind.LANDED),)
    elif kind is MarkKind.BURST and MarkKind.RELEASED in marks:
        yield "It is marked as released.", (Undo(kind=MarkKind.RELEASED),)
    elif kind is MarkKind.LANDED and (why := _aloft(known)):
        yield why, ()
    elif kind is MarkKind.BACK and _last_of(marks) is not MarkKind.LOST:
        yield "The picture is not marked as lost.", (Mark(kind=MarkKind.LOST),)


def _last_of(marks: tuple[MarkKind, ...]) -> MarkKind | None:
    """Return the last word about the picture."""
    told = [one for one in marks if one in (MarkKind.LOST, MarkKind.BACK, MarkKind.LAST)]
    return told[-1] if told else None


def _aloft(known: Known) -> str:
    """Return that it was seen aloft just now; nothing where it was not."""
    last, launch = known.last, known.launch
    if last is None or launch is None or known.t_s - last.t_s > _LATELY_S:
        return ""
    if last.amsl_m - launch.amsl_m < _LOW_M:
        return ""
    return f"It was {last.amsl_m / 1000.0:.1f} km up {known.t_s - last.t_s:.0f} s ago."
