"""A frame holds a record and the chain to the one before; nothing in it may change."""

import struct
from hashlib import blake2b

import pytest

from farglide.errors import InputError
from farglide.track.journal.frame import (
    HEAD_BYTES,
    MOST_BYTES,
    START,
    SUM_BYTES,
    Kind,
    Mark,
    Record,
    after,
    check_size,
    checksum_of,
    fields_of,
    frame_of,
)

RECORD = Record(kind=Kind.TYPED, number=7, monotonic_s=1.5, utc_s=1.8e9, payload=b'{"a":1}')
BEFORE = Mark(100, b"12345678", 6)


def test_the_layout_is_the_documented_one() -> None:
    frame = frame_of(RECORD, BEFORE)
    told = struct.unpack("<IBQdd", frame[:29])
    assert told == (7, 4, 7, 1.5, 1.8e9)
    assert frame[29:36] == b'{"a":1}'
    # RFC 7693 by the standard library, written out anew
    told_sum = blake2b(b"12345678" + frame[:36], digest_size=8, person=b"farglide log 1").digest()
    assert frame[36:] == told_sum
    assert (HEAD_BYTES, SUM_BYTES) == (29, 8)


def test_fields_and_mark_read_back() -> None:
    frame = frame_of(RECORD, BEFORE)
    assert fields_of(frame[:HEAD_BYTES]) == (7, Kind.TYPED, 7, 1.5, 1.8e9)
    assert after(BEFORE, frame, 7) == Mark(144, frame[-8:], 7)


def test_a_record_behind_another_one_has_another_checksum() -> None:
    sums = {frame_of(RECORD, mark)[-8:] for mark in (START, BEFORE, BEFORE._replace(number=3))}
    assert len(sums) == 2  # the chain is by checksum alone
    assert checksum_of(b"a", b"b") != checksum_of(b"b", b"a")


def test_a_payload_that_is_too_large_is_refused() -> None:
    check_size(bytes(MOST_BYTES))
    with pytest.raises(InputError, match="is 67108865 bytes; allowed: up to 67108864 bytes"):
        check_size(bytes(MOST_BYTES + 1))
