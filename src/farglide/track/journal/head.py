"""Head: what a log begins with, to be read when flight file, pack and winds are gone."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from farglide.errors import SourceError, is_number
from farglide.track.journal.frame import Record
from farglide.track.journal.payload import document_of, payload_of

FORM: Final = "farglide log 1"
_ANOTHER: Final = "Give the log another name, or ride with the flight that it was begun with."
_NOUNS: Final = {"flight": "flight file", "manifest": "pack", "winds": "winds"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """What a ride was begun with, each as the text it was read from; `program` is the version.

    `speed`: of a rehearsal, how many times as fast as life it was sat through; None: of a flight.
    """

    flight: str
    manifest: str
    winds: str
    program: str
    speed: float | None = None


def head_payload(head: Head) -> bytes:
    """Return the bytes of a head."""
    rehearsed = {} if head.speed is None else {"rehearsal_speed": head.speed}
    return payload_of(
        {
            "form": FORM,
            "program": head.program,
            **rehearsed,
            "flight": head.flight,
            "manifest": head.manifest,
            "winds": head.winds,
        }
    )


def head_of(path: str, record: Record) -> Head:
    """Return the head of a log; raise SourceError where it is of another form."""
    try:
        document = document_of(record)
    except ValueError as error:
        raise SourceError(path, "head", f"cannot be read: {error}.", "It is no log.") from None
    form = document.get("form")
    if form != FORM:
        what = f"is written in the form {form!r}; this farglide reads {FORM!r}."
        raise SourceError(path, "head", what, "Read it with the farglide that wrote it.")
    flight, manifest, winds, program = (
        _text(path, document, name) for name in ("flight", "manifest", "winds", "program")
    )
    speed = document.get("rehearsal_speed")
    if speed is not None and not is_number(speed):
        what = "holds no number for 'rehearsal_speed'."
        raise SourceError(path, "head", what, "It is no log.")
    return Head(flight=flight, manifest=manifest, winds=winds, program=program, speed=speed)


def check_same_flight(path: str, head: Head, asked: Head) -> None:
    """Refuse to go on with the log of another flight; the program may be a newer one.

    A rehearsal is another flight than the one that is flown.
    """
    if head.speed != asked.speed:
        was, now = _kind(head), _kind(asked)
        raise SourceError(path, "head", f"is the log of {was}, and this is {now}.", _ANOTHER)
    differing = [
        noun for name, noun in _NOUNS.items() if getattr(head, name) != getattr(asked, name)
    ]
    if differing:
        what = f"is the log of another flight: another {' and other '.join(differing)}."
        raise SourceError(path, "head", what, _ANOTHER)


def _kind(head: Head) -> str:
    if head.speed is None:
        return "a flight"
    return f"a rehearsal at {head.speed:g} times real time"


def _text(path: str, document: Mapping[str, object], name: str) -> str:
    text = document.get(name)
    if not isinstance(text, str):
        raise SourceError(path, "head", f"holds no text for {name!r}.", "It is no log.")
    return text
