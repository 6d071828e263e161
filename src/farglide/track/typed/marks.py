"""Marks: what the crew says has happened, held against what it said before and where it was."""

from collections.abc import Iterator
from typing import Final

from farglide.earth.clock import clock_text
from farglide.track.typed.entries import Mark, MarkKind, Undo
from farglide.track.typed.known import Known, Understood, Why
from farglide.track.typed.told import understood

_AFTER: Final = (
    MarkKind.SENT, MarkKind.RELEASED, MarkKind.BURST, MarkKind.LAST, MarkKind.DEAD, MarkKind.LANDED,
)  # fmt: skip
"""What happens in the air alone."""
_ONCE: Final = (
    MarkKind.LAUNCHED, MarkKind.RELEASED, MarkKind.BURST, MarkKind.DEAD, MarkKind.LANDED,
)  # fmt: skip
_BEFORE_LANDED: Final = (MarkKind.SENT, MarkKind.RELEASED, MarkKind.BURST)
"""What comes before a landing, and may have been forgotten to mark."""
_TYPED: Final = {
    MarkKind.SENT: "sent", MarkKind.RELEASED: "released", MarkKind.BURST: "burst",
}  # fmt: skip
_LOW_M: Final = 1500.0
"""So high over the launch nothing has landed that was seen there just now: no hill of the day."""
_LATELY_S: Final = 120.0


def mark_whys(kind: MarkKind, known: Known) -> Iterator[Why]:
    """Yield why a mark contradicts what is known, and what may have been meant."""
    marks = known.marks
    if kind in _ONCE and kind in marks:
        yield Why(f"{kind.value.capitalize()} is marked already.", (understood(Undo(kind=kind)),))
    elif kind is MarkKind.LAUNCHED and (later := [one for one in marks if one in _AFTER]):
        words = f"{later[0].value.capitalize()} is marked: a launch now cannot be. Type late N."
        yield Why(words)
    elif kind in _AFTER and not _is_launched(known):
        yield _unlaunched(kind, known)
    elif kind is MarkKind.STUCK and MarkKind.SENT not in marks:
        words = "Release sent is not marked yet."
        yield Why(words, (understood(Mark(kind=MarkKind.SENT)),))
    elif kind in _BEFORE_LANDED and MarkKind.LANDED in marks:
        yield _landed(kind)
    elif kind is not MarkKind.LANDED and MarkKind.LANDED in marks:
        yield Why("It is marked as landed.", (understood(Undo(kind=MarkKind.LANDED)),))
    elif kind is MarkKind.BURST and MarkKind.RELEASED in marks:
        yield Why("It is marked as released.", (understood(Undo(kind=MarkKind.RELEASED)),))
    elif kind is MarkKind.LANDED and (why := _aloft(known)):
        yield Why(why)
    elif kind is MarkKind.BACK and _last_of(marks) is not MarkKind.LOST:
        words = "The picture is not marked as lost."
        yield Why(words, (understood(Mark(kind=MarkKind.LOST)),))


def _landed(kind: MarkKind) -> Why:
    """Return the question about what is marked after the landing: forgotten, or it still flies."""
    told = understood(Mark(kind=kind))
    forgotten = Understood(entry=told.entry, words=f"{told.words}, before it landed")
    back = f"landed taken back, it still flies (then type {_TYPED[kind]} again)"
    return Why(
        "It is marked as landed: did that come before it, or does it still fly?",
        (forgotten, Understood(entry=Undo(kind=MarkKind.LANDED), words=back)),
    )


def _is_launched(known: Known) -> bool:
    """Tell whether it is known to be in the air: marked, seen, or taken for it once already."""
    later = any(one in _AFTER for one in known.marks)
    return known.is_launched or MarkKind.LAUNCHED in known.marks or later


def _unlaunched(kind: MarkKind, known: Known) -> Why:
    """Return the one question about a launch that nobody marked, and no fix tells."""
    begun = known.begun
    if begun is None:
        return Why("Launched is not marked yet.", (understood(Mark(kind=MarkKind.LAUNCHED)),))
    at = clock_text(begun.t_s, known.zone)
    if known.t_s < begun.t_s:
        return Why(f"The launch is still to come, at {at}.")
    told = understood(Mark(kind=kind))
    offered = Understood(entry=told.entry, words=f"{told.words}, launched {at}")
    return Why(f"Nobody marked the launch: it counts as of {at}.", (offered,))


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
