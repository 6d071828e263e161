"""Open forecasts, whole, against what other readers tell at their points."""

import csv
from collections import defaultdict
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from bench.odds.fetch import (
    GFS,
    LAMBERT_MEMBERS,
    MODEL_LEVELS,
    RUNS,
    Archive,
    DataMissingError,
    files_of,
)

from farglide.air.gridcolumn import sounding_over
from farglide.air.windgrid import WindGrid
from farglide.earth.state import Place
from farglide.errors import SourceError
from farglide.sources.grib.grib import read_grib_column
from farglide.sources.grids.gribfile import open_grib
from farglide.sources.grids.grids import read_wind_grid
from farglide.sources.grids.lambert import _map_axes, cut_at, projection_of
from farglide.sources.grids.layout import LambertLayout
from farglide.sources.grids.wanted import Wanted

POINTS = Path(__file__).parents[2] / "authorities" / "grid_points.csv"
OURS = {"gh": "gph_m", "z": "gph_m", "t": "t_k", "u": "u_mps", "v": "v_mps",
    "r": "relative_humidity_ratio"}  # fmt: skip
FACTOR = {"z": 1.0 / 9.80665, "r": 0.01}
CLOSE = {"gph_m": 0.02, "t_k": 2e-3, "u_mps": 2e-3, "v_mps": 2e-3, "relative_humidity_ratio": 1e-4}
"""The table has seven digits, our values those of float32."""


def named(archive: Archive, name: str) -> Path:
    """Return a file of an archive; skip the test where the open data was not fetched."""
    try:
        return next(path for path in files_of(archive) if path.name == name)
    except DataMissingError as error:
        pytest.skip(str(error))


def path_of(file: str) -> Path:
    """Return the file that the table calls so."""
    where = {
        "gfs_january": (GFS, "gfs.t12z.pgrbf120.2p5deg.grib2"), "gfs_october": (GFS, "gfs.grb"),
        "runs": (RUNS, "pl_regular_ll.grib"), "model": (MODEL_LEVELS, "forecast_ml.grib"),
        "members": (LAMBERT_MEMBERS, "era5-levels-members.grib"),
        "lambert": (LAMBERT_MEMBERS, "nam.t00z.awp21100.tm00.grib2"),
    }  # fmt: skip
    return named(*where[file])


@cache
def grid_of(file: str) -> WindGrid:
    return read_wind_grid([path_of(file)], Wanted())


def rows(file: str) -> Iterator[tuple[str, float, float, str, float, float, float]]:
    """Yield name, level, valid time, member, latitude, longitude and value."""
    lines = POINTS.read_text(encoding="utf-8").splitlines()
    for row in csv.DictReader(line for line in lines if not line.startswith("#")):
        if row["file"] == file:
            yield (
                row["name"], float(row["level"]), float(row["valid_s"]), row["member"],
                float(row["lat_deg"]), float(row["lon_deg"]), float(row["value"]),
            )  # fmt: skip


def at(grid: WindGrid, name: str, key: tuple[float, float, float, float]) -> float:
    """Return the value at a point of the grid."""
    level, valid_s, lat_deg, lon_deg = key
    t = grid.times_s.tolist().index(valid_s)
    k = int(np.argmin(abs(grid.p_pa - level)))
    i = int(np.argmin(abs(grid.lat_deg - lat_deg)))
    j = int(np.argmin(abs((grid.lon_deg - lon_deg + 180.0) % 360.0 - 180.0)))
    assert grid.p_pa[k] == pytest.approx(level, rel=1e-6)
    return float(getattr(grid, name)[0, t, k, i, j])


@pytest.mark.parametrize(("file", "n"), [("gfs_january", 174), ("gfs_october", 174)])
def test_forecasts_on_pressure_levels_agree_at_their_points(file: str, n: int) -> None:
    grid, n_seen = grid_of(file), 0
    for name, level, valid_s, _, lat_deg, lon_deg, value in rows(file):
        found = at(grid, OURS[name], (level, valid_s, lat_deg, lon_deg))
        assert found == pytest.approx(value * FACTOR.get(name, 1.0), abs=CLOSE[OURS[name]])
        n_seen += 1
    assert n_seen >= n
    assert grid.shape == (1, 1, 26, 73, 144)


