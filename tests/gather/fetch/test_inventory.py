"""Indices of the producers: the byte ranges of two real ones, worked out by hand."""

import re

import pytest
from bench.forecastserver.fields import index_of
from hypothesis import given, settings
from hypothesis import strategies as st

from farglide.errors import FetchError, Unfetched
from farglide.gather.fetch.inventory import Span, lacking, read_index, spans_of

from .server import REAL, real_index

GFS = read_index(real_index("gfs_0p25_20260723.idx"), "gfs")
GEFS = read_index(real_index("gefs_mean_20260723.idx"), "gefs")
WINDS = ("UGRD", "VGRD")


def test_every_line_of_the_real_ones_is_read() -> None:
    assert (len(GFS), len(GEFS)) == (696, 71)
    assert {line.run_t_s for line in (*GFS, *GEFS)} == {1_784_764_800.0}  # 2026-07-23 00 UTC
    assert (GFS[100].field, GFS[100].hpa, GFS[100].first_byte) == ("UGRD", 1.0, 77_316_626)
    assert GEFS[0].member == "ens mean"
    assert GFS[0].hpa is None  # mean sea level
    assert {line.hpa for line in GFS if line.hpa} >= {1000.0, 0.01, 0.4}


def test_ranges_are_those_worked_out_by_hand() -> None:
    # From one line's first byte to one before the next line's, e.g. lines 101 to 103 of the first:
    # 101:77316626:UGRD:1 mb, 102:77863207:VGRD:1 mb, 103:78336409:ABSV:1 mb.
    assert spans_of(GFS, [("UGRD", 1.0), ("VGRD", 1.0)]) == (Span(77_316_626, 78_336_408),)
    assert spans_of(GFS, [("VGRD", 1.0)]) == (Span(77_863_207, 78_336_408),)
    assert spans_of(GFS, [("HGT", 1.0), ("TMP", 1.0), ("UGRD", 10.0)]) == (
        Span(72_756_179, 74_344_990),  # 95 and 96, up to RH at 97:74344991
        Span(117_831_847, 118_743_393),  # 151, up to 152:118743394
    )
    # 1:0:HGT:10, 2:200935:TMP:10, 3:335675:RH:10, 4:380565:UGRD:10, 5:643932, 6:889634:HGT:50
    assert spans_of(GEFS, [("HGT", 10.0), ("UGRD", 10.0), ("VGRD", 10.0)]) == (
        Span(0, 200_934),
        Span(380_565, 889_633),
    )
    assert Span(0, 200_934).length == 200_935


def test_the_last_message_has_an_open_end() -> None:
    text = real_index("gefs_mean_20260723.idx").splitlines()
    lines = read_index("\n".join(text[:2]), "cut after TMP at 10 hPa")
    assert spans_of(lines, [("TMP", 10.0)]) == (Span(200_935, None),)
    assert Span(200_935, None).length is None


def test_all_wanted_fields_of_the_real_one_weigh_a_fifth_of_it() -> None:
    levels = sorted({line.hpa for line in GFS if line.hpa and line.hpa >= 1.0})
    pairs = [(field, hpa) for hpa in levels for field in ("HGT", "TMP", *WINDS)]
    assert len(pairs) == 4 * 33
    spans = spans_of(GFS, pairs)
    assert len(spans) == 2 * 33 + 1  # heights with temperatures, u with v; at 1000 hPa apart
    assert sum(span.length or 0 for span in spans) == 106_156_548
    assert lacking(GFS, pairs) == ()
    assert lacking(GFS, [("HGT", 1.0), ("HGT", 123.0)]) == (("HGT", 123.0),)


def test_fields_that_share_a_message_are_taken_once_and_whole() -> None:
    # The real messages of 2011 hold u and v together: 12.1 and 12.2 at one first byte.
    text = index_of(REAL)
    shared = re.findall(r"^(\d+)\.1:(\d+):d=2011011012:UGRD:10 mb:.*\n\1\.2:\2:", text, re.M)
    assert len(shared) == 1
    lines, first = read_index(text, "real"), int(shared[0][1])
    (both,) = spans_of(lines, [("UGRD", 10.0), ("VGRD", 10.0)])
    assert both == spans_of(lines, [("UGRD", 10.0)])[0] == spans_of(lines, [("VGRD", 10.0)])[0]
    assert both.first == first
    assert both.last is not None
    message = REAL.read_bytes()[both.first : both.last + 1]
    assert (message[:4], message[-4:]) == (b"GRIB", b"7777")
    assert int.from_bytes(message[8:16], "big") == both.length


def test_a_member_is_taken_out_of_many() -> None:
    row = "{n}:{first}:d=2026072300:HGT:10 mb:anl:ENS={m:+d}"
    text = "\n".join(row.format(n=n, first=100 * (n - 1), m=n) for n in (1, 2, 3))
    lines = read_index(text, "members")
    assert spans_of(lines, [("HGT", 10.0)]) == (Span(0, None),)
    assert spans_of(lines, [("HGT", 10.0)], member="ENS=+2") == (Span(100, 199),)
    assert spans_of(lines, [("HGT", 10.0)], member="ENS=+9") == ()


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "holds 0 lines"),
        ("<html>\n", 'line 1: is no line of an index: "<html>"'),
        ("1:0:d=2026072300:HGT:10 mb", "is no line of an index"),
        ("1:0:d=2026139900:HGT:10 mb:anl:", "no time of a run: 2026139900"),
        ("1:5:d=2026072300:HGT:10 mb:anl:", "does not begin with the first byte"),
        (
            "1:0:d=2026072300:HGT:10 mb:anl:\n2:0:d=2026072300:TMP:10 mb:anl:",
            "line 2: does not begin after the line before it",
        ),
        (
            "1.2:0:d=2026072300:UGRD:10 mb:anl:\n1.1:0:d=2026072300:VGRD:10 mb:anl:",
            "line 2: does not begin after",
        ),
        ("1:0:d=2026072300:\x1b[2J:10 mb:anl:\x00\n2:", "is no line of an index"),
    ],
)
def test_what_is_no_index_is_refused(text: str, told: str) -> None:
    with pytest.raises(FetchError, match=re.escape(told)) as caught:
        read_index(text, "http://a.example/f.idx")
    assert caught.value.cause is Unfetched.WRONG
    assert str(caught.value).isprintable()


LINE = st.builds(
    "{}{}:{}:d={}:{}:{}:{}:{}".format,
    st.integers(0, 10**7), st.sampled_from(["", ".1", ".2", "."]), st.integers(0, 10**13),
    st.one_of(st.just("2026072300"), st.text("0123456789", max_size=12)),
    st.text(max_size=8), st.sampled_from(["10 mb", "surface", "1e5 mb", "٣ mb"]),
    st.text(max_size=8), st.text(max_size=8),
)  # fmt: skip


@given(st.one_of(st.text(max_size=200), st.lists(LINE, max_size=6).map("\n".join)))
@settings(max_examples=300, deadline=None)
def test_any_text_is_an_index_or_refused(text: str) -> None:
    try:
        lines = read_index(text, "any")
    except FetchError:
        return
    spans = spans_of(lines, [(line.field, line.hpa) for line in lines if line.hpa is not None])
    assert all(span.last is None or span.last >= span.first for span in spans)


def test_a_real_one_that_is_cut_off_lacks_fields() -> None:
    text = real_index("gfs_0p25_20260723.idx")
    half = read_index("\n".join(text.splitlines()[:300]), "half")
    assert lacking(half, [("UGRD", 1.0), ("UGRD", 1000.0)]) == (("UGRD", 1000.0),)
