"""IGC goes out with positions to a thousandth of a minute, heights in the column of their kind."""

from collections.abc import Iterable
from dataclasses import replace

import pytest

from farglide.track.reports import Fix, HeightKind
from farglide.track.trackfiles.forms import Form
from farglide.track.trackfiles.igc import igc_lines, n_without_height, n_without_time

from .readings import readings
from .samples import MIDNIGHT_S, SAMPLES, climb, mixed

HALF: float = 0.0005 / 60.0 + 1e-12  # half a thousandth of a minute, in degrees


def records(fixes: Iterable[Fix]) -> list[str]:
    return [line.strip() for line in igc_lines(fixes) if line.startswith("B")]


def test_another_library_reads_the_climb_above_the_ellipsoid() -> None:
    read, fixes = readings("climb", Form.IGC), climb()
    assert len(read) == len(fixes)
    for one, fix in zip(read, fixes, strict=True):
        assert one.what == "A"
        assert one.t_s == fix.t_s
        assert abs(one.lat_deg - fix.lat_deg) <= HALF
        assert abs(one.lon_deg - fix.lon_deg) <= HALF
        assert one.height == round(fix.height_m or 0.0)  # told above the ellipsoid
        assert one.second == 0.0


def test_another_library_reads_mixed_heights_in_their_columns() -> None:
    read = readings("mixed", Form.IGC)
    told = [(one.what, one.height, one.second) for one in read]
    assert told == [
        ("A", -50.0, 0.0), ("V", 0.0, 950.0), ("V", 0.0, 0.0),
        ("A", 2950.0, 0.0), ("V", 0.0, 3950.0), ("V", 0.0, 0.0),
    ]  # fmt: skip


def test_the_header_says_what_the_gnss_column_is() -> None:
    assert "HFALGALTGPS:ELL\r\n" in list(igc_lines(climb()))
    assert "HFALGALTGPS:GEO\r\n" in list(igc_lines(mixed()))


def test_without_fixes_there_is_a_header_only() -> None:
    assert not [line for line in igc_lines([]) if line.startswith(("B", "HFDTE"))]
    assert readings("none", Form.IGC) == []
    assert all(line.endswith("\r\n") for line in igc_lines(SAMPLES["climb"]))


@pytest.mark.parametrize(
    ("lat_deg", "lon_deg", "told"),
    [
        (46.999_999_9, 7.999_999_9, "4700000N00800000E"),
        (-0.000_001, -0.000_009, "0000000S00000001W"),
        (90.0, -180.0, "9000000N18000000W"),
        (-12.345_678_9, 123.456_789, "1220741S12327407E"),
    ],
)
def test_minutes_are_rounded_and_carried(lat_deg: float, lon_deg: float, told: str) -> None:
    # 0.3456789 deg = 20.740734'; 0.456789 deg = 27.40734'
    (record,) = records([Fix(feed="a", lat_deg=lat_deg, lon_deg=lon_deg, t_s=MIDNIGHT_S)])
    assert record[7:24] == told


def test_a_time_is_rounded_to_the_thousandth() -> None:
    fix = replace(climb()[0], t_s=MIDNIGHT_S - 0.0004)
    assert records([fix])[0].startswith("B000000")
    assert records([replace(fix, t_s=MIDNIGHT_S - 0.0006)])[0].endswith("999")
    assert "HFDTEDATE:230127,01\r\n" in list(igc_lines([replace(fix, t_s=MIDNIGHT_S - 1.0)]))


def test_heights_beyond_the_column_are_held_at_its_end() -> None:
    fix = Fix(
        feed="a", lat_deg=1.0, lon_deg=2.0, t_s=0.0, height_m=1e5, height_kind=HeightKind.ELLIPSOID
    )
    assert records([fix])[0][30:35] == "99999"


def test_fixes_are_sorted_by_time() -> None:
    assert records(reversed(climb())) == records(climb())


def test_what_it_cannot_hold_is_counted() -> None:
    assert n_without_time([*climb(), replace(climb()[0], t_s=None)]) == 1
    assert len(records([*climb(), replace(climb()[0], t_s=None)])) == 10
    assert n_without_height(climb()) == 0
    glider = [fix for fix in mixed() if fix.feed == "glider"]
    assert n_without_height(glider) == 2


def test_a_name_in_other_letters_is_written_in_these() -> None:
    assert "LXXXFEED:H?he\r\n" in list(igc_lines([replace(climb()[0], feed="Höhe")]))
