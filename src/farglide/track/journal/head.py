"""Head: what a log begins with, to be read when flight file, pack and winds are gone."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from farglide.errors import SourceError
from farglide.track.journal.frame import Record
from farglide.track.journal.payload import document_of, payload_of

FORM: Final = "farglide log 1"
_ANOTHER: Final = "Give the log another name, or ride with the flight that it was begun with."
_NOUNS: Final = {"flight": "flight file", "manifest": "pack", "winds": "winds"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """What a ride was begun with, each as the text it was read from; `program` is the version."""

    flight: str
    manifest: str
    winds: str
    program: str


def head_payload(head: Head) -> bytes:
    """Return the bytes of a head."""
    return payload_of(
        {
            "form": FORM,
            "program": head.program,
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
    return Head(**{name: _text(path, document, name) for name in Head.__slots__})


def check_same_flight(path: str, head: Head, asked: Head) -> None:
    """Refuse to go on with the log of another flight; the program may be a newer one."""
    differing = [
        noun for name, noun in _NOUNS.items() if getattr(head, name) != getattr(asked, name)
    ]
    if differing:
        what = f"is the log of another flight: another {' and other '.join(differing)}."
        raise SourceError(path, "head", what, _ANOTHER)


def _text(path: str, document: Mapping[str, object], name: str) -> str:
    text = document.get(name)
    if not isinstance(text, str):
        raise SourceError(path, "head", f"holds no text for {name!r}.", "It is no log.")
    return text
