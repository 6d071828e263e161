"""Frames: packets found in bytes cut anywhere, with noise between, and nothing held for ever."""

import pytest

from farglide.track.codecs.frames import LONGEST, MavFrames, crc_of
from farglide.track.codecs.tally import Cause, Tally

from .feeding import rows

EXTRA = {24: 24, 30: 39, 33: 104}
STREAM = b"".join(bytes.fromhex(row["hex"]) for row in rows("mavlink")[:160])


def taken(*chunks: bytes) -> tuple[list[bytes], Tally]:
    frames, tally = MavFrames(EXTRA), Tally()
    return [one for chunk in (*chunks, b"\xfe") for one in frames.take(chunk, tally)], tally


@pytest.mark.parametrize("size", [1, 7, 300, 10**6])
def test_packets_come_whole_however_they_were_cut(size: int) -> None:
    found, tally = taken(*(STREAM[i : i + size] for i in range(0, len(STREAM), size)))
    assert len(found) == 120
    assert set(tally.causes) == {Cause.UNKNOWN}
    assert tally.causes[Cause.UNKNOWN] == 40  # beats of its heart


def test_noise_between_packets_loses_none_of_them() -> None:
    one = bytes.fromhex(rows("mavlink")[0]["hex"])
    found, tally = taken(b"noise" + one + b"\x00\x01" + one + b"\xfe" + one + one)
    assert len(found) == 4
    assert tally.causes == {Cause.NO_LINE: 2, Cause.CHECKSUM: 1}


def test_a_signed_packet_ends_behind_its_signature() -> None:
    one = bytearray.fromhex(rows("mavlink")[100]["hex"])
    assert one[0] == 0xFD
    one[2] = 1
    words_end = 10 + one[1]
    crc = crc_of(bytes(one[1:words_end]) + bytes([EXTRA[int.from_bytes(one[7:10], "little")]]))
    one[words_end : words_end + 2] = crc.to_bytes(2, "little")
    found, tally = taken(bytes(one) + b"s" * 13 + STREAM[:60])
    assert len(found) == 2
    assert tally.causes == {}


def test_no_more_is_held_than_one_packet() -> None:
    frames, tally = MavFrames(EXTRA), Tally()
    for k in range(50):
        list(frames.take(bytes((i * k) % 256 for i in range(1000)), tally))
        assert len(frames._rest) < LONGEST
