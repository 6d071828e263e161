"""Inventory: the producer's index of a file, and which of its bytes hold the wanted fields."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final, NamedTuple

from farglide.earth.clock import seconds_from_text
from farglide.errors import FetchError, InputError, Unfetched

_LINE: Final = re.compile(
    r"(\d{1,6})(?:\.(\d{1,3}))?:(\d{1,12}):d=(\d{10})(?:\d{4})?:([^:]+):([^:]+):([^:]*)(?::(.*))?",
    re.ASCII,
)
_LEVEL: Final = re.compile(r"(\d{1,6}(?:\.\d{1,6})?) mb", re.ASCII)
_MOST_LINES: Final = 20_000
LARGEST_BYTES: Final = 4_000_000
"""The longest index known holds 100 000 bytes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class IndexLine:
    """One field of a file: in which message it stands, where that begins, what and when it is."""

    message: int
    within: int  # 1, 2 where fields share a message, else 0
    first_byte: int
    run_t_s: float
    field: str
    level: str
    time: str
    member: str

    @property
    def hpa(self) -> float | None:
        """Return the pressure of the level, None where it is none of pressure."""
        found = _LEVEL.fullmatch(self.level)
        return float(found[1]) if found else None


class Span(NamedTuple):
    """Bytes of a file, both ends among them; the last one of an open end is None."""

    first: int
    last: int | None

    @property
    def length(self) -> int | None:
        """Return how many bytes, None where the end is open."""
        return None if self.last is None else self.last - self.first + 1


def read_index(text: str, address: str) -> tuple[IndexLine, ...]:
    """Return the lines of an index as they stand in it.

    Raises `FetchError` of the cause `WRONG` where it is none.
    """
    lines = [line for line in text.splitlines() if line.strip()]
    if not lines or len(lines) > _MOST_LINES:
        raise _wrong(address, "", f"holds {len(lines)} lines, which no index does.")
    found = tuple(_line(line, i, address) for i, line in enumerate(lines, start=1))
    for i, (before, after) in enumerate(pairwise(found), start=2):
        if after.first_byte <= before.first_byte and not _is_shared(before, after):
            raise _wrong(address, f"line {i}", "does not begin after the line before it.")
    if found[0].first_byte != 0:
        raise _wrong(address, "line 1", "does not begin with the first byte.")
    return found


def spans_of(
    lines: Sequence[IndexLine], pairs: Iterable[tuple[str, float]], member: str = ""
) -> tuple[Span, ...]:
    """Return the bytes of the messages that hold the wanted fields on their levels, in order.

    Messages that follow each other become one span. `member`: as the index names it; empty takes
    all. A message that holds several fields is taken once, and whole.
    """
    wanted = set(pairs)
    begins = sorted({line.first_byte for line in lines})
    ends = dict(zip(begins, [*(one - 1 for one in begins[1:]), None], strict=True))
    taken = sorted(
        {
            line.first_byte
            for line in lines
            if line.hpa is not None
            and (line.field, line.hpa) in wanted
            and (not member or line.member == member)
        }
    )
    spans: list[Span] = []
    for first in taken:
        last = ends[first]
        if spans and spans[-1].last == first - 1:
            spans[-1] = Span(spans[-1].first, last)
        else:
            spans.append(Span(first, last))
    return tuple(spans)


def lacking(
    lines: Sequence[IndexLine], pairs: Iterable[tuple[str, float]]
) -> tuple[tuple[str, float], ...]:
    """Return the wanted fields that an index does not hold."""
    there = {(line.field, line.hpa) for line in lines}
    return tuple(pair for pair in pairs if pair not in there)


def _line(text: str, i: int, address: str) -> IndexLine:
    found = _LINE.fullmatch(text)
    if not found:
        what = f'is no line of an index: "{ascii(text[:60])[1:-1]}".'
        raise _wrong(address, f"line {i}", what)
    message, within, first, run, field, level, time, member = found.groups(default="")
    try:
        at = f"{run[:4]}-{run[4:6]}-{run[6:8]}T{run[8:]}:00:00Z"
        run_t_s = seconds_from_text(at)
    except InputError as error:
        raise _wrong(address, f"line {i}", f"has no time of a run: {run}.") from error
    return IndexLine(
        message=int(message), within=int(within or 0), first_byte=int(first), run_t_s=run_t_s,
        field=field, level=level, time=time, member=member,
    )  # fmt: skip


def _is_shared(before: IndexLine, after: IndexLine) -> bool:
    """Tell whether two lines are fields of one message."""
    is_same = after.first_byte == before.first_byte and after.message == before.message
    return is_same and after.within > before.within


def _wrong(address: str, where: str, what: str) -> FetchError:
    return FetchError(Unfetched.WRONG, address, where, what, "Fetch it again later.")
