"""Terrain: sampled as others sample it, on shapes whose heights are known, and with holes."""

import math
from pathlib import Path

import numpy as np
import pytest
import rasterio
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from rasterio.enums import Resampling
from rasterio.transform import Affine
from rasterio.vrt import WarpedVRT

from farglide.atlas.terrain import (
    Terrain,
    fill_holes,
    flat,
    height_amsl_m,
    slope_deg,
)
from farglide.earth.box import Box
from farglide.earth.radii import _meridian_radius_m, _normal_radius_m
from farglide.earth.state import Place
from farglide.errors import InputError
from farglide.sources.elevation.elevation import read_elevation

STEP_DEG = 1.0 / 1200.0
REAL = "sierra_nevada_srtm3.tif"
INNER = Box(south_deg=36.83, west_deg=-118.9, north_deg=37.02, east_deg=-118.71)


def grid(heights: NDArray[np.floating], north_deg: float = 47.0, west_deg: float = 8.0) -> Terrain:
    """Return heights as a terrain three arc seconds apart."""
    return Terrain(
        heights_amsl_m=heights.astype(np.float32),
        north_deg=north_deg,
        west_deg=west_deg,
        step_lat_deg=STEP_DEG,
        step_lon_deg=STEP_DEG,
        datum="unknown",
        origin="test",
    )


def twin_amsl_m(terrain: Terrain, row: float, column: float) -> float:
    """Return the bilinear height at a place counted in posts, in plain Python."""
    heights = terrain.heights_amsl_m
    n_rows, n_columns = heights.shape
    if not (0.0 <= row <= n_rows - 1 and 0.0 <= column <= n_columns - 1):
        return math.nan
    i, j = min(math.floor(row), n_rows - 2), min(math.floor(column), n_columns - 2)
    total = 0.0
    for di in (0, 1):
        for dj in (0, 1):
            weight = (1 - abs(row - i - di)) * (1 - abs(column - j - dj))
            total += weight * float(heights[i + di, j + dj])
    return total


def at(terrain: Terrain, row: float, column: float) -> float:
    """Return the height at a place counted in posts, as the package has it."""
    lat = np.array([terrain.north_deg - row * terrain.step_lat_deg])
    lon = np.array([terrain.west_deg + column * terrain.step_lon_deg])
    return float(height_amsl_m(terrain, lat, lon)[0])


@pytest.mark.parametrize(("right", "down"), [(0.37, 0.61), (0.5, 0.5), (0.02, 0.93)])
def test_heights_are_those_of_another_sampler(right: float, down: float, authorities: Path) -> None:
    # The warper of rasterio, bilinear, onto posts shifted by a share of a step: a thousandth of a
    # pixel is what it may put them aside, though between two grids of degrees it has no reason to.
    # It writes single precision: 3600 m are good to 2.4e-4 m, and sums of four to twice that.
    with rasterio.open(authorities / REAL) as source:
        shift = source.transform @ Affine.translation(1.0 + right, 1.0 + down)
        with WarpedVRT(
            source,
            crs=source.crs,
            transform=shift,
            width=237,
            height=237,
            resampling=Resampling.bilinear,
            dtype="float32",
            tolerance=1e-3,
        ) as warped:
            theirs = warped.read(1)
            columns, rows = np.meshgrid(np.arange(237) + 0.5, np.arange(237) + 0.5)
            lon, lat = shift.a * columns + shift.c, shift.e * rows + shift.f
        bounds = source.bounds
    box = Box(
        south_deg=bounds.bottom + STEP_DEG,
        west_deg=bounds.left + STEP_DEG,
        north_deg=bounds.top - STEP_DEG,
        east_deg=bounds.right - STEP_DEG,
    )
    ours = height_amsl_m(read_elevation([authorities / REAL], box), lat, lon)
    assert ours.shape == (237, 237)
    np.testing.assert_allclose(ours, theirs, rtol=0.0, atol=1e-3)
    assert theirs.max() - theirs.min() > 2900.0


