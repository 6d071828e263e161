"""Feeds under soak: streams of each format, fed whole and in pieces, to one and the same end."""

import json
import random
import zlib
from pathlib import Path
from typing import Final

from farglide.errors import SourceError
from farglide.sortie.feeds import FeedFormat, FeedSpec, where_of
from farglide.track.codecs.codec import Codec
from farglide.track.codecs.codecs import codec_of
from farglide.track.codecs.tally import Cause
from farglide.track.reports import Raw, Report

_TABLES: Final = Path(__file__).parents[1] / "authorities" / "feeds"
_SPOILT: Final = (Cause.NO_LINE, Cause.CHECKSUM, Cause.HALF, Cause.RANGE)
_MOST_HELD: Final = 8192
_CSV: Final = ("1=time_unix_s", "2=lat_deg", "3=lon_deg", "4=height_ft", "5=strength_dbm")
_JSON: Final = ("t=time_iso", "pos.lat=lat_e7_deg", "pos.lon=lon_e7_deg", "dbm=strength_dbm")
_COLUMNS: Final = {"csv": _CSV, "json": _JSON}
_TPV: Final = {
    "class": "TPV", "mode": 3, "time": "2027-01-23T12:00:00.000Z", "lat": 48.1, "lon": 11.5,
    "altHAE": 592.3, "altMSL": 545.4, "geoidSep": 46.9, "track": 84.4, "speed": 11.5,
}  # fmt: skip


def streams(form: FeedFormat) -> list[bytes]:
    """Return whole streams of a format, each a few messages."""
    lines = _messages(form)
    return [b"".join(lines[i : i + 8]) for i in range(0, len(lines), 8)]


def fed(form: FeedFormat, path: Path) -> None:
    """Feed the bytes of a file, whole and in pieces; both must come to the same.

    Raises SourceError where the codec counted a piece as spoilt.
    """
    data = path.read_bytes()
    rng = random.Random(zlib.crc32(data))
    whole, cut = _codec(form), _codec(form)
    found, at, same = _taken(whole, data), 0, list[Report]()
    while at < len(data):
        n = rng.choice((1, 3, 17, 80, 500))
        same += cut.take(_raw(data[at : at + n]))
        at += n
    same += cut.flush()
    if same != found or cut.tally != whole.tally:
        raise AssertionError(f"{whole.tally} whole and {cut.tally} in pieces")
    if len(vars(cut._splitter)["_rest"]) > _MOST_HELD:
        raise AssertionError("held more than one message")
    if any(whole.tally.causes[cause] for cause in _SPOILT):
        raise SourceError(path.name, "", f"spoilt: {whole.tally.causes}")


def _taken(codec: Codec, data: bytes) -> list[Report]:
    return [*codec.take(_raw(data)), *codec.flush()]


def _codec(form: FeedFormat) -> Codec:
    where, columns = where_of("serial:/dev/x"), _COLUMNS.get(form, ())
    return codec_of(
        FeedSpec(name="a", where=where, format=form, sender="N0CALL-11", columns=columns)
    )


def _raw(data: bytes) -> Raw:
    return Raw(feed="a", monotonic_s=1.0, utc_s=1_800_705_600.0, data=data)


def _messages(form: FeedFormat) -> list[bytes]:
    if form == "gpsd":
        return [
            json.dumps({**_TPV, "time": f"2027-01-23T12:00:{n:02d}.000Z"}).encode() + b"\r\n"
            for n in range(40)
        ]
    if form == "csv":
        return [f"{1_800_705_600 + n},48.5,11.25,{n},-{90 + n}\n".encode() for n in range(40)]
    if form == "json":
        place = {"pos": {"lat": 485000000, "lon": 112500000}, "dbm": -93.5}
        return [
            json.dumps({"t": f"2027-01-23T12:00:{n:02d}Z", **place}).encode() + b"\n"
            for n in range(40)
        ]
    text = (_TABLES / f"{form}.txt").read_text(encoding="utf-8")
    rows = [json.loads(line) for line in text.splitlines() if not line.startswith("#")]
    whole = [row for row in rows[:160] if "fault" not in row]
    if form == "packet":
        sentences = [one.rstrip() for one in _messages("nmea")[:40]]
        reports = [(row["to"], bytes.fromhex(row["hex"])) for row in whole]
        return [_kissed(*one) for one in (*reports, *(("APZ001", one) for one in sentences))]
    return [bytes.fromhex(row["hex"]) + b"\r\n" * (form == "nmea") for row in whole]


def _kissed(to: str, words: bytes) -> bytes:
    heads = _address(to, 0) + _address("N0CALL", 11 << 1 | 1)
    escaped = (heads + b"\x03\xf0" + words).replace(b"\xdb", b"\xdb\xdd")
    return b"\xc0\x00" + escaped.replace(b"\xc0", b"\xdb\xdc") + b"\xc0"


def _address(sign: str, rest: int) -> bytes:
    return bytes(ord(letter) << 1 for letter in sign.ljust(6)) + bytes([0x60 | rest])
