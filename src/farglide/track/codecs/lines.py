"""Lines: bytes taken apart at their line ends, however they were cut on the way."""

import re
from collections.abc import Iterable
from typing import Final

from farglide.sortie.feeds import Where
from farglide.track.codecs.tally import Cause, Tally

LONGEST: Final = 4096
"""Bytes of a line; what is longer is none, and is not held."""
_END: Final = re.compile(rb"[\r\n]+")


def lines_of(where: Where, end: bytes = b"") -> "Lines":
    """Return what takes the lines of a feed apart: over UDP they need no end but this one."""
    return Lines(re.compile(end + rb"\s*\Z") if where.kind == "udp" else None)


class Lines:
    """Takes lines apart; `end`: how a line without its end closes a batch, as in a datagram."""

    def __init__(self, end: re.Pattern[bytes] | None = None) -> None:
        self._closing = end
        self._rest = b""
        self._drops = False  # the beginning of this line was too long and is gone

    def take(self, data: bytes, tally: Tally) -> Iterable[bytes]:
        """Return the lines that end in these bytes, without their ends and without empty ones."""
        *lines, self._rest = _END.split(self._rest + data)
        if self._closing is not None and self._closing.search(self._rest):
            lines.append(self._rest)
            self._rest = b""
        if self._drops and lines:
            lines, self._drops = lines[1:], False
        if len(self._rest) > LONGEST:
            self._spoil(tally)
            self._rest, self._drops = b"", True
        return [line for line in lines if line and self._fits(line, tally)]

    def _fits(self, line: bytes, tally: Tally) -> bool:
        if len(line) <= LONGEST:
            return True
        self._spoil(tally)
        return False

    def _spoil(self, tally: Tally) -> None:
        if not self._drops:
            tally.n_pieces += 1
            tally.causes[Cause.NO_LINE] += 1