def test_plane_is_kept_exactly() -> None:
    rows, columns = np.mgrid[0:5, 0:6]
    terrain = grid(1000.0 + 40.0 * columns - 25.0 * rows)
    rng = np.random.default_rng(1)
    row, column = rng.uniform(0, 4, 200), rng.uniform(0, 5, 200)
    lat, lon = 47.0 - row * STEP_DEG, 8.0 + column * STEP_DEG
    # 1e-12 deg of rounding in the coordinates is 1e-9 of a step.
    expected = 1000.0 + 40.0 * column - 25.0 * row
    np.testing.assert_allclose(height_amsl_m(terrain, lat, lon), expected, atol=1e-6)


def test_paraboloid_errs_by_its_curvature() -> None:
    rows, columns = np.mgrid[0:9, 0:9].astype(float)
    terrain = grid(500.0 + 8.0 * (rows - 4.0) ** 2 + 6.0 * (columns - 4.0) ** 2)
    # In the middle of a cell a bilinear surface lies a quarter of each coefficient too high.
    for row, column in ((0.5, 0.5), (3.5, 5.5), (7.5, 2.5)):
        exact = 500.0 + 8.0 * (row - 4.0) ** 2 + 6.0 * (column - 4.0) ** 2
        assert at(terrain, row, column) == pytest.approx(exact + 8.0 / 4.0 + 6.0 / 4.0, abs=1e-6)
    assert at(terrain, 4.0, 4.0) == pytest.approx(500.0, abs=1e-6)


HEIGHTS = st.one_of(st.just(math.nan), st.floats(-400.0, 8800.0, width=32))


@settings(deadline=None, max_examples=150)
@given(data=st.data(), n_rows=st.integers(2, 6), n_columns=st.integers(2, 6))
def test_small_grids_with_holes(data: st.DataObject, n_rows: int, n_columns: int) -> None:
    cells = st.lists(HEIGHTS, min_size=n_rows * n_columns, max_size=n_rows * n_columns)
    heights = np.array(data.draw(cells), np.float32).reshape(n_rows, n_columns)
    terrain = grid(heights)
    row = data.draw(st.floats(-1.0, n_rows)) + 0.001  # off the posts, where a hole's weight is 0
    column = data.draw(st.floats(-1.0, n_columns)) + 0.001
    edges = (row, column, row - n_rows + 1, column - n_columns + 1)
    if min(abs(edge) for edge in edges) < 1e-4:
        return  # whether just outside or just inside is a matter of rounding
    expected, got = twin_amsl_m(terrain, row, column), at(terrain, row, column)
    # 1e-9 of a step times 9 km between two posts.
    assert got == pytest.approx(expected, abs=1e-4, nan_ok=True)
    if math.isfinite(got):
        assert np.nanmin(heights) - 1e-3 <= got <= np.nanmax(heights) + 1e-3


def test_every_post_and_corner_is_inside() -> None:
    heights = np.random.default_rng(2).uniform(0.0, 3000.0, (7, 9)).astype(np.float32)
    terrain = grid(heights, 47.123456789, -0.00371)
    for i in range(7):
        for j in range(9):
            assert at(terrain, i, j) == pytest.approx(float(heights[i, j]), abs=1e-4)
    for row, column in ((-0.01, 3.0), (6.01, 3.0), (3.0, -0.01), (3.0, 8.01)):
        assert math.isnan(at(terrain, row, column))


def test_terrain_across_the_date_line() -> None:
    rows, columns = np.mgrid[0:5, 0:9]
    terrain = grid(100.0 + columns, 10.0, 180.0 - 4 * STEP_DEG)
    lat = np.full(5, 10.0 - 2 * STEP_DEG)
    for lon in (179.999, -180.0, 180.0, -179.999, 180.001):
        x = ((lon - terrain.west_deg) % 360.0) / STEP_DEG
        got = height_amsl_m(terrain, lat, np.full(5, lon))
        np.testing.assert_allclose(got, 100.0 + x, atol=1e-6)
    assert rows.shape == terrain.heights_amsl_m.shape


