"""KISS and AX.25: frames of a modem taken apart, and who sent which words in them.

Source: M. Chepponis and P. Karn, "The KISS TNC: a simple host-to-TNC communications protocol"
(1987), from memory; AX.25 Link Access Protocol, version 2.2 (1998), sections 3.12 (addresses), 4.2
(control field) and 3.4 (protocol identifier), from memory.
"""

import re
from collections.abc import Iterable
from typing import Final, NamedTuple

from farglide.track.codecs.tally import Cause, Tally, UnreadError

LONGEST: Final = 1024
"""Bytes of a frame: 256 of words, 70 of addresses, every one of them escaped."""
_END: Final = b"\xc0"
_ESCAPE: Final = re.compile(rb"\xdb[\xdc\xdd]")
_MEANT: Final = {b"\xdb\xdc": b"\xc0", b"\xdb\xdd": b"\xdb"}
_ADDRESS: Final = 7
_MOST_ADDRESSES: Final = 10
_UI, _POLL, _NO_LAYER_3 = 0x03, 0x10, 0xF0


class Heading(NamedTuple):
    """One frame: to whom it was sent, by whom, and its words."""

    to: str
    sender: str
    words: bytes


class KissFrames:
    """Takes the frames of a KISS port apart."""

    def __init__(self) -> None:
        self._rest = b""
        self._drops = True  # up to the first end of a frame, which may be met in the middle
        self._is_told = False  # that these bytes are dropped

    def take(self, data: bytes, tally: Tally) -> Iterable[bytes]:
        """Return the data frames that end in these bytes, without the byte of their port."""
        *frames, self._rest = (self._rest + data).split(_END)
        if self._drops and frames:
            if frames[0] and not self._is_told:
                self._spoil(tally, Cause.HALF)
            frames, self._drops, self._is_told = frames[1:], False, False
        if len(self._rest) > LONGEST:
            if not self._is_told:
                self._spoil(tally, Cause.HALF if self._drops else Cause.NO_LINE)
            self._rest, self._drops, self._is_told = b"", True, True
        whole = (self._unescaped(frame, tally) for frame in frames if frame)
        return [frame for frame in whole if frame]

    def _unescaped(self, frame: bytes, tally: Tally) -> bytes:
        """Return a frame as it was sent by radio; nothing where it is none of data."""
        if len(frame) > LONGEST or frame[0] & 0x0F:  # a command to the modem, an echo of one
            self._spoil(tally, Cause.NO_LINE if len(frame) > LONGEST else Cause.UNKNOWN)
            return b""
        return _ESCAPE.sub(lambda pair: _MEANT[pair[0]], frame[1:])

    def _spoil(self, tally: Tally, cause: Cause) -> None:
        tally.n_pieces += 1
        tally.causes[cause] += 1


def heading_of(frame: bytes) -> Heading:
    """Return addresses and words of a frame of unnumbered information. Raises UnreadError."""
    n = _n_addresses(frame)
    to, sender = (_station(frame[i * _ADDRESS : (i + 1) * _ADDRESS]) for i in range(2))
    rest = frame[n * _ADDRESS :]
    if len(rest) < 2:
        raise UnreadError(Cause.HALF)
    if rest[0] & ~_POLL != _UI or rest[1] != _NO_LAYER_3:
        raise UnreadError(Cause.UNKNOWN)
    return Heading(to, sender, rest[2:])


def _n_addresses(frame: bytes) -> int:
    """Return how many addresses there are: the lowest bit of its last byte marks the last."""
    for n in range(1, _MOST_ADDRESSES + 1):
        if len(frame) < n * _ADDRESS:
            raise UnreadError(Cause.HALF)
        if frame[n * _ADDRESS - 1] & 1:
            if n < 2:
                raise UnreadError(Cause.NO_LINE)
            return n
    raise UnreadError(Cause.NO_LINE)


def _station(address: bytes) -> str:
    """Return a call sign with its number, which is left out where it is 0."""
    sign = bytes(byte >> 1 for byte in address[:6]).rstrip()
    if not sign.isalnum() or any(byte & 1 for byte in address[:6]):
        raise UnreadError(Cause.NO_LINE)
    number = address[6] >> 1 & 0x0F
    return sign.decode("ascii", "replace") + (f"-{number}" if number else "")
