"""Payloads read back as they were; what JSON has no word for is refused."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from farglide.errors import InputError
from farglide.track.journal.frame import Kind, Record
from farglide.track.journal.payload import (
    document_of,
    fix_of,
    fix_payload,
    payload_of,
    raw_of,
    raw_payload,
)
from farglide.track.reports import Fix, HeightKind, Raw

from .made import UTC_S, fix


def record(payload: bytes) -> Record:
    return Record(kind=Kind.NOTE, number=3, monotonic_s=2.5, utc_s=UTC_S, payload=payload)


@given(
    st.text(min_size=1, max_size=40, alphabet=st.characters(exclude_categories=["Cs"])),
    st.binary(max_size=300),
)
def test_bytes_of_a_feed_come_back_as_they_were(feed: str, data: bytes) -> None:
    told = raw_of(record(raw_payload(feed, data)))
    assert told == Raw(feed=feed, monotonic_s=2.5, utc_s=UTC_S, data=data)


def test_a_name_that_is_no_text_of_this_system_comes_back() -> None:
    assert raw_of(record(raw_payload("feed\udcff", b""))).feed == "feed\udcff"


@pytest.mark.parametrize("feed", ["", "x" * 256])
def test_a_feed_needs_a_name_of_some_length(feed: str) -> None:
    with pytest.raises(InputError, match=r"feed is .*; allowed: a name of 1 to 255 bytes"):
        raw_payload(feed, b"")


def test_a_document_is_plain_json() -> None:
    document = {"a": [1, 2.5, None, True], "ü": {"b": "c"}}
    assert document_of(record(payload_of(document))) == document
    assert payload_of({"a": 1}) == b'{"a":1}'


@pytest.mark.parametrize("value", [math.nan, math.inf, object(), b"bytes"])
def test_what_json_has_no_word_for_is_refused(value: object) -> None:
    with pytest.raises(InputError, match=r"a record of the log is no JSON .*; allowed: finite"):
        payload_of({"a": value})


def test_a_document_that_is_no_table_is_refused() -> None:
    with pytest.raises(ValueError, match="is no table"):
        document_of(record(b"[1]"))


@pytest.mark.parametrize(
    "one",
    [
        fix(3),
        Fix(feed="a", lat_deg=1e-7, lon_deg=-179.999999999, t_s=5.0),
        replace(fix(4), height_kind=HeightKind.PRESSURE, separation_m=None),
    ],
)
def test_a_fix_comes_back_to_the_last_bit(one: Fix) -> None:
    assert fix_of(record(fix_payload(one))) == one


def test_a_fix_without_a_time_gets_the_one_it_came_at() -> None:
    assert fix_of(record(fix_payload(Fix(feed="a", lat_deg=1.0, lon_deg=2.0)))).t_s == UTC_S


@pytest.mark.parametrize(
    ("payload", "what"),
    [
        (b'{"feed":"a"}', "holds no fix: .*lat_deg"),
        (b'{"feed":"a","lat_deg":1,"lon_deg":2,"more":3}', "holds no fix: .*more"),
        (b'{"feed":"a","lat_deg":1,"lon_deg":[]}', "lon_deg is no number"),
        (b'{"feed":"a","lat_deg":1,"lon_deg":2,"height_kind":"x"}', "not a valid HeightKind"),
        (b'{"feed":"a","lat_deg":"1","lon_deg":2}', "holds no fix"),
        (b'{"feed":"a","lat_deg":91,"lon_deg":2}', "lat_deg is 91°; allowed"),
    ],
)
def test_what_is_no_fix_is_refused(payload: bytes, what: str) -> None:
    with pytest.raises(ValueError, match=what):
        fix_of(record(payload))
