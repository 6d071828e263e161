"""Columns: lines of numbers and of JSON, mapped by the flight file."""

import pytest

from farglide.track.codecs.columns import ColumnsCodec
from farglide.track.codecs.tally import Cause
from farglide.track.reports import Fix, Heard, HeightKind, Report

from .feeding import NOON_T_S, raw, spec

CSV = ("1=time_unix_s", "3=lat_deg", "4=lon_deg", "5=height_ft", "6=speed_kt", "7=strength_dbm")
JSON = (
    "when=time_iso",
    "pos.lat=lat_e7_deg",
    "pos.lon=lon_e7_deg",
    "pos.alt=height_m",
    "sats=n_satellites",
)


def read(form: str, columns: tuple[str, ...], data: bytes) -> tuple[list[Report], ColumnsCodec]:
    codec = ColumnsCodec(spec(form, "udp://:5005", columns=columns, height="pressure"))  # type: ignore[arg-type]
    return codec.take(raw(data)), codec


@pytest.mark.parametrize(
    "line",
    [
        b"1800705600,x,48.5,11.25,1000,10,-93.5",
        b'1800705600.0, "x", "48.5", 11.25 ,1000,10,-93.5,more\r\n',
        b"1800705600;x;48,5;11,25;1000;10;-93,5",
        b"1800705600\tx\t48.5\t11.25\t1000\t10\t-93.5",
    ],
)
def test_numbers_behind_any_separator(line: bytes) -> None:
    (heard, fix), _ = read("csv", CSV, line)
    assert heard == Heard(feed="glider", t_s=NOON_T_S, strength_dbm=-93.5)
    assert isinstance(fix, Fix)
    assert (fix.lat_deg, fix.lon_deg, fix.t_s) == (48.5, 11.25, NOON_T_S)
    assert fix.height_m == pytest.approx(304.8)
    assert fix.speed_mps == pytest.approx(10 * 1852 / 3600)
    assert fix.height_kind is HeightKind.PRESSURE


def test_keys_of_json_by_their_path() -> None:
    line = (
        b'{"when":"2027-01-23T12:00:00Z","pos":{"lat":485000000,"lon":112500000,"alt":9},"sats":8}'
    )
    (fix,), _ = read("json", JSON, line)
    assert isinstance(fix, Fix)
    assert (fix.lat_deg, fix.lon_deg) == (pytest.approx(48.5), pytest.approx(11.25))
    assert (fix.t_s, fix.height_m, fix.n_satellites) == (NOON_T_S, 9.0, 8)


@pytest.mark.parametrize(
    ("line", "cause"),
    [
        (b"t,x,lat,lon,h,v,s", Cause.NO_LINE),
        (b"1800705600,x,48.5", Cause.HALF),
        (b"1800705600,x,,,1000,10,", Cause.NO_FIX),
        (b"1800705600,x,98.5,11.25,1000,10,", Cause.RANGE),
        (b"1800705600,x,48.5,11.25,1e300,10,", Cause.RANGE),
        (b"1800705600,x,48.5,nan,1000,10,", Cause.RANGE),
        (b"1800705600,x,4_8,11.25,1000,10,", Cause.NO_LINE),
        (b"\xff\xfe\xfd", Cause.NO_LINE),
    ],
)
def test_lines_that_are_no_report_say_why(line: bytes, cause: Cause) -> None:
    found, codec = read("csv", CSV, line)
    assert found == []
    assert codec.tally.causes == {cause: 1}


@pytest.mark.parametrize(
    ("line", "cause"),
    [
        (b'{"when":5,"pos":{"lat":1,"lon":1}}', Cause.RANGE),
        (b'{"when":"noon","pos":{"lat":1,"lon":1}}', Cause.RANGE),
        (b'{"pos":{"lat":[],"lon":1}}', Cause.NO_LINE),
        (b'{"pos":5}', Cause.NO_FIX),
        (b'{"pos":\n', Cause.HALF),
    ],
)
def test_objects_that_are_no_report_say_why(line: bytes, cause: Cause) -> None:
    found, codec = read("json", JSON, line)
    assert found == []
    assert codec.tally.causes == {cause: 1}


def test_a_strength_alone_says_that_it_is_heard() -> None:
    found, codec = read("csv", CSV, b",x,,,,,-101")
    assert found == [Heard(feed="glider", strength_dbm=-101.0)]
    assert codec.tally.n_unread == 0