def test_the_highest_levels_of_both_forecasts_over_one_place() -> None:
    # ecCodes, grid_points.csv: 40 N 105 W at 10 hPa.
    for file, gph_m in (("gfs_january", 30_385.23), ("gfs_october", 30_963.91)):
        grid = grid_of(file)
        over = sounding_over(grid, Place(lat_deg=40.0, lon_deg=-105.0, amsl_m=0.0), grid.times_s[0])
        assert over.p_pa[-1] == 1000.0
        assert over.gph_m[-1] == pytest.approx(gph_m, abs=0.01)
    january = grid_of("gfs_january")
    key = (1000.0, january.times_s[0], 40.0, 255.0)
    assert at(january, "u_mps", key) == pytest.approx(21.3, abs=1e-3)
    assert at(january, "v_mps", key) == pytest.approx(-9.4, abs=1e-3)


def test_of_several_runs_the_newest_is_taken_at_each_time() -> None:
    grid = grid_of("runs")
    assert grid.shape == (1, 8, 6, 19, 36)
    assert any("times of 4 runs" in note for note in grid.notes)
    n_seen = 0
    for name, level, valid_s, _, lat_deg, lon_deg, value in rows("runs"):
        found = at(grid, OURS[name], (level, valid_s, lat_deg, lon_deg))
        assert found == pytest.approx(value * FACTOR.get(name, 1.0), abs=CLOSE[OURS[name]])
        n_seen += 1
    assert n_seen == 8 * 5 * 4 * 2  # times, quantities, levels of the table, points


@pytest.mark.parametrize("file", ["gfs_january", "gfs_october", "runs"])
@pytest.mark.parametrize(("lat_deg", "lon_deg"), [(40.3, -105.2), (51.0, -0.5), (-35.0, 179.9)])
def test_a_column_of_the_grid_is_that_of_the_column_reader(
    file: str, lat_deg: float, lon_deg: float
) -> None:
    grid = grid_of(file)
    place = Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=0.0)
    for t_s in (grid.times_s[0], grid.times_s[0] + 7200.0, grid.times_s[-1] + 3600.0):
        ours = sounding_over(grid, place, float(t_s))
        other = read_grib_column(path_of(file), place, float(t_s))
        assert ours.p_pa.tolist() == other.p_pa.tolist()
        assert ours.t_s == other.t_s
        for name, close in CLOSE.items():
            told = getattr(other, name)
            np.testing.assert_allclose(getattr(ours, name), told, rtol=0.0, atol=close)


def test_members_are_told_apart_by_their_number() -> None:
    path = path_of("members")
    file = open_grib(path)
    fields = [one for one in file.useful if one.layout is not None]
    assert {one.member for one in fields} == {str(k) for k in range(10)}
    assert len(fields) == 160
    values = {
        (one.quantity, one.level, one.valid_s, one.member): plane
        for one, plane in file.planes(fields)
    }
    layout = fields[0].layout
    n_seen = 0
    for name, level, valid_s, member, lat_deg, lon_deg, value in rows("members"):
        plane = values[OURS[name], level, valid_s, member]
        i = round((layout.north_deg - lat_deg) / 3.0)  # type: ignore[union-attr]
        j = round(lon_deg / 3.0) % 120
        assert plane[i, j] == pytest.approx(value * FACTOR.get(name, 1.0), abs=CLOSE[OURS[name]])
        n_seen += 1
    assert n_seen == 10 * 4 * 2 * 2 * 2  # members, times, quantities, levels, points


def test_a_file_without_winds_is_refused_with_what_it_lacks() -> None:
    with pytest.raises(SourceError, match=r"no level is complete .no u wind, no v wind"):
        read_wind_grid([path_of("members")], Wanted())


