"""Web pages in place of data, and what they are called."""

import pytest

from farglide.gather.fetch.page import is_page, title_of


@pytest.mark.parametrize(
    ("kind", "begin", "expected"),
    [
        ("application/octet-stream", b"GRIB\0\0\0\2", False),
        ("", b"1:0:d=2026072300:HGT:10 mb:anl:", False),
        ("text/html; charset=utf-8", b"GRIB", True),
        ("application/octet-stream", b"\xef\xbb\xbf\r\n<!DOCTYPE html>", True),
        ("application/octet-stream", b"<?xml version='1.0'?><Error>", True),
        ("", b"", False),
    ],
)
def test_a_page_is_known_by_its_head_or_its_first_letters(
    kind: str, begin: bytes, expected: bool
) -> None:
    assert is_page(kind, begin) is expected


@pytest.mark.parametrize(
    ("page", "title"),
    [
        (b"<html><TITLE lang='en'>\n Sign  in\n&amp; pay</TITLE>", "Sign in & pay"),
        (b"<body><h1>data file is <b>not present</b></h1>", "data file is not present"),
        (b"<title>a\x1b[31mb</title>", "a [31mb"),
        (b"<title>" + 300 * b"x" + b"</title>", 99 * "x" + "…"),
        (b"<p>nothing</p>", ""),
        (b"<title>open", ""),
    ],
)
def test_its_title_is_told_in_one_printable_line(page: bytes, title: str) -> None:
    assert title_of(page) == title
