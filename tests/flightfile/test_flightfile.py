"""Flight files of every kind: read, or refused with FlightFileError and nothing else."""

import copy
import math
import tomllib
from collections.abc import Callable
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from farglide.errors import FlightFileError
from farglide.flightfile.flightfile import EVERY, FlightFile, flight_of_text, read_flight_file

from ..conftest import Document

SECTIONS = {one.name: one.rows for one in EVERY}
Written = Callable[[dict[str, Any]], Path]
Put = Callable[[Document, str, Document], Document]
Read = Callable[[Document], FlightFile]
Refusals = Callable[[Document], list[str]]

DEMO = Path(str(files("farglide.flightfile") / "assets" / "amber-evening.toml"))


@pytest.mark.parametrize(
    ("content", "word"),
    [
        (b"[glider]\nmass_kg = 0,68\n", "line 2: cannot be read.*decimal point, not a comma"),
        (b"[glider\n", "line 1: cannot be read"),
        (b"a = 1\na = 2\n", "line 2: cannot be read"),
        (b"\xff\xfe[\x00", "is no UTF-8 text"),
        (b"a = " + b"[" * 5000, "nests brackets too deeply"),
        (b"a = " + b"1" * 5000, "cannot be read"),
        (b"#" * 1_000_001, "larger than 1 MB"),
        (b"", "is missing"),
    ],
)
def test_other_files_are_refused(content: bytes, word: str, tmp_path: Path) -> None:
    path = tmp_path / "flight.toml"
    path.write_bytes(content)
    with pytest.raises(FlightFileError, match=word):
        read_flight_file(path)


def test_missing_file_and_folder_are_refused(tmp_path: Path) -> None:
    with pytest.raises(FlightFileError, match=r"is not there\. Write one with: farglide new"):
        read_flight_file(tmp_path / "none.toml")
    with pytest.raises(FlightFileError, match="cannot be read"):
        read_flight_file(tmp_path)
    with pytest.raises(FlightFileError, match="cannot be read"):
        read_flight_file(Path("a\0b"))


def test_file_of_another_editor_is_read(tmp_path: Path) -> None:
    path = tmp_path / "flight.toml"
    path.write_bytes(b"\xef\xbb\xbf" + DEMO.read_bytes().replace(b"\n", b"\r\n"))
    assert read_flight_file(path).sortie.glider == read_flight_file(DEMO).sortie.glider


_ODD_VALUES = st.one_of(
    st.floats(),
    st.integers(-(10**6), 10**6),
    st.booleans(),
    st.text(max_size=8),
    st.sampled_from([0, 0.0, -1, 1e-300, 1e300, 10**400]),
    st.lists(st.integers(0, 3), max_size=3),
    st.dictionaries(st.sampled_from(["mass_kg", "name", "zz"]), st.integers(0, 3), max_size=2),
)
_QUIET = settings(
    max_examples=400,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)


def outcome(path: Path) -> FlightFile | FlightFileError:
    """Return the flight, or the refusal; any other exception goes through."""
    try:
        return read_flight_file(path)
    except FlightFileError as error:
        return error


def _check_outcome(found: FlightFile | FlightFileError) -> None:
    if isinstance(found, FlightFileError):
        assert found.problems
        assert all(problem.where and problem.what for problem in found.problems)
    else:
        assert all(
            math.isfinite(line.number.value) and line.number.sd >= 0.0 for line in found.inputs
        )


