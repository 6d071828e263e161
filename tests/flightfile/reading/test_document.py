"""Documents: what TOML says, and files that would take hours or end the process."""

from pathlib import Path

import pytest

from farglide.errors import FlightFileError
from farglide.flightfile.flightfile import read_flight_file
from farglide.flightfile.reading.document import read_document


def test_a_document_comes_with_windows_line_ends_and_a_mark(tmp_path: Path) -> None:
    path = tmp_path / "a.toml"
    path.write_bytes(b"\xef\xbb\xbf[flight]\r\nname = 'a'\r\n")
    assert read_document(path) == {"flight": {"name": "a"}}


@pytest.mark.parametrize("text", ["{}b = 1", "[{}b]", "x = {}b", "[[{}b]]"])
def test_a_name_of_very_many_parts_is_refused_at_once(text: str, tmp_path: Path) -> None:
    path = tmp_path / "dots.toml"
    path.write_text(text.format("a." * 200_000))
    with pytest.raises(FlightFileError, match="a name of more than 100 parts"):
        read_flight_file(path)


def test_many_numbers_and_dots_of_a_comment_are_no_name(tmp_path: Path) -> None:
    path = tmp_path / "dots.toml"
    path.write_text("x = [" + "1.5, " * 300 + "]  # " + "." * 300)
    with pytest.raises(FlightFileError, match="is not a section of a flight file"):
        read_flight_file(path)