def test_flat_ground_lies_everywhere_and_says_so() -> None:
    terrain = flat(240.0)
    lat = np.array([-90.0, -46.5, 0.0, 90.0, 12.0])
    lon = np.array([0.0, 108.0, 180.0, -180.0, 359.9])
    np.testing.assert_array_equal(height_amsl_m(terrain, lat, lon), 240.0)
    assert terrain.origin == "flat ground assumed, 240 m above sea level"
    assert slope_deg(terrain, Place(lat_deg=50.0, lon_deg=-100.0, amsl_m=0.0)) == 0.0


@pytest.mark.parametrize("towards_deg", [0.0, 40.0, 135.0, 260.0])
def test_slope_of_a_plane(towards_deg: float) -> None:
    # Twelve degrees steep at 47 N, rising towards `towards_deg`.
    lat = math.radians(47.0 - 2 * STEP_DEG)
    east_m = math.radians(STEP_DEG) * _normal_radius_m(lat) * math.cos(lat)
    north_m = math.radians(STEP_DEG) * _meridian_radius_m(lat)
    rise, turn = math.tan(math.radians(12.0)), math.radians(towards_deg)
    rows, columns = np.mgrid[0:5, 0:5]
    terrain = grid(
        2000.0 + rise * (math.sin(turn) * columns * east_m - math.cos(turn) * rows * north_m)
    )
    for row, column in ((2.0, 2.0), (2.3, 1.8), (2.0, 0.0), (2.0, 4.0)):
        place = Place(lat_deg=47.0 - row * STEP_DEG, lon_deg=8.0 + column * STEP_DEG, amsl_m=0.0)
        # Single precision of 2 km is 1.2e-4 m over 180 m.
        assert slope_deg(terrain, place) == pytest.approx(12.0, abs=1e-4)


def test_slopes_of_real_ground_by_horns_weights(authorities: Path) -> None:
    terrain = read_elevation([authorities / REAL], INNER)
    z = terrain.heights_amsl_m.astype(float)
    weights = np.array([[-1.0, 0.0, 1.0], [-2.0, 0.0, 2.0], [-1.0, 0.0, 1.0]]) / 8.0
    slopes = []
    for row, column in ((5, 9), (100, 3), (50, 200), (180, 120)):
        lat_deg = terrain.north_deg - row * STEP_DEG
        lon_deg = terrain.west_deg + column * STEP_DEG
        part = z[row - 1 : row + 2, column - 1 : column + 2]
        step_rad = math.radians(STEP_DEG)
        lat_rad = math.radians(lat_deg)
        across_m = step_rad * _normal_radius_m(lat_rad) * math.cos(lat_rad)
        x = (weights * part).sum() / across_m
        y = (weights.T * part).sum() / (step_rad * _meridian_radius_m(lat_rad))
        slopes.append(slope_deg(terrain, Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=0.0)))
        assert slopes[-1] == pytest.approx(math.degrees(math.atan(math.hypot(x, y))), abs=1e-9)
    assert max(slopes) > 20.0


@pytest.mark.parametrize("hole", [(1, 1), (1, 2), (2, 2), (3, 3)])
def test_no_slope_at_or_beside_a_hole(hole: tuple[int, int]) -> None:
    heights = np.full((5, 5), 700.0)
    heights[hole] = np.nan
    place = Place(lat_deg=47.0 - 2 * STEP_DEG, lon_deg=8.0 + 2 * STEP_DEG, amsl_m=0.0)
    assert math.isnan(slope_deg(grid(heights), place))
    away = Place(lat_deg=48.0, lon_deg=8.0, amsl_m=0.0)
    assert math.isnan(slope_deg(grid(np.full((5, 5), 700.0)), away))


def test_holes_are_filled_from_their_rims_inwards() -> None:
    heights = np.full((7, 7), 800.0)
    heights[2:5, 2:5] = np.nan
    heights[1, 1] = 900.0
    terrain = grid(heights)
    once, twice = fill_holes(terrain, 1), fill_holes(terrain, 2)
    assert np.isnan(once.heights_amsl_m).sum() == 1
    assert once.heights_amsl_m[2, 2] == pytest.approx((4 * 800.0 + 900.0) / 5)
    assert twice.heights_amsl_m[3, 3] == pytest.approx(np.mean([820.0] + [800.0] * 7), abs=1e-3)
    assert once.origin == "test; 8 missing posts filled from their neighbours"
    assert twice.origin == "test; 9 missing posts filled from their neighbours"
    assert np.isnan(terrain.heights_amsl_m).sum() == 9
    assert np.isnan(fill_holes(grid(np.full((4, 4), np.nan)), 3).heights_amsl_m).all()


