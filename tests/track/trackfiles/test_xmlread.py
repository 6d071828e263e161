"""XML is read piece by piece, and what makes it dangerous is refused."""

from pathlib import Path

import pytest

from farglide.errors import SourceError
from farglide.track.trackfiles.xmlread import Ended, ended_elements, xml_text


def elements(folder: Path, data: bytes) -> list[Ended]:
    (folder / "a.xml").write_bytes(data)
    return list(ended_elements(folder / "a.xml"))


def test_elements_come_as_they_end(tmp_path: Path) -> None:
    assert elements(tmp_path, b'<a><p:b x="1"> one &amp; </p:b><c/></a>') == [
        Ended(("a", "b"), "one &", {"x": "1"}),
        Ended(("a", "c"), "", {}),
        Ended(("a",), "", {}),
    ]


@pytest.mark.parametrize("coding", ["utf-8", "utf-16", "iso-8859-1", "windows-1252"])
def test_usual_codings_are_read(tmp_path: Path, coding: str) -> None:
    text = f'<?xml version="1.0" encoding="{coding}"?><a>Höhe</a>'
    assert elements(tmp_path, text.encode(coding))[0].text == "Höhe"


def test_more_than_a_chunk_is_read(tmp_path: Path) -> None:
    data = b"<a>" + b"<b>12345</b>" * 50_000 + b"</a>"
    assert sum(one.text == "12345" for one in elements(tmp_path, data)) == 50_000


def test_a_text_without_end_is_cut(tmp_path: Path) -> None:
    assert len(elements(tmp_path, b"<a>" + b"x" * 10**6 + b"</a>")[0].text) <= 20_000


@pytest.mark.parametrize(
    ("data", "what"),
    [
        (b"<a><b></a>", r"is no XML: mismatched tag.* Is it whole\?"),
        (b"<a>", "is no XML: no element found"),
        (b"", "is no XML: no element found"),
        (b'<?xml version="1.0" encoding="nobody-knows"?><a/>', "is no XML: unknown encoding"),
        (b"<a>\xff</a>", "is no XML: not well-formed"),
        (b'<!DOCTYPE a [<!ENTITY e "x">]><a>&e;</a>', r"\(DOCTYPE\), which these .* Export it ag"),
        (b"<a>" * 201, r"nests its elements over 200 deep\. Is it a track\?"),
    ],
)
def test_other_files_are_refused(tmp_path: Path, data: bytes, what: str) -> None:
    with pytest.raises(SourceError, match=what):
        elements(tmp_path, data)


def test_a_text_that_xml_may_not_hold_is_made_one(tmp_path: Path) -> None:
    text = "a<b>&\"'\x00\x1f\ud800\uffffö\t𝄞"
    told = elements(tmp_path, f"<a>{xml_text(text)}</a>".encode())[0].text
    assert told == "a<b>&\"'\ufffd\ufffd\ufffd\ufffdö\t𝄞"
