"""Elevation files: a real extract as rasterio reads it, made-up files, wrong ones, damaged ones."""

import math
import zipfile
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import rasterio

from farglide.atlas.terrain import Terrain, height_amsl_m
from farglide.errors import SourceError
from farglide.sources.elevation.elevation import read_elevation, read_elevation_within

from .tiles import CUT, HILL, REAL, SMALL, STEP_DEG, box, make, tile


def at(terrain: Terrain, lat_deg: float, lon_deg: float) -> float:
    """Return the height at one point."""
    return float(height_amsl_m(terrain, np.array(lat_deg), np.array(lon_deg)))


def test_real_extract_post_by_post(authorities: Path) -> None:
    terrain = read_elevation([authorities / REAL], CUT)
    n_rows, n_columns = terrain.heights_amsl_m.shape
    with rasterio.open(authorities / REAL) as file:
        lats = terrain.north_deg - terrain.step_lat_deg * np.arange(n_rows)
        lons = terrain.west_deg + terrain.step_lon_deg * np.arange(n_columns)
        points = [(lon, lat) for lat in lats for lon in lons]
        theirs = np.array([value[0] for value in file.sample(points)]).reshape(n_rows, n_columns)
    np.testing.assert_array_equal(terrain.heights_amsl_m, theirs)
    # The posts enclose the area, by less than one more.
    assert lats[0] >= 37.0 - 1e-9 > lats[1]
    assert lats[-1] <= 36.85 + 1e-9 < lats[-2]
    assert lons[0] <= -118.88 + 1e-9 < lons[1]
    assert lons[-1] >= -118.72 - 1e-9 > lons[-2]
    for lat, lon in ((36.85, -118.88), (37.0, -118.72), (36.85, -118.72), (37.0, -118.88)):
        assert math.isfinite(at(terrain, lat, lon))
    assert terrain.datum == "unknown"
    assert terrain.origin == f"elevation {REAL}"


def test_posts_of_srtm_lie_on_whole_arc_seconds(authorities: Path) -> None:
    terrain = read_elevation([authorities / REAL], CUT)
    for value in (terrain.north_deg, terrain.west_deg):
        assert value * 1200.0 == pytest.approx(round(value * 1200.0), abs=1e-4)


@pytest.mark.parametrize(("n", "step_deg"), [(1201, 1 / 1200), (3601, 1 / 3600)])
def test_srtm_tiles_by_the_corner_in_their_name(n: int, step_deg: float, tmp_path: Path) -> None:
    path = tile(tmp_path / "S47W109.hgt", n)
    terrain = read_elevation([path], box(-46.3, -108.9, -46.2, -108.75))
    assert terrain.step_lat_deg == pytest.approx(step_deg)
    for lat, lon in ((-46.25, -108.8), (-46.3, -108.9), (-46.2, -108.75)):
        row, column = (-46.0 - lat) / step_deg, (lon + 109.0) / step_deg
        assert at(terrain, lat, lon) == pytest.approx(2 * row + column, abs=1e-3)
    assert terrain.datum == "EGM96"


def test_zipped_tile_equals_the_plain_one(tmp_path: Path) -> None:
    path = tile(tmp_path / "N46E008.hgt", 1201)
    packed = tmp_path / "N46E008.hgt.zip"
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.write(path, "N46E008.hgt")
    area = box(46.1, 8.1, 46.2, 8.2)
    plain, unpacked = read_elevation([path], area), read_elevation([packed], area)
    np.testing.assert_array_equal(plain.heights_amsl_m, unpacked.heights_amsl_m)
    assert plain.datum == unpacked.datum