def test_filling_stays_within_what_the_files_cover() -> None:
    heights = np.full((8, 9), np.nan)
    heights[2:7, 3:8] = 300.0
    heights[4, 5] = np.nan
    filled = fill_holes(grid(heights), 3).heights_amsl_m
    assert np.isfinite(filled).sum() == 25
    assert filled[4, 5] == 300.0


@settings(deadline=None, max_examples=60)
@given(data=st.data())
def test_filling_keeps_what_is_known_and_stays_between(data: st.DataObject) -> None:
    cells = st.lists(HEIGHTS, min_size=30, max_size=30)
    heights = np.array(data.draw(cells), np.float32).reshape(5, 6)
    filled = fill_holes(grid(heights), 6).heights_amsl_m
    known = ~np.isnan(heights)
    np.testing.assert_array_equal(filled[known], heights[known])
    if known.any():
        rows, columns = np.flatnonzero(known.any(axis=1)), np.flatnonzero(known.any(axis=0))
        covered = filled[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
        assert np.isfinite(covered).all()
        assert np.isfinite(filled).sum() == covered.size
        assert np.nanmin(heights) - 1e-2 <= covered.min()
        assert covered.max() <= np.nanmax(heights) + 1e-2


PLAIN = {
    "heights_amsl_m": np.zeros((3, 3), np.float32),
    "north_deg": 47.0,
    "west_deg": 8.0,
    "step_lat_deg": 0.1,
    "step_lon_deg": 0.1,
    "datum": "unknown",
    "origin": "test",
}


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        ({"heights_amsl_m": np.zeros((3, 3))}, "heights_amsl_m is float64 of shape"),
        ({"heights_amsl_m": np.zeros((1, 3), np.float32)}, "2 or more rows and columns"),
        ({"heights_amsl_m": np.zeros(9, np.float32)}, "2 or more rows and columns"),
        ({"heights_amsl_m": np.full((3, 3), 9100.0, np.float32)}, "is 9100 m; .*Are these feet"),
        ({"heights_amsl_m": np.full((3, 3), -np.inf, np.float32)}, "is -inf m"),
        ({"north_deg": 91.0}, "lat_deg is 91.0°"),
        ({"west_deg": -181.0}, "lon_deg is -181.0°"),
        ({"step_lat_deg": -0.1}, "step_lat_deg is -0.1°; .*Rows run from north to south"),
        ({"step_lat_deg": 69.0}, "step_lat_deg is 69.0°; allowed: more than 0 to 68.5°"),
        ({"step_lon_deg": math.nan}, "step_lon_deg is nan"),
        ({"step_lon_deg": 181.0}, "allowed: more than 0 to 180° for 3 posts"),
        ({"datum": " "}, "datum is blank"),
        ({"origin": ""}, "origin is blank"),
    ],
)
def test_impossible_terrain_is_refused(change: dict[str, object], reason: str) -> None:
    with pytest.raises(InputError, match=reason):
        Terrain(**(PLAIN | change))  # type: ignore[arg-type]


def test_wrong_questions_are_refused() -> None:
    terrain = grid(np.zeros((2, 2)))
    one, two = np.array([47.0]), np.array([8.0, 8.1])
    with pytest.raises(InputError, match="lon_deg is of shape"):
        height_amsl_m(terrain, one, two)
    with pytest.raises(InputError, match="lat_deg is 91"):
        height_amsl_m(terrain, np.array([91]), one)
    with pytest.raises(InputError, match="lon_deg is nan°"):
        height_amsl_m(terrain, one, np.array([math.nan]))
    with pytest.raises(InputError, match="3 or more rows and columns"):
        slope_deg(terrain, Place(lat_deg=47.0, lon_deg=8.0, amsl_m=0.0))
    with pytest.raises(InputError, match="n_posts is 0; allowed: 1 to 100"):
        fill_holes(terrain, 0)
