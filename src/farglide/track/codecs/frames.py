"""Frames: MAVLink packets of both versions found in bytes, each checked by its checksum.

Source: the published protocol guide, "Packet serialization" and "Checksum" (MAVLink 1 and 2), from
memory, held against the protocol's general library. The checksum is CRC-16/MCRF4XX over all bytes
but the first, and one more byte that stands for the layout of the message.
"""

from collections.abc import Iterable, Mapping
from typing import Final, NamedTuple

from farglide.track.codecs.tally import Cause, Tally

_ONE, _TWO = 0xFE, 0xFD
_HEAD_ONE, _HEAD_TWO = 6, 10
_CHECK, _SIGNATURE = 2, 13
_SIGNED: Final = 0x01
LONGEST: Final = _HEAD_TWO + 255 + _CHECK + _SIGNATURE


class Head(NamedTuple):
    """What a packet says of itself: its message, where that begins and ends, and its own end."""

    message: int
    begins: int
    ends: int
    size: int


class MavFrames:
    """Takes packets apart; hands on those of known messages as their number and their words.

    `extra_of`: the byte of each known message that its checksum includes.
    """

    def __init__(self, extra_of: Mapping[int, int]) -> None:
        self._extra_of = extra_of
        self._rest = b""

    def take(self, data: bytes, tally: Tally) -> Iterable[bytes]:
        """Return the known packets that end in these bytes: three bytes of number, then words."""
        held, at, found = self._rest + data, 0, list[bytes]()
        while (start := _next_start(held, at)) >= 0:
            self._skip(tally, start - at)
            head = _head_of(held, start)
            if head is None or start + head.size > len(held):
                at, inside = start, self._known_inside(held, start + 1)
                if inside < 0:
                    break
                self._skip(tally, inside - at)
                at = inside
            elif self._is_sound(held, start, head):
                at = start + head.size
                if head.message in self._extra_of:
                    words = held[start + head.begins : start + head.ends]
                    found.append(head.message.to_bytes(3, "little") + words)
                else:
                    self._count(tally, Cause.UNKNOWN)
            else:
                self._count(tally, Cause.CHECKSUM)
                at = start + 1
        else:
            self._skip(tally, len(held) - at)
            at = len(held)
        self._rest = held[at:]
        return found

    def _known_inside(self, held: bytes, at: int) -> int:
        """Return where a known packet stands whole behind a start that was none, -1 without one."""
        while (at := _next_start(held, at)) >= 0:
            head = _head_of(held, at)
            is_known = head is not None and head.message in self._extra_of
            if head and is_known and at + head.size <= len(held) and self._is_sound(held, at, head):
                return at
            at += 1
        return -1

    def _is_sound(self, held: bytes, at: int, head: Head) -> bool:
        """Tell whether a packet holds together.

        One of a message that is not known cannot be checked: it counts as one if another begins
        behind it, or nothing has come yet.
        """
        extra = self._extra_of.get(head.message)
        if extra is None:
            after = held[at + head.size : at + head.size + 1]
            return not after or after in (b"\xfe", b"\xfd")
        said = int.from_bytes(held[at + head.ends : at + head.ends + _CHECK], "little")
        return crc_of(held[at + 1 : at + head.ends] + bytes([extra])) == said

    def _skip(self, tally: Tally, n_bytes: int) -> None:
        if n_bytes > 0:
            self._count(tally, Cause.NO_LINE)

    def _count(self, tally: Tally, cause: Cause) -> None:
        tally.n_pieces += 1
        tally.causes[cause] += 1


def crc_of(data: bytes) -> int:
    """Return the CRC-16/MCRF4XX of bytes.

    >>> hex(crc_of(b"123456789"))
    '0x6f91'
    """
    crc = 0xFFFF
    for byte in data:
        crc = crc >> 8 ^ _TABLE[(crc ^ byte) & 0xFF]
    return crc


def _entry(byte: int) -> int:
    for _ in range(8):
        byte = byte >> 1 ^ 0x8408 * (byte & 1)
    return byte


_TABLE: Final = tuple(map(_entry, range(256)))


def _next_start(held: bytes, at: int) -> int:
    """Return where the next packet may begin, -1 where none does."""
    found = [start for one in (_ONE, _TWO) if (start := held.find(one, at)) >= 0]
    return min(found, default=-1)


def _head_of(held: bytes, at: int) -> Head | None:
    """Return the head of the packet at a place, None where it is not whole yet."""
    is_two = held[at] == _TWO
    n_head = _HEAD_TWO if is_two else _HEAD_ONE
    if len(held) - at < n_head:
        return None
    n_words = held[at + 1]
    message = int.from_bytes(held[at + 7 : at + 10], "little") if is_two else held[at + 5]
    signature = _SIGNATURE if is_two and held[at + 2] & _SIGNED else 0
    size = n_head + n_words + _CHECK + signature
    return Head(message, n_head, n_head + n_words, size)