@pytest.mark.slow
@_QUIET
@given(data=st.data())
def test_mutated_file_is_read_or_refused_never_anything_else(
    data: st.DataObject, written: Written
) -> None:
    demo = tomllib.loads(DEMO.read_text(encoding="utf-8"))
    document = copy.deepcopy(demo)
    for _ in range(data.draw(st.integers(1, 4))):
        section = data.draw(st.sampled_from(sorted(document)))
        table = document[section]
        rows = table if isinstance(table, list) else [table]
        row = data.draw(st.sampled_from(rows)) if rows else None
        if not isinstance(row, dict) or data.draw(st.integers(0, 9)) == 0:
            document[section] = data.draw(_ODD_VALUES)
            continue
        quantities = SECTIONS.get(section, ())
        known = [key for one in quantities for key in (*one.keys, *one.spread_keys)]
        keys = st.sampled_from(sorted({*row, *known, "guesses", "typical", "timed_glides"}))
        key = data.draw(keys)
        if data.draw(st.booleans()):
            row[key] = data.draw(_ODD_VALUES)
        else:
            row.pop(key, None)
    _check_outcome(outcome(written(document)))


@pytest.mark.slow
@_QUIET
@given(data=st.data())
def test_scrambled_text_is_read_or_refused_never_anything_else(
    data: st.DataObject, tmp_path: Path
) -> None:
    content = bytearray(DEMO.read_bytes())
    for _ in range(data.draw(st.integers(1, 6))):
        i = data.draw(st.integers(0, len(content) - 1))
        content[i : i + data.draw(st.integers(0, 3))] = data.draw(st.binary(max_size=3))
    path = tmp_path / "scrambled.toml"
    path.write_bytes(content)
    _check_outcome(outcome(path))


def test_every_section_stands_once() -> None:
    names = [section.name for section in EVERY]
    assert len(set(names)) == len(names)
    assert list(SECTIONS) == names


def test_no_two_numbers_of_a_section_share_a_key() -> None:
    for section in EVERY:
        keys = [key for row in section.rows for key in (*row.keys, *row.spread_keys)]
        assert len(set(keys)) == len(keys), section.name
        assert not set(keys) & set(section.words), section.name


def test_defaults_lie_within_their_ranges() -> None:
    for section in EVERY:
        for row in section.rows:
            assert row.span[0] < row.span[1]
            assert row.default is None or row.holds(row.default), row.key


@pytest.mark.parametrize(
    ("line", "remedy"),
    [
        ("launch_at = 2027-01-23 16:40", "time with seconds, and offset, without quotes"),
        ("launch_at = 23.01.2027", "launch_at = 2027-01-23T16:40:00+07:00"),
        ('file = "winds\\day.csv"', "In a path write / in place of \\."),
    ],
)
def test_a_line_that_is_no_toml_is_told_with_its_remedy(
    line: str, remedy: str, tmp_path: Path
) -> None:
    path = tmp_path / "flight.toml"
    path.write_text(f"[flight]\n{line}\n", encoding="utf-8")
    with pytest.raises(FlightFileError) as caught:
        read_flight_file(path)
    (problem,) = caught.value.problems
    assert problem.where == "line 2"
    assert remedy in problem.remedy


def test_paths_take_both_strokes(document: Document, put: Put, read: Read) -> None:
    put(document, "wind", {"file": r"winds\day.csv"})
    put(document, "terrain", {"files": [r"ground\here.tif"]})
    sortie = read(document).sortie
    assert sortie.wind is not None
    assert sortie.wind.path.endswith("winds/day.csv")
    assert sortie.terrain is not None
    assert sortie.terrain.paths[0].endswith("ground/here.tif")


def test_a_path_with_a_tab_in_it_is_refused_with_a_remedy(
    document: Document, put: Put, refusals: Refusals
) -> None:
    (told,) = refusals(put(document, "wind", {"file": "winds\today.csv"}))
    assert told.endswith("In a path write / in place of \\.")


def test_a_text_is_read_as_its_file_is() -> None:
    text = DEMO.read_text(encoding="utf-8")
    found = flight_of_text("\ufeff" + text.replace("\n", "\r\n"), DEMO)
    assert found.sortie == read_flight_file(DEMO).sortie
    with pytest.raises(FlightFileError, match="gone"):
        flight_of_text("no flight", Path("gone.log"))
