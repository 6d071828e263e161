"""Frames: a record of the log as bytes, each sealed with a checksum that goes on from the last."""

import struct
from dataclasses import dataclass
from enum import IntEnum
from hashlib import blake2b
from typing import Final, NamedTuple

from farglide.errors import InputError

MOST_BYTES: Final = 1 << 26
"""Of one payload: the head holds the winds, which no flight has more of."""
SUM_BYTES: Final = 8
_FIELDS: Final = struct.Struct("<IBQdd")  # length of the payload, kind, number, monotonic, UTC
HEAD_BYTES: Final = _FIELDS.size
_PERSON: Final = b"farglide log 1"  # the bytes of no other file check, of whatever form


class Kind(IntEnum):
    """What a record holds: bytes as they came for `RAW`, for all others a JSON document."""

    HEAD = 1  # the flight file, the pack and the winds: the first record, and only that
    RAW = 2  # bytes of a feed
    FIX = 3  # what was read out of the raw record before it
    TYPED = 4  # an entry of the crew
    TICK = 5  # time passes
    LEARNT = 6  # slow tables: from which record they are computed, before which they are used
    ADVICE = 7
    MARK = 8  # launched, released, burst, down ...
    UNDO = 9  # takes back a mark or an entry, by its number
    NOTE = 10
    END = 11  # the crew ended the ride; a log that ends otherwise is unfinished


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """One record: its number counts from 0; `monotonic_s` since the ride began, all sittings.

    `utc_s` is this machine's clock, which may be wrong and may jump.
    """

    kind: Kind
    number: int
    monotonic_s: float
    utc_s: float
    payload: bytes


class Mark(NamedTuple):
    """A place between two records: the byte, and checksum and number of the record before it."""

    at_byte: int
    checksum: bytes
    number: int


START: Final = Mark(0, b"", -1)


def frame_of(record: Record, before: Mark) -> bytes:
    """Return the bytes of a record that follows a mark.

    Length (4 bytes), kind (1), number (8), monotonic and UTC time (8 each, IEEE 754), payload, and
    8 bytes of BLAKE2b over all of it and the checksum before: little-endian. Chained, so that a
    record of another log, or of an older state of this one that a disk brings back, does not
    check; 8 bytes, since a checksum of 4 passes one damaged record in four thousand million and a
    night of records is a million; BLAKE2b, since it is in Python and CRC-32C is not.

    Source: RFC 7693 and the BLAKE2 paper (section 2.8, personalisation; from memory).
    """
    head = _FIELDS.pack(
        len(record.payload), record.kind, record.number, record.monotonic_s, record.utc_s
    )
    body = head + record.payload
    return body + checksum_of(body, before.checksum)


def check_size(payload: bytes) -> None:
    """Refuse a payload larger than `MOST_BYTES`: no reader would take it."""
    if len(payload) > MOST_BYTES:
        given, most = f"{len(payload)} bytes", f"up to {MOST_BYTES} bytes"
        raise InputError("a record of the log", given, most, "Write it in parts.")


def fields_of(head: bytes) -> tuple[int, int, int, float, float]:
    """Return what stands before a payload, unchecked: its length, kind, number and both times."""
    return _FIELDS.unpack(head)


def checksum_of(body: bytes, before: bytes) -> bytes:
    """Return the checksum of a record's bytes that follow a record with another."""
    return blake2b(before + body, digest_size=SUM_BYTES, person=_PERSON).digest()


def after(mark: Mark, frame: bytes, number: int) -> Mark:
    """Return the mark behind a frame that was written at a mark."""
    return Mark(mark.at_byte + len(frame), frame[-SUM_BYTES:], number)
