"""Undone: which entry is taken back by the word that it was typed with, and what it is called."""

from collections.abc import Mapping
from typing import Final

from farglide.errors import AnswerError
from farglide.track.handover.sentence import HandedOver
from farglide.track.typed.entries import (
    AtStand,
    Bearing,
    FieldRefused,
    FlownFor,
    Grade,
    LaunchLate,
    LaunchMoved,
    MarkKind,
    NeckLift,
    Overlay,
    RoadClosed,
    Seen,
    Undo,
)

_NAMES: Final[Mapping[type, str]] = {
    Overlay: "digits", Grade: "picture", Bearing: "direction", AtStand: "stand",
    NeckLift: "neck lift", LaunchLate: "later launch", LaunchMoved: "moved launch",
    RoadClosed: "road", FieldRefused: "refused field", FlownFor: "field flown for",
    HandedOver: "hand-over",
}  # fmt: skip
_WORDS: Final[Mapping[str, type]] = {
    "h": Overlay, "height": Overlay, "g": Overlay, "gps": Overlay, "digits": Overlay,
    "q": Grade, "pic": Grade, "picture": Grade, "grade": Grade,
    "a": Bearing, "ant": Bearing, "antenna": Bearing, "aim": Bearing, "t": Bearing,
    "theodolite": Bearing, "at": AtStand, "stand": AtStand, "n": NeckLift, "neck": NeckLift,
    "late": LaunchLate, "moved": LaunchMoved, "road": RoadClosed, "closed": RoadClosed,
    "refused": FieldRefused, "no": FieldRefused, "for": FlownFor, "over": HandedOver,
}  # fmt: skip
_SEEN: Final[Mapping[str, Seen]] = {"s": Seen.SUN, **{one.value: one for one in Seen}}


def undo_of(word: str, marks: Mapping[str, MarkKind]) -> Undo:
    """Return what takes back the last entry typed with a word; the last of all for none.

    >>> undo_of("neck", {}).takes(NeckLift(kg=1.6)), undo_of("q", {}).takes(NeckLift(kg=1.6))
    (True, False)

    Raises AnswerError for another word.
    """
    if not word:
        return Undo()
    if word in marks:
        return Undo(kind=marks[word])
    if word in _SEEN:
        return Undo(what=_SEEN[word])
    if word in _WORDS:
        return Undo(of=_WORDS[word])
    raise AnswerError(
        f"{word!r} takes nothing back. Type u alone for the last entry, or u and the word that "
        "it was typed with: u neck, u burst."
    )


def undo_words(undo: Undo) -> str:
    """Return what an undo takes back, by its kind.

    >>> undo_words(Undo(of=NeckLift)), undo_words(Undo())
    ('neck lift', 'entry')
    """
    if undo.kind is not None:
        return f"mark {undo.kind.value!r}"
    if undo.what is not None:
        return undo.what.value
    return "entry" if undo.of is None else _NAMES[undo.of]
