"""Entered: what the crew typed, as the log keeps it and back."""

from collections.abc import Mapping
from dataclasses import asdict
from enum import StrEnum
from typing import Any, Final, get_args

from farglide.errors import InputError
from farglide.track.journal.frame import Kind, Record
from farglide.track.journal.payload import document_of, payload_of
from farglide.track.typed.entries import Entry, Mark, MarkKind, Seen, Side

_KINDS: Final = {one.__name__: one for one in get_args(Entry)}
_ENUMS: Final[Mapping[str, type[StrEnum]]] = {"kind": MarkKind, "what": Seen, "side": Side}

_HAPPENED: Final[Mapping[str, MarkKind]] = {
    "launched": MarkKind.LAUNCHED, "release sent": MarkKind.SENT, "not released": MarkKind.STUCK,
    "released": MarkKind.RELEASED, "burst": MarkKind.BURST, "down": MarkKind.LANDED,
    "packs empty": MarkKind.DEAD,
}  # fmt: skip
"""What a rehearsal tells that a crew would mark."""


def entry_kind(entry: Entry) -> Kind:
    """Return of which kind the record of an entry is."""
    return Kind.MARK if isinstance(entry, Mark) else Kind.TYPED


def entry_payload(entry: Entry, t_s: float, line: str) -> bytes:
    """Return an entry as a document: when by UTC, the line as it was typed, and what it means."""
    return payload_of({"t_s": t_s, "line": line, "entry": type(entry).__name__, **asdict(entry)})


def entry_of(record: Record) -> tuple[float, Entry]:
    """Return when an entry was typed, and what it says. Raises ValueError where it is none."""
    document: dict[str, Any] = dict(document_of(record))
    t_s, name = document.pop("t_s", None), document.pop("entry", None)
    document.pop("line", None)
    if not isinstance(t_s, float) or name not in _KINDS:
        raise ValueError("holds no entry")
    said = {
        key: _ENUMS[key](x) if key in _ENUMS and x is not None else x for key, x in document.items()
    }
    try:
        return t_s, _KINDS[name](**said)
    except (TypeError, InputError) as error:
        raise ValueError(f"holds no entry: {error}") from None


def mark_payload(what: str, field: str) -> bytes:
    """Return what happened in a rehearsal as a document, and the field that it flies to."""
    return payload_of({"mark": what, "field": field})


def marked_of(record: Record) -> tuple[float, Entry] | None:
    """Return an entry and when it was made; None for what a rehearsal tells and no crew marks.

    Raises ValueError where it is none.
    """
    document = document_of(record)
    if "mark" not in document:
        return entry_of(record)
    kind = _HAPPENED.get(str(document["mark"]))
    return None if kind is None else (record.utc_s, Mark(kind=kind))


def undo_payload(number: int) -> bytes:
    """Return what takes back the entry of a record."""
    return payload_of({"takes_back": number})


def taken_back(record: Record) -> int:
    """Return the number of the record that an undo takes back. Raises ValueError for none."""
    number = document_of(record).get("takes_back")
    if not isinstance(number, int):
        raise ValueError("takes back no record")
    return number