def test_four_tiles_round_a_corner(tmp_path: Path) -> None:
    paths = []
    for lat in (46, 47):
        for lon in (8, 9):
            down = (48 - lat - 1) * 1200 + np.arange(1201)
            across = (lon - 8) * 1200 + np.arange(1201)
            heights = down[:, None] + across[None, :]
            paths.append(tile(tmp_path / f"N{lat}E{lon:03d}.hgt", 1201, heights))
    area = box(46.9, 8.95, 47.05, 9.1)
    terrain = read_elevation(paths, area)
    rows = round((48.0 - terrain.north_deg) * 1200) + np.arange(terrain.heights_amsl_m.shape[0])
    columns = round((terrain.west_deg - 8.0) * 1200) + np.arange(terrain.heights_amsl_m.shape[1])
    np.testing.assert_array_equal(terrain.heights_amsl_m, np.add.outer(rows, columns))
    back = read_elevation(paths[::-1], area)
    np.testing.assert_array_equal(terrain.heights_amsl_m, back.heights_amsl_m)
    with pytest.raises(SourceError, match=r"do not cover 4[67]\.\d+, 9\.\d+° .*N46E008.hgt lat"):
        read_elevation([paths[0], paths[2]], area)


def test_tiles_across_the_date_line(tmp_path: Path) -> None:
    east = tile(tmp_path / "N10E179.hgt", 1201, np.full((1201, 1201), 100))
    west = tile(tmp_path / "N10W180.hgt", 1201, np.full((1201, 1201), 300))
    for paths, shared in (((east, west), 100.0), ((west, east), 300.0)):
        terrain = read_elevation(paths, box(10.1, 179.95, 10.2, -179.9))
        assert at(terrain, 10.15, 179.96) == 100.0
        assert at(terrain, 10.15, -179.92) == 300.0
        assert at(terrain, 10.15, 180.0) == pytest.approx(shared, abs=1e-6)


def test_the_first_file_with_a_height_counts(tmp_path: Path) -> None:
    first, second = HILL.copy(), HILL + 1000
    first[20:25, 20:25] = -32768
    a = make(tmp_path / "a.tif", first)
    b = make(tmp_path / "b.tif", second.astype(np.int16), crs="EPSG:9707")
    terrain = read_elevation([a, b], SMALL)
    expected = np.where(first == -32768, second, first)
    top, left = 12, 12  # the area begins twelve steps in
    n_rows, n_columns = terrain.heights_amsl_m.shape
    part = expected[top : top + n_rows, left : left + n_columns]
    np.testing.assert_array_equal(terrain.heights_amsl_m, part)
    assert terrain.datum == "unknown and EGM96 height"
    assert terrain.origin == "elevation a.tif, b.tif"


@pytest.mark.parametrize(
    ("mark", "change"),
    [
        (-32768, {}),
        (-9999, {"nodata": -9999}),
        (0, {"nodata": 0}),
        (math.nan, {"dtype": "float32"}),
        (-3.4028234663852886e38, {"dtype": "float32", "nodata": -3.4028234663852886e38}),
        (1e300, {"dtype": "float64", "nodata": 1e300}),
    ],
)
def test_posts_without_a_height_are_nan(
    mark: float, change: dict[str, Any], tmp_path: Path
) -> None:
    heights = HILL.astype(change.get("dtype", "int16"))
    heights[15, 14] = mark
    terrain = read_elevation([make(tmp_path / "a.tif", heights, **change)], SMALL)
    assert np.argwhere(np.isnan(terrain.heights_amsl_m)).tolist() == [[3, 2]]


def test_a_stated_void_is_nan_and_else_a_height(tmp_path: Path) -> None:
    heights = HILL.copy()
    heights[15, 14] = 0
    path = make(tmp_path / "a.tif", heights)
    assert read_elevation([path], SMALL).heights_amsl_m[3, 2] == 0.0
    terrain = read_elevation([path], SMALL, void_amsl_m=0.0)
    assert np.argwhere(np.isnan(terrain.heights_amsl_m)).tolist() == [[3, 2]]


