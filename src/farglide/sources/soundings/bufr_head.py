"""Head of a BUFR report: who, where and when, read off its first bits without decoding the rest."""

import math
from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any, Final, NamedTuple

from farglide.sources.files import utc_s
from farglide.sources.soundings.bufr_messages import PRESSURE, RawMessage, table_b

# Elements of table B, WMO-No. 306, volume I.2.
HEAD: Final = {
    1001: "block", 1002: "station", 4001: "year", 4002: "month", 4003: "day", 4004: "hour",
    4005: "minute", 4006: "second", 5001: "lat_deg", 5002: "lat_deg", 6001: "lon_deg",
    6002: "lon_deg", 7030: "ground_m", 7001: "ground_m",
}  # fmt: skip
_NEEDED: Final = {"year", "month", "day", "hour", "lat_deg", "lon_deg"}
_COMPRESSED: Final = 0x40
_SECTION_2: Final = 0x80
_MOST_BITS: Final = 64  # of a number; texts are longer and passed over


class ReportPlace(NamedTuple):
    """Where and when a report was made; NaN where it does not say."""

    lat_deg: float
    lon_deg: float
    t_s: float


class _Layout(NamedTuple):
    """What a message says of its data before them."""

    n_subsets: int
    is_compressed: bool
    versions: tuple[int, ...]  # table, centre, sub-centre, version, local version
    elements: tuple[int, ...]  # FXXYYY as numbers, not expanded
    bits: bytes


def n_reports(message: RawMessage) -> int:
    """Return how many reports a message says it holds, one at least."""
    layout = _layout(message.data)
    return max(layout.n_subsets, 1) if layout else 1


def spot_of(message: RawMessage) -> ReportPlace | None:
    """Return where and when the one report of a message was made; None where decoding must tell.

    That is a message of several reports, a compressed one, or one whose head holds an operator or
    a repetition before its place. Source: WMO-No. 306, volume I.2, FM 94 BUFR, sections 1, 3 and 4.
    """
    layout = _layout(message.data)
    if layout is None or layout.n_subsets != 1 or layout.is_compressed:
        return None
    head = _head(layout)
    return spot(head) if head.keys() >= _NEEDED else None


def spot(head: Mapping[str, Any]) -> ReportPlace:
    """Return where and when a report was made, out of the elements of its head."""
    lat_deg, lon_deg = number(head, "lat_deg"), number(head, "lon_deg")
    if not abs(lat_deg) <= 90.0 or not abs(lon_deg) <= 180.0:
        lat_deg = lon_deg = math.nan
    return ReportPlace(lat_deg, lon_deg, _moment_s(head))


def number(values: Mapping[str, Any], name: str) -> float:
    """Return a value as a number, NaN where there is none."""
    value = values.get(name)
    return float(value) if isinstance(value, int | float) else math.nan


def _moment_s(head: Mapping[str, Any]) -> float:
    try:
        after_midnight_s = 3600.0 * int(head["hour"]) + 60.0 * int(head.get("minute") or 0)
        second_s = float(head.get("second") or 0.0)
        return utc_s(
            int(head["year"]), int(head["month"]), int(head["day"]), after_midnight_s + second_s
        )
    except (KeyError, TypeError, ValueError, OverflowError):
        return math.nan


def _layout(data: bytes) -> _Layout | None:
    """Return how a message of edition 3 or 4 is laid out; None where its sections do not fit."""
    edition = data[7]
    if edition not in (3, 4):
        return None
    first = data[8:]
    if edition == 4:
        numbers = first[3:4] + first[13:15]
        centre, sub = int.from_bytes(first[4:6], "big"), int.from_bytes(first[6:8], "big")
    else:
        numbers = first[3:4] + first[10:12]
        centre, sub = int.from_bytes(first[5:6], "big"), int.from_bytes(first[4:5], "big")
    has_second = first[9 if edition == 4 else 7 :][:1] >= bytes([_SECTION_2])
    place = 8
    for _ in range(2 if has_second else 1):
        place += int.from_bytes(data[place : place + 3], "big")
    third = data[place : place + int.from_bytes(data[place : place + 3], "big")]
    if len(numbers) < 3 or len(third) < 9:
        return None
    pairs = zip(third[7::2], third[8::2], strict=False)
    return _Layout(
        n_subsets=int.from_bytes(third[4:6], "big"),
        is_compressed=bool(third[6] & _COMPRESSED),
        versions=(numbers[0], centre, sub, numbers[1], numbers[2]),
        elements=tuple((a >> 6) * 100_000 + (a & 63) * 1000 + b for a, b in pairs),
        bits=data[place + len(third) + 4 :],
    )


def _head(layout: _Layout) -> dict[str, Any]:
    """Return the elements of the head, as far as they stand before the first pressure."""
    found: dict[str, Any] = {}
    bits, at = int.from_bytes(layout.bits[:512], "big"), 8 * len(layout.bits[:512])
    for element in _expanded(layout.versions, layout.elements):
        if element is None or int(element.id) == PRESSURE or found.keys() >= _WHOLE:
            break
        at -= element.nbits
        if at < 0:
            break
        name = HEAD.get(int(element.id))
        if name is not None and element.nbits <= _MOST_BITS and name not in found:
            missing = (1 << element.nbits) - 1
            raw = (bits >> at) & missing
            is_known = raw != missing
            found[name] = (raw + element.refval) / 10.0**element.scale if is_known else None
    return found


_WHOLE: Final = set(HEAD.values())


@cache
def _expanded(versions: tuple[int, ...], elements: tuple[int, ...]) -> tuple[Any, ...]:
    """Return the elements at the start of a template; None ends them where they cannot be told."""
    return tuple(_walk([table_b(versions).lookup(one) for one in elements]))


def _walk(descriptors: list[Any]) -> Iterator[Any]:
    for one in descriptors:
        if hasattr(one, "nbits"):
            yield one
        elif hasattr(one, "members") and int(one.id) >= 300_000:
            for below in _walk(one.members):
                yield below
                if below is None:
                    return
        else:  # an operator, a repetition, or unknown
            yield None
            return
