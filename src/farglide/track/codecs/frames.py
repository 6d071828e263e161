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
        self._is_noisy = False

    def take(self, data: bytes, tally: Tally) -> Iterable[bytes]:
        """Return the known packets that end in these bytes: three bytes of number, then words."""
        held, at, found = self._rest + data, 0, list[bytes]()
        while (start := _next_start(held, at)) >= 0:
            self._skip(tally, start - at)
            at, head = start, _head_of(held, start)
            size = head.size if head else LONGEST
            is_whole = head is not None and start + self._n_to_tell(head) <= len(held)
            if head and is_whole and self._is_sound(held, start, head):
                at, self._is_noisy = start + size, False
                if head.message in self._extra_of:
                    words = held[start + head.begins : start + head.ends]
                    found.append(head.message.to_bytes(3, "little") + words)
                else:
                    self._count(tally, Cause.UNKNOWN)
            elif is_whole or self._has_known_inside(held, start, size):
                self._count(tally, Cause.CHECKSUM)
                at, self._is_noisy = start + 1, True
            else:
                break
        else:
            self._skip(tally, len(held) - at)
            at = len(held)
        self._rest = held[at:]
        return found

    def _n_to_tell(self, head: Head) -> int:
        """Return how many bytes tell whether a packet is one: an unknown one by the next start."""
        return head.size + (head.message not in self._extra_of)

    def _is_sound(self, held: bytes, at: int, head: Head) -> bool:
        """Tell whether a packet holds together.

        One of a message that is not known cannot be checked: it counts as one where the next
        begins behind it and no known one stands in it.
        """
        extra = self._extra_of.get(head.message)
        if extra is None:
            is_followed = held[at + head.size] in (_ONE, _TWO)
            return is_followed and not self._has_known_inside(held, at, head.size)
        said = int.from_bytes(held[at + head.ends : at + head.ends + _CHECK], "little")
        return crc_of(held[at + 1 : at + head.ends] + bytes([extra])) == said

    def _has_known_inside(self, held: bytes, start: int, size: int) -> bool:
        """Tell whether a known packet stands whole behind a start, which then was none."""
        at, end = start + 1, min(start + size, len(held))
        while 0 <= (at := _next_start(held, at)) < end:
            head = _head_of(held, at)
            is_known = head is not None and head.message in self._extra_of
            if head and is_known and at + head.size <= end and self._is_sound(held, at, head):
                return True
            at += 1
        return False

    def _skip(self, tally: Tally, n_bytes: int) -> None:
        """Count what stands between packets once, in however many pieces it came."""
        if n_bytes > 0 and not self._is_noisy:
            self._count(tally, Cause.NO_LINE)
            self._is_noisy = True

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
