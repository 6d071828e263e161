"""Measured patterns: files as people write them, and files that are no pattern."""

from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from farglide.errors import SourceError
from farglide.radio.antenna.measured import measured_pattern
from farglide.sources.antenna_pattern import read_antenna_pattern

Written = Callable[[str, str | bytes], Path]
ANGLES = (0, 20, 45, 75, 105, 135, 165, 180)
GAINS = (12.0, 9.5, 0.0, -6.0, -9.0, -8.0, -5.0, -3.0)
ROWS = tuple(zip(map(float, ANGLES), GAINS, strict=True))
PLAIN = "angle_deg,gain_dbi\n" + "".join(f"{a:g},{g:g}\n" for a, g in ROWS)
FUZZED = settings(
    deadline=None, max_examples=300, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


def german() -> str:
    lines = [f"{a:g};{g:g}".replace(".", ",") for a, g in reversed(ROWS)]
    return "\ufeff# made up\nAngle_deg; gain_dbi\r\n" + "\r\n".join(lines)


@pytest.mark.parametrize(
    "text",
    [
        PLAIN,
        german(),
        PLAIN.replace(",", "\t"),
        PLAIN.replace(",", ";"),
        PLAIN.replace("-", "\N{MINUS SIGN}"),
        "# a remark\n\nnote,gain_dbi,angle_deg\n" + "".join(f'"a,b",{g},{a}\n' for a, g in ROWS),
    ],
)
def test_files_as_people_write_them(text: str, written: Written) -> None:
    assert sorted(read_antenna_pattern(written("beam.csv", text))) == list(ROWS)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "is empty"),
        ("# nothing\n\n", "holds no line of values"),
        ("angle_deg,gain_dbi\n", "0 rows"),
        (PLAIN.replace("gain_dbi", "gain_dbd"), "Is 'gain_dbd' meant? Write gain_dbi."),
        (PLAIN.replace("angle_deg", "phi"), "has 0 columns angle_deg; allowed: 1."),
        (PLAIN.replace("angle_deg", "gain_dbi"), "columns angle_deg"),
        (PLAIN.replace("9.5", "9,5"), "line 3: has 3 cells; the line of names has 2. Are commas"),
        (PLAIN.replace("20,9.5", "20"), "line 3: has 1 cells"),
        (PLAIN.replace("9.5", "high"), "line 3: gain_dbi is 'high'; allowed: a number"),
        (PLAIN.replace("9.5", "nan"), "gain_dbi is 'nan'"),
        (PLAIN.replace("9.5", ""), "gain_dbi is ''"),
        (PLAIN.replace("45,0\n", ""), "a hole from 20 to 75°"),
        (PLAIN.replace("20,9.5", "0,9.5"), "0° twice"),
        (PLAIN.replace("20,9.5", "200,9.5"), "Write 190 degrees as -170."),
        (PLAIN.replace("9.5", "95"), "Give dBi, neither dB nor dBm."),
        (b"angle_deg,gain_dbi\n\0,1\n", "zero byte"),
    ],
)
def test_what_is_no_pattern_is_refused(text: str | bytes, words: str, written: Written) -> None:
    path = written("beam.csv", text)
    with pytest.raises(SourceError) as caught:
        read_antenna_pattern(path)
    assert words in str(caught.value)
    assert str(path) in str(caught.value)


def test_a_file_that_is_not_there_or_huge_is_refused(tmp_path: Path, written: Written) -> None:
    with pytest.raises(SourceError, match=r"none\.csv"):
        read_antenna_pattern(tmp_path / "none.csv")
    with pytest.raises(SourceError, match="allowed: 1000000 at most"):
        read_antenna_pattern(written("beam.csv", PLAIN + "#" * 1_000_001))


def checked(path: Path) -> None:
    """Read a file: it is a whole pattern, or it is refused by name."""
    try:
        rows = read_antenna_pattern(path)
    except SourceError as error:
        told = str(error)
    else:
        assert len(measured_pattern(rows).level_dbi) >= 181
        return
    assert str(path) in told
    assert len(told) < 1000


@FUZZED
@given(data=st.binary(max_size=200))
def test_any_bytes(data: bytes, tmp_path: Path) -> None:
    path = tmp_path / "beam.csv"
    path.write_bytes(data)
    checked(path)


@FUZZED
@given(
    changes=st.lists(
        st.tuples(st.integers(0, len(PLAIN) - 1), st.sampled_from('0123456789,.;-"\t\n e#\xff')),
        min_size=1,
        max_size=6,
    ),
    end=st.integers(1, len(PLAIN)),
)
def test_changed_and_cut_files(changes: list[tuple[int, str]], end: int, tmp_path: Path) -> None:
    text = list(PLAIN)
    for place, letter in changes:
        text[place] = letter
    path = tmp_path / "beam.csv"
    path.write_text("".join(text)[:end], encoding="latin-1")
    checked(path)


def test_a_cell_too_long_for_a_table_is_refused(written: Written) -> None:
    path = written("a.csv", PLAIN + "0," + "1" * 200_000 + "\n")
    with pytest.raises(SourceError, match="is not CSV") as caught:
        read_antenna_pattern(path)
    assert caught.value.where == "line 10"
