"""Archive text of fixed width: a real file, and its cut or damaged kin."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from farglide.errors import SourceError
from farglide.sources.soundings.igra import read_igra_sounding

Writer = Callable[[str, str | bytes], Path]

FIRST_S = 1275346980.0  # 2010-05-31 23:03 UTC: released the evening before its nominal hour
SECOND_S = 1275390000.0  # 2010-06-01 11:00 UTC


@pytest.fixture
def barrow(authorities: Path) -> Path:
    return authorities / "igra_barrow_201006.txt"


def test_first_sounding_is_as_printed(barrow: Path) -> None:
    sounding = read_igra_sounding(barrow, FIRST_S)
    assert sounding.t_s == FIRST_S
    assert sounding.lat_deg == pytest.approx(71.2889)
    assert sounding.lon_deg == pytest.approx(-156.7833)
    assert sounding.origin == "sounding IGRA USM00070026 2010-05-31 23:03 UTC"
    # The line "21     0 100980B   12     0B 1000     0    20    51".
    assert sounding.gph_m[0] == 12.0
    assert sounding.p_pa[0] == 100_980.0
    assert sounding.t_k[0] == pytest.approx(273.15)
    assert sounding.relative_humidity_ratio[0] == pytest.approx(1.0)
    assert sounding.u_mps[0] == pytest.approx(-5.1 * np.sin(np.radians(20.0)))
    assert sounding.v_mps[0] == pytest.approx(-5.1 * np.cos(np.radians(20.0)))


def test_line_with_temperature_and_wind_inside(barrow: Path) -> None:
    sounding = read_igra_sounding(barrow, FIRST_S)
    # The line "10  1936  50000  5420B -272B  614    51   202   159".
    i = int(np.flatnonzero(sounding.p_pa == 50_000.0)[0])
    assert sounding.gph_m[i] == 5420.0
    assert sounding.t_k[i] == pytest.approx(245.95)
    assert sounding.relative_humidity_ratio[i] == pytest.approx(0.614)
    assert sounding.u_mps[i] == pytest.approx(-15.9 * np.sin(np.radians(202.0)))
    assert sounding.elapsed_s is not None
    assert sounding.elapsed_s[i] == 19 * 60 + 36  # MMMSS


def test_wind_at_height_only_is_placed_between(barrow: Path) -> None:
    sounding = read_igra_sounding(barrow, FIRST_S)
    # The last line, "30 10700  -9999 31896 ... 100 51", has neither pressure nor temperature.
    assert sounding.gph_m[-1] == 31_896.0
    assert 900.0 < sounding.p_pa[-1] < 1000.0
    assert sounding.u_mps[-1] == pytest.approx(-5.1 * np.sin(np.radians(100.0)))
    assert any("100 pressures interpolated at lines with height only" in n for n in sounding.notes)


def test_nearest_in_time_is_taken_and_noted(barrow: Path) -> None:
    sounding = read_igra_sounding(barrow, SECOND_S + 3600.0)
    assert sounding.t_s == SECOND_S
    assert sounding.notes[0] == (
        "3 soundings in the file: took that of 2010-06-01 11:00 UTC, the nearest in time"
    )


def test_newest_is_taken_without_a_time_and_may_be_cut_short(barrow: Path) -> None:
    # The archive extract ends with the header of a third sounding, whose 147 levels are missing.
    with pytest.raises(SourceError, match=r"line 318: announces 147 .*, but 0 follow.*cut short"):
        read_igra_sounding(barrow, None)


def test_only_sounding_needs_no_time(barrow: Path, written: Writer) -> None:
    first = "".join(barrow.read_text().splitlines(keepends=True)[:159])
    sounding = read_igra_sounding(written("one.txt", first), None)
    assert sounding.t_s == FIRST_S
    assert not any("soundings in the file" in note for note in sounding.notes)


def lines_of(barrow: Path) -> list[str]:
    return barrow.read_text().splitlines()[:159]


def test_nominal_hour_stands_in_for_a_missing_release_time(barrow: Path, written: Writer) -> None:
    lines = lines_of(barrow)
    lines[0] = lines[0].replace(" 00 2303", " 06 9999")
    assert read_igra_sounding(written("a.txt", "\n".join(lines)), None).t_s == 1275372000.0
    lines[0] = lines[0].replace(" 06 9999", " 99 9999")
    sounding = read_igra_sounding(written("b.txt", "\n".join(lines)), None)
    assert np.isnan(sounding.t_s)
    assert "at a time the file does not say" in sounding.origin


def test_moving_station_has_no_place(barrow: Path, written: Writer) -> None:
    lines = lines_of(barrow)
    lines[0] = lines[0].replace(" 712889 -1567833", "-998888 -9988888")
    sounding = read_igra_sounding(written("ship.txt", "\n".join(lines)), None)
    assert np.isnan([sounding.lat_deg, sounding.lon_deg]).all()


@pytest.mark.parametrize(
    ("line", "old", "new", "reason"),
    [
        (0, "2010 06 01", "2010 13 01", "line 1: has the date 2010-13-01; allowed: a real date"),
        (0, "#USM00070026 2010", "#USM 2010", "line 1: begins a sounding but is not an IGRA v2"),
        (0, " 2303 ", " 2 03 ", "line 1: begins a sounding but is not an IGRA v2"),
        (0, "  158 ", "  159 ", "line 1: announces 159 levels, but 158 follow"),
        (3, "309B", "3x9B", "line 4: gph_m is '3x9'; allowed: a whole number, or -9999"),
        (
            5,
            " -12B  954     7    41    26 ",
            "",
            r"line 6: has \d+ characters; allowed: 51 or more",
        ),
    ],
)
def test_damage_is_named(
    line: int, old: str, new: str, reason: str, barrow: Path, written: Writer
) -> None:
    lines = lines_of(barrow)
    assert old in lines[line]
    lines[line] = lines[line].replace(old, new)
    with pytest.raises(SourceError, match=reason):
        read_igra_sounding(written("bad.txt", "\n".join(lines)), None)


def test_text_without_header_is_refused(written: Writer) -> None:
    with pytest.raises(SourceError, match="no line that begins a sounding"):
        read_igra_sounding(written("x.txt", "hello\n"), None)