def test_masks_scales_and_tiles_inside_the_file(tmp_path: Path) -> None:
    path = make(
        tmp_path / "a.tif", HILL * 10, scale=(0.1, -5.0), unit="metre", tiled=True, blockxsize=16,
        blockysize=16, compress="deflate",
    )  # fmt: skip
    terrain = read_elevation([path], SMALL)
    np.testing.assert_allclose(terrain.heights_amsl_m[0, :3], HILL[12, 12:15] - 5.0, atol=1e-3)
    with rasterio.Env(GDAL_TIFF_INTERNAL_MASK=True), rasterio.open(path, "r+") as file:
        seen = np.ones(HILL.shape, bool)
        seen[13, 13] = False
        file.write_mask(seen)
    holed = read_elevation([path], SMALL)
    assert np.argwhere(np.isnan(holed.heights_amsl_m)).tolist() == [[1, 1]]


def test_files_beside_the_raster_are_not_read(tmp_path: Path) -> None:
    path = make(tmp_path / "a.tif", HILL)
    side = "<PAMDataset><PAMRasterBand band='1'><NoDataValue>237</NoDataValue></PAMRasterBand>"
    (tmp_path / "a.tif.aux.xml").write_text(side + "</PAMDataset>")
    assert np.isfinite(read_elevation([path], SMALL).heights_amsl_m).all()


@pytest.mark.parametrize("value", [9500.0, -800.0, math.inf, 1e300])
def test_heights_that_cannot_be_are_refused(value: float, tmp_path: Path) -> None:
    heights = HILL.astype(np.float64)
    heights[15, 14] = value
    path = make(tmp_path / "a.tif", heights)
    reason = r"post at 46.00750, 8.00167°: has a height of .* m; allowed: -500 to 9000 m.*feet"
    with pytest.raises(SourceError, match=reason):
        read_elevation([path], SMALL)


def test_areas_that_are_not_covered(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = make(tmp_path / "a.tif", HILL)
    covered = r"Covered: a.tif latitude 45.98083 to 46.02000, longitude 7.99000 to 8.03917°"
    for area in (box(46.0, 8.0, 46.01, 8.05), box(45.0, 8.0, 45.1, 8.1)):
        with pytest.raises(SourceError, match=rf"do not cover .*° of the area\. {covered}"):
            read_elevation([path], area)
    with pytest.raises(SourceError, match="has no file; allowed: one or more"):
        read_elevation([], SMALL)
    monkeypatch.setattr("farglide.sources.elevation.elevation.MOST_POSTS", 100)
    with pytest.raises(SourceError, match=r"has 13 x 13 posts over the area; allowed: 100 in all"):
        read_elevation([path], SMALL)


def test_what_files_cover_of_an_area(tmp_path: Path) -> None:
    """The same heights where they reach, and holes elsewhere."""
    path = make(tmp_path / "a.tif", np.full((30, 30), 7.0, np.float32))
    whole = read_elevation_within([path], SMALL)
    assert np.array_equal(whole.heights_amsl_m, read_elevation([path], SMALL).heights_amsl_m)
    wide = read_elevation_within([path], box(45.9, 7.9, 46.1, 8.1))
    assert np.nanmin(wide.heights_amsl_m) == np.nanmax(wide.heights_amsl_m) == 7.0
    assert np.isfinite(wide.heights_amsl_m).sum() == 900
    assert at(wide, 46.005, 8.005) == 7.0
    assert math.isnan(at(wide, 46.05, 8.005))
    beside = read_elevation_within([path], box(10.0, 7.9, 10.1, 8.1))
    assert np.isnan(beside.heights_amsl_m).all()
    with pytest.raises(SourceError, match="Ask for a smaller area"):
        read_elevation_within([path], box(40.0, 5.0, 50.0, 15.0))


def test_files_that_do_not_fit_together(tmp_path: Path) -> None:
    a = make(tmp_path / "a.tif", HILL)
    wide = make(tmp_path / "wide.tif", HILL, step=1 / 600)
    moved = make(tmp_path / "moved.tif", HILL, first=(46.02, 7.99 + 0.5 * STEP_DEG))
    steps = r"has steps of 0.00166667, 0.00166667°; allowed: those of the first file, 0.000833333"
    with pytest.raises(SourceError, match=steps):
        read_elevation([a, wide], SMALL)
    with pytest.raises(SourceError, match="has its posts between those of the first file"):
        read_elevation([a, moved], SMALL)
