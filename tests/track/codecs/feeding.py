"""What codecs are handed in tests: bytes as they came, feeds, and tables of other libraries."""

import json
from pathlib import Path
from typing import Any

from farglide.sortie.feeds import FeedFormat, FeedSpec, where_of
from farglide.track.codecs.sentence import checksum
from farglide.track.reports import Raw

TABLES = Path(__file__).parents[2] / "authorities" / "feeds"
NOON_T_S = 1800705600.0  # 2027-01-23T12:00:00Z


def raw(data: bytes, after_s: float = 0.0) -> Raw:
    return Raw(feed="glider", monotonic_s=after_s, utc_s=NOON_T_S + after_s, data=data)


def spec(form: FeedFormat = "nmea", where: str = "serial:/dev/x", **others: Any) -> FeedSpec:
    return FeedSpec(name="glider", where=where_of(where), format=form, **others)


def sentence(body: str) -> bytes:
    return b"$%s*%02X\r\n" % (body.encode(), checksum(body.encode()))


def rows(name: str) -> list[dict[str, Any]]:
    text = (TABLES / f"{name}.txt").read_text(encoding="utf-8")
    return [json.loads(line) for line in text.splitlines() if not line.startswith("#")]
