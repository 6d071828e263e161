"""Page: whether an answer is a web page in place of data, and what it is called."""

import re
from html import unescape
from typing import Final

_TITLE: Final = re.compile(rb"<(title|h1)[^>]{0,200}>(.{1,400}?)</", re.IGNORECASE | re.DOTALL)
_TAG: Final = re.compile(r"<[^>]{0,200}>")
_LONGEST: Final = 100


def is_page(content_type: str, begin: bytes) -> bool:
    """Tell whether what comes is a web page, by what the server calls it or by its first letters.

    >>> is_page("application/octet-stream", b"GRIB"), is_page("", b" <!doctype html>")
    (False, True)
    """
    first = begin[:200].lstrip(b"\xef\xbb\xbf \t\r\n")
    return "html" in content_type.lower() or first.startswith(b"<")


def title_of(data: bytes) -> str:
    """Return the title of a page, else its first heading, empty where it has none.

    >>> title_of(b"<html><title>Sign in &amp; pay</title>")
    'Sign in & pay'
    """
    found = _TITLE.search(data[:65536])
    if not found:
        return ""
    text = unescape(_TAG.sub(" ", found[2].decode("utf-8", "replace")))
    words = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    return words if len(words) <= _LONGEST else words[: _LONGEST - 1] + "…"