def test_points_of_a_lambert_map_lie_where_another_reader_has_them() -> None:
    file = open_grib(path_of("lambert"))
    fields = [one for one in file.useful if one.kind == "pressure"]
    layout = fields[0].layout
    assert isinstance(layout, LambertLayout)
    projection = projection_of("nam", layout)
    xs, ys = _map_axes(projection, layout)
    values = {(one.quantity, one.level): plane for one, plane in file.planes(fields)}
    n_seen = 0
    for name, level, _, _, lat_deg, lon_deg, value in rows("lambert"):
        x, y = projection(lon_deg, lat_deg)
        row, column = (y - ys[0]) / (ys[1] - ys[0]), (x - xs[0]) / (xs[1] - xs[0])
        assert row == pytest.approx(round(row), abs=1e-3)
        assert column == pytest.approx(round(column), abs=1e-3)
        quantity = "rh_ratio" if name == "r" else OURS[name]
        found = values[quantity, level][round(row), round(column)]
        assert found == pytest.approx(value * FACTOR.get(name, 1.0), abs=CLOSE[OURS[name]])
        n_seen += 1
    assert n_seen == 100  # five quantities, five levels, four points


def test_winds_of_a_lambert_map_are_turned_to_true_north() -> None:
    # On a sphere north is turned by sin(25 deg) for each degree from 95 W on a map true at 25 N:
    # the cone constant of a tangent Lambert map (Snyder 1987, USGS paper 1395, eq. 15-3 and 15-4).
    file = open_grib(path_of("lambert"))
    fields = [one for one in file.useful if one.quantity in ("u_mps", "v_mps")]
    fields = [one for one in fields if one.kind == "pressure"]
    layout = fields[0].layout
    assert isinstance(layout, LambertLayout)
    assert layout.along_grid
    planes = {(one.quantity, one.level): plane for one, plane in file.planes(fields)}
    other: dict[tuple[float, float, float], dict[str, float]] = defaultdict(dict)
    for name, level, _, _, lat_deg, lon_deg, value in rows("lambert"):
        other[level, lat_deg, lon_deg][name] = value
    assert len(other) == 20
    for (level, lat_deg, lon_deg), told in other.items():
        turn = np.radians(np.sin(np.radians(25.0)) * (lon_deg - 265.0))
        east = told["u"] * np.cos(turn) + told["v"] * np.sin(turn)
        north = -told["u"] * np.sin(turn) + told["v"] * np.cos(turn)
        there = cut_at(
            projection_of("nam", layout), layout, np.array([lat_deg]), np.array([lon_deg])
        )
        u, v = (there.of(planes[name, level]) for name in ("u_mps", "v_mps"))
        found = there.turned(u, v)
        # A point is told to a millionth of a degree; winds turn by 0.4 degrees in one.
        assert found[0][0, 0] == pytest.approx(east, abs=0.01)
        assert found[1][0, 0] == pytest.approx(north, abs=0.01)


def test_a_lambert_map_becomes_a_grid_of_even_steps() -> None:
    grid = grid_of("lambert")
    assert grid.shape[:3] == (1, 1, 19)
    assert np.diff(grid.lat_deg)[0] == pytest.approx(0.5)
    for name, level, _, _, lat_deg, lon_deg, value in rows("lambert"):
        if name == "gh":
            place = Place(lat_deg=lat_deg, lon_deg=lon_deg - 360.0, amsl_m=0.0)
            over = sounding_over(grid, place, float(grid.times_s[0]))
            k = over.p_pa.tolist().index(level)
            # Twice bilinear, on steps of 81 km and of half a degree: some metres of height.
            assert over.gph_m[k] == pytest.approx(value, abs=6.0)


def test_model_levels_have_the_heights_and_values_of_another_library() -> None:
    grid = grid_of("model")
    assert grid.shape == (1, 1, 137, 34, 48)
    close = {"gph_m": 0.6, "t_k": 0.01, "u_mps": 0.01, "v_mps": 0.01}
    n_seen = n_below = 0
    for name, level, valid_s, _, lat_deg, lon_deg, value in rows("model"):
        what = OURS.get(name.removesuffix("_at_p"))
        if not name.endswith("_at_p") or what is None:
            continue
        found = at(grid, what, (level, valid_s, lat_deg, lon_deg))
        assert np.isnan(found) == np.isnan(value)
        n_below += np.isnan(value)
        if np.isfinite(value):
            # Heights: 1 in 10 000 by the gas constant of dry air, 287.06 beside ISO 2533's 287.053.
            assert found == pytest.approx(
                value, rel=5e-5 if what == "gph_m" else 0, abs=close[what]
            )
            n_seen += 1
    assert n_seen > 100
    assert n_below > 5
