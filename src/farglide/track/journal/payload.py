"""Payloads: what a record says, as bytes and back."""

import json
from collections.abc import Mapping
from dataclasses import asdict
from typing import Any, Final

from farglide.errors import InputError, is_number
from farglide.track.journal.frame import Record
from farglide.track.reports import Fix, HeightKind, Raw

_LONGEST_NAME: Final = 255


def payload_of(document: Mapping[str, object]) -> bytes:
    """Return a document as UTF-8 JSON; raise InputError where JSON has no word for a value."""
    try:
        return json.dumps(document, allow_nan=False, separators=(",", ":")).encode()
    except (TypeError, ValueError, RecursionError) as error:
        allowed = "finite numbers, texts, true, false, lists and tables"
        raise InputError("a record of the log", f"no JSON ({error})", allowed) from error


def document_of(record: Record) -> dict[str, Any]:
    """Return the document of a record; raise ValueError where it holds none."""
    document = json.loads(record.payload)
    if not isinstance(document, dict):
        raise ValueError("is no table")
    return document


def raw_payload(feed: str, data: bytes) -> bytes:
    """Return the bytes of a feed with its name before them: 1 byte length, UTF-8, the bytes."""
    name = feed.encode("utf-8", "surrogateescape")
    if not 1 <= len(name) <= _LONGEST_NAME:
        raise InputError("feed", repr(feed[:40]), f"a name of 1 to {_LONGEST_NAME} bytes")
    return bytes([len(name)]) + name + data


def raw_of(record: Record) -> Raw:
    """Return what a feed said, as it came."""
    n = 1 + record.payload[0]
    return Raw(
        feed=record.payload[1:n].decode("utf-8", "surrogateescape"),
        monotonic_s=record.monotonic_s,
        utc_s=record.utc_s,
        data=record.payload[n:],
    )


def fix_payload(fix: Fix) -> bytes:
    """Return a fix as a document, without what it does not say."""
    return payload_of({name: x for name, x in asdict(fix).items() if x is not None})


def fix_of(record: Record) -> Fix:
    """Return the fix of a record; one whose sender says no time gets that of this machine's clock.

    Raises ValueError where the record holds no fix.
    """
    document = document_of(record)
    try:
        said = {"t_s": record.utc_s, **document}
        said["height_kind"] = HeightKind(said.get("height_kind", HeightKind.SEA_LEVEL))
        strange = [k for k, x in said.items() if not isinstance(x, str) and not is_number(x)]
        if strange:
            raise ValueError(f"{strange[0]} is no number")
        return Fix(**said)
    except TypeError as error:
        raise ValueError(f"holds no fix: {error}") from None
