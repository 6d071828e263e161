"""Recognising a file, and choosing among the soundings in it."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from tests.sources.grids.encode import air, grib2

from farglide.air.sounding import Sounding
from farglide.earth.state import Place
from farglide.errors import SourceError
from farglide.sources.winds import distance_km, format_of, read_winds

Writer = Callable[[str, str | bytes], Path]

PRAGUE = Place(lat_deg=50.0, lon_deg=14.4, amsl_m=300.0)
CSV = "gph_m,p_hpa,t_k,u_mps,v_mps\n0,1013,288,1,1\n5000,540,256,2,2\n11000,226,217,3,3\n"


@pytest.mark.parametrize(
    ("name", "found"),
    [
        ("giles_20160403.bufr", "BUFR"),
        ("prague_20071120.bufr", "BUFR"),
        ("temp_20081208.bufr", "BUFR"),
        ("darwin_20060119_231600.cdf", "NetCDF"),
        ("igra_barrow_201006.txt", "IGRA"),
        ("gfs_january_2011.grib2", "GRIB"),
    ],
)
def test_formats_are_told_by_content(
    name: str, found: str, authorities: Path, written: Writer
) -> None:
    data = (authorities / name).read_bytes()
    assert format_of(written("anything.dat", data)) == found


def test_text_is_csv(written: Writer) -> None:
    assert format_of(written("winds.txt", CSV)) == "CSV"
    assert format_of(written("remark.csv", "# lat_deg: 50\n" + CSV)) == "CSV"
    assert format_of(written("words.txt", "# origin: from BUFR and a GRIB file\n" + CSV)) == "CSV"


def test_every_format_gives_a_sounding(authorities: Path, written: Writer) -> None:
    place = Place(lat_deg=-12.42, lon_deg=130.89, amsl_m=30.0)
    tops = {
        "giles_20160403.bufr": 30_571.0,
        "darwin_20060119_231600.cdf": 32_707.0,
        "gfs_january_2011.grib2": 30_900.0,
    }
    for name, top_m in tops.items():
        sounding = read_winds(authorities / name, place, None)
        assert sounding.top_gph_m == pytest.approx(top_m, abs=300.0)
    igra = read_winds(authorities / "igra_barrow_201006.txt", place, 1275390000.0)
    assert igra.top_gph_m == pytest.approx(33_036.0)
    assert read_winds(written("a.csv", CSV), None, None).top_gph_m == 11_000.0


@pytest.mark.parametrize(
    ("t_s", "chosen_s"),
    [
        (1195514100.0, 1195514100.0),
        (1195536540.0 + 3000.0, 1195536540.0),
        (1e9, 1195514100.0),
        (None, 1195579800.0),  # the newest
    ],
)
def test_nearest_in_time_of_four_flights(
    t_s: float | None, chosen_s: float, authorities: Path
) -> None:
    sounding = read_winds(authorities / "prague_20071120.bufr", PRAGUE, t_s)
    assert sounding.t_s == chosen_s
    assert sounding.notes[0].startswith("4 reports in the file: took WMO station 11520 2007-11")


@pytest.mark.parametrize(
    ("lat_deg", "lon_deg", "station"),
    [(42.9, -78.7, "72528"), (41.0, 0.0, "08160"), (36.0, 36.0, "17351"), (25.0, 122.0, "58968")],
)
def test_nearest_in_place_of_many_stations(
    lat_deg: float, lon_deg: float, station: str, authorities: Path
) -> None:
    place = Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=0.0)
    sounding = read_winds(authorities / "temp_20081208.bufr", place, 1228737600.0)
    assert station in sounding.origin


def test_distance_of_a_sounding() -> None:
    made = np.array([0.0, 1000.0, 2000.0])
    sounding = Sounding(
        gph_m=made, p_pa=np.array([1e5, 9e4, 8e4]), t_k=made * 0.0 + 280.0,
        relative_humidity_ratio=made * np.nan, u_mps=made * 0.0, v_mps=made * 0.0,
        lat_deg=0.0, lon_deg=0.0, t_s=0.0, origin="made up",
    )  # fmt: skip
    # A degree of longitude on the equator of WGS84: 2 pi 6378.137 km / 360.
    place = Place(lat_deg=0.0, lon_deg=1.0, amsl_m=0.0)
    assert distance_km(sounding, place) == pytest.approx(111.3195, abs=1e-3)
    assert distance_km(replace(sounding, lon_deg=1.0), place) == pytest.approx(0.0, abs=1e-6)


def test_forecast_needs_a_place(authorities: Path) -> None:
    with pytest.raises(SourceError, match="no place is given"):
        read_winds(authorities / "gfs_january_2011.grib2", None, None)


def test_a_forecast_in_a_packing_that_is_misread_is_refused(written: Writer) -> None:
    # The decoder makes one value of all points of a PNG, without a word.
    png = grib2([replace(one, packing=41) for one in air()])
    place = Place(lat_deg=45.0, lon_deg=20.0, amsl_m=0.0)
    with pytest.raises(SourceError, match="message 1: has its values in a packing PNG"):
        read_winds(written("a.grib2", png), place, None)
    assert read_winds(written("b.grib2", grib2(air())), place, None).p_pa[-1] == 1000.0


def test_place_in_radians_is_asked_about(written: Writer) -> None:
    text = f"# lat_deg: {np.radians(50.0)}\n# lon_deg: {np.radians(14.4)}\n" + CSV
    path = written("radians.csv", text)
    with pytest.raises(SourceError, match="as radians it would lie beside it"):
        read_winds(path, PRAGUE, None)
    assert read_winds(path, None, None).lat_deg == pytest.approx(0.8727, abs=1e-4)


@pytest.mark.parametrize(
    ("name", "content", "reason"),
    [
        ("a.csv", b"", r"is empty \(0 bytes\)"),
        ("a.zip", b"PK\x03\x04" + b"\0" * 50, "is a zip archive"),
        ("a.gz", b"\x1f\x8b\x08" + b"\0" * 50, "is a gzip archive"),
        ("a.grib2", b"<html>not found</html>", "named like GRIB but does not begin like it"),
        ("a.bufr", b"<html>not found</html>", "named like BUFR but does not begin like it"),
        ("a.nc", b"<html>not found</html>", "named like NetCDF but does not begin like it"),
        ("a.dat", bytes(range(256)) * 4, "byte 0: holds a zero byte, so it is not text"),
        ("a.txt", b"<html>not found</html>", "0 lines of values; allowed: 3 or more"),
    ],
)
def test_what_is_no_file_of_winds_is_refused(
    name: str, content: bytes, reason: str, written: Writer
) -> None:
    with pytest.raises(SourceError, match=reason):
        read_winds(written(name, content), PRAGUE, None)


def test_missing_file_and_folder_are_named(tmp_path: Path) -> None:
    with pytest.raises(SourceError, match=r"nowhere.csv: cannot be read: No such file"):
        read_winds(tmp_path / "nowhere.csv", PRAGUE, None)
    with pytest.raises(SourceError, match="is a folder, not a file"):
        read_winds(tmp_path, PRAGUE, None)
