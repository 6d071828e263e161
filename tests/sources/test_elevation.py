"""Elevation files: a real extract as rasterio reads it, made-up files, wrong ones, damaged ones."""

import math
import zipfile
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import rasterio
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from rasterio.transform import Affine

from farglide.atlas.terrain import Box, Terrain, height_amsl_m
from farglide.errors import SourceError
from farglide.sources.elevation import read_elevation, read_elevation_within

REAL = "sierra_nevada_srtm3.tif"
STEP_DEG = 1.0 / 1200.0
SHORT = settings(
    deadline=None, max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


def box(south: float, west: float, north: float, east: float) -> Box:
    """Return an area by its edges."""
    return Box(south_deg=south, west_deg=west, north_deg=north, east_deg=east)


CUT = box(36.85, -118.88, 37.0, -118.72)
SMALL = box(46.0, 8.0, 46.01, 8.01)


def make(path: Path, heights: NDArray[Any], **change: Any) -> Path:
    """Write a GeoTIFF whose first post is at 46.02 N 7.99 E, three arc seconds apart."""
    north, west = change.pop("first", (46.02, 7.99))
    step = change.pop("step", STEP_DEG)
    unit, scale = change.pop("unit", None), change.pop("scale", None)
    half = 0.5 * step
    form = {
        "driver": "GTiff", "height": heights.shape[-2], "width": heights.shape[-1], "count": 1,
        "dtype": heights.dtype, "crs": "EPSG:4326",
        "transform": Affine(step, 0.0, west - half, 0.0, -step, north + half),
    } | change  # fmt: skip
    with rasterio.open(path, "w", **form) as file:
        if unit is not None:
            file.units = (unit,)
        if scale is not None:
            file.scales, file.offsets = (scale[0],), (scale[1],)
        file.write(heights if heights.ndim == 3 else heights[None])
    return path


def tile(path: Path, n: int, heights: NDArray[Any] | None = None) -> Path:
    """Write an SRTM tile of n x n posts: rows times 2 plus columns, or these heights."""
    if heights is None:
        heights = 2 * np.arange(n)[:, None] + np.arange(n)[None, :]
    heights.astype(">i2").tofile(path)
    return path


HILL = (200 + np.add.outer(np.arange(48), 3 * np.arange(60))).astype(np.int16)


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
    with pytest.raises(SourceError, match=r"do not cover 4[67]\.\d+, 9\.\d+ deg .*N46E008.hgt lat"):
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


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        (
            {"crs": "EPSG:32632"},
            r"is in WGS 84 / UTM zone 32N \(EPSG:32632\), a coordinate system that is not "
            r"geographic; allowed: .*4326",
        ),
        ({"crs": "EPSG:4258"}, r"is in ETRS89.* \(EPSG:4258\)"),
        ({"crs": "EPSG:4979"}, r"is in WGS 84.* \(EPSG:4979\); allowed: .* sea level"),
        ({"crs": "EPSG:4326+6360"}, "band 1: has heights in 'US survey foot'; allowed: metres"),
        ({"crs": "EPSG:4326+5715"}, "counts heights down in metre; allowed: up, in metre"),
        ({"crs": None}, "names no coordinate system: it does not say where on the Earth it lies"),
        ({"transform": Affine.identity()}, "does not say where on the Earth it lies"),
        ({"transform": Affine(1e-3, 1e-4, 8.0, 1e-4, -1e-3, 46.0)}, "is turned or mirrored"),
        ({"transform": Affine(1e-3, 0, 8.0, 0, 1e-3, 46.0)}, "is turned or mirrored"),
        ({"transform": Affine(1e-3, 0, 8.0, 0, -1e-3, 146.0)}, "reaches off the Earth"),
        ({"transform": Affine(10.0, 0, 8.0, 0, -1e-3, 46.0)}, "reaches off the Earth"),
        ({"unit": "ft"}, r"band 1: has heights in 'ft'; allowed: metres\. Feet x 0.3048"),
    ],
)
@pytest.mark.filterwarnings("ignore::rasterio.errors.NotGeoreferencedWarning")
def test_rasters_of_another_kind(change: dict[str, Any], reason: str, tmp_path: Path) -> None:
    path = make(tmp_path / "a.tif", HILL, **change)
    with pytest.raises(SourceError, match=reason) as caught:
        read_elevation([path], SMALL)
    assert caught.value.path == str(path)


def test_a_grid_in_metres_is_called_one_and_not_damaged(tmp_path: Path) -> None:
    grid = Affine(30.0, 0.0, 350_000.0, 0.0, -30.0, 4_100_000.0)
    path = make(tmp_path / "a.tif", HILL, crs="EPSG:32611", transform=grid)
    with pytest.raises(SourceError) as caught:
        read_elevation([path], SMALL)
    told = str(caught.value)
    assert "WGS 84 / UTM zone 11N (EPSG:32611), a coordinate system that is not geographic" in told
    assert told.endswith("Convert it to latitude and longitude (EPSG:4326).")
    assert "damaged" not in told
    unnamed = make(tmp_path / "b.tif", HILL, crs=None, transform=grid)
    with pytest.raises(SourceError, match=r"names no coordinate system: .*Convert it to latitude"):
        read_elevation([unnamed], SMALL)


def test_pictures_are_refused(tmp_path: Path) -> None:
    picture = np.zeros((3, 48, 60), np.uint8)
    path = make(tmp_path / "a.tif", picture, count=3)
    with pytest.raises(SourceError, match="holds 3 bands of uint8; allowed: one of plain numbers"):
        read_elevation([path], SMALL)
    waves = make(tmp_path / "b.tif", HILL.astype(np.complex64))
    with pytest.raises(SourceError, match="holds 1 bands of complex64"):
        read_elevation([waves], SMALL)


@pytest.mark.parametrize("value", [9500.0, -800.0, math.inf, 1e300])
def test_heights_that_cannot_be_are_refused(value: float, tmp_path: Path) -> None:
    heights = HILL.astype(np.float64)
    heights[15, 14] = value
    path = make(tmp_path / "a.tif", heights)
    reason = r"post at 46.00750, 8.00167 deg: has a height of .* m; allowed: -500 to 9000 m.*feet"
    with pytest.raises(SourceError, match=reason):
        read_elevation([path], SMALL)


def test_areas_that_are_not_covered(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = make(tmp_path / "a.tif", HILL)
    covered = r"Covered: a.tif latitude 45.98083 to 46.02000, longitude 7.99000 to 8.03917 deg"
    for area in (box(46.0, 8.0, 46.01, 8.05), box(45.0, 8.0, 45.1, 8.1)):
        with pytest.raises(SourceError, match=rf"do not cover .* deg of the area\. {covered}"):
            read_elevation([path], area)
    with pytest.raises(SourceError, match="has no file; allowed: one or more"):
        read_elevation([], SMALL)
    monkeypatch.setattr("farglide.sources.elevation.MOST_POSTS", 100)
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
    steps = (
        r"has steps of 0.00166667, 0.00166667 deg; allowed: those of the first file, 0.000833333"
    )
    with pytest.raises(SourceError, match=steps):
        read_elevation([a, wide], SMALL)
    with pytest.raises(SourceError, match="has its posts between those of the first file"):
        read_elevation([a, moved], SMALL)


def test_wrong_tiles(tmp_path: Path) -> None:
    short = tile(tmp_path / "N46E008.hgt", 1201)
    short.write_bytes(short.read_bytes()[:-1000])
    with pytest.raises(SourceError, match=r"holds 2883802 bytes; allowed: 2884802 \(3 arc"):
        read_elevation([short], SMALL)
    named = tile(tmp_path / "alps.hgt", 1201)
    with pytest.raises(SourceError, match=r"is called 'alps.hgt'; allowed: the south-west corner"):
        read_elevation([named], SMALL)
    packed = tmp_path / "two.zip"
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr("N46E008.hgt", b"")
        archive.writestr("N46E009.hgt", b"")
    with pytest.raises(SourceError, match=r"zip archive: holds 2 tiles; allowed: one \.hgt"):
        read_elevation([packed], SMALL)


def test_no_raster_at_all(tmp_path: Path) -> None:
    text = tmp_path / "a.tif"
    text.write_text("not found")
    with pytest.raises(SourceError, match=r"cannot be read as elevation: .*not recogni") as caught:
        read_elevation([text], SMALL)
    assert ".." not in str(caught.value).replace(str(text), "")
    assert ". It is damaged: fetch it again, as binary." in str(caught.value)
    with pytest.raises(SourceError, match=r"cannot be read: No such file"):
        read_elevation([tmp_path / "none.tif"], SMALL)
    with pytest.raises(SourceError, match="is a folder"):
        read_elevation([tmp_path], SMALL)


def test_cut_short_though_the_area_itself_is_there(authorities: Path, tmp_path: Path) -> None:
    path = tmp_path / "cut.tif"
    data = (authorities / REAL).read_bytes()
    path.write_bytes(data[:-2000])
    north = box(37.0, -118.9, 37.02, -118.88)  # the first block alone
    with pytest.raises(SourceError, match=r"block 2, 2: is cut short: \d+ bytes of at least \d+"):
        read_elevation([path], north)


def test_a_head_that_promises_too_many_blocks(tmp_path: Path) -> None:
    path = make(
        tmp_path / "a.tif", np.zeros((4000, 16), np.int16), tiled=True, blockxsize=16,
        blockysize=16, SPARSE_OK="TRUE", compress="deflate",
    )  # fmt: skip
    data = bytearray(path.read_bytes())
    # ImageWidth (tag 256, short) made 4096: 64 000 blocks in a file of some kilobytes.
    place = data.index(b"\x00\x01\x03\x00\x01\x00\x00\x00\x10\x00")
    data[place + 8 : place + 10] = (65520).to_bytes(2, "little")
    path.write_bytes(bytes(data))
    with pytest.raises(SourceError, match=r"blocks of 16 x 16 posts by its head"):
        read_elevation([path], SMALL)


def check(path: Path) -> Terrain | None:
    """Read the file; a terrain must be one in every respect, an error must name the file."""
    reasons = []
    try:
        terrain = read_elevation([path], CUT)
    except SourceError as error:
        reasons.append(str(error))
    if reasons:
        assert str(path) in reasons[0]
        return None
    known = terrain.heights_amsl_m[np.isfinite(terrain.heights_amsl_m)]
    assert known.min(initial=0.0) >= -500.0
    assert known.max(initial=0.0) <= 9000.0
    return terrain


@SHORT
@given(share=st.floats(0.0, 1.0, exclude_max=True))
def test_truncated_files(share: float, authorities: Path, tmp_path: Path) -> None:
    data = (authorities / REAL).read_bytes()
    path = tmp_path / "cut.tif"
    path.write_bytes(data[: int(share * len(data))])
    assert check(path) is None


@SHORT
@given(
    changes=st.lists(
        st.tuples(st.floats(0.0, 1.0, exclude_max=True), st.integers(0, 255)), max_size=12
    )
)
def test_changed_bytes(changes: list[tuple[float, int]], authorities: Path, tmp_path: Path) -> None:
    data = bytearray((authorities / REAL).read_bytes())
    for share, byte in changes:
        data[int(share * len(data))] = byte
    path = tmp_path / "changed.tif"
    path.write_bytes(bytes(data))
    check(path)


@settings(SHORT, max_examples=200)
@given(
    changes=st.lists(st.tuples(st.integers(0, 700), st.integers(0, 255)), min_size=1, max_size=6)
)
def test_changed_heads(changes: list[tuple[int, int]], authorities: Path, tmp_path: Path) -> None:
    data = bytearray((authorities / REAL).read_bytes())
    for place, byte in changes:
        data[place] = byte
    path = tmp_path / "changed.tif"
    path.write_bytes(bytes(data))
    check(path)


@SHORT
@given(
    changes=st.lists(st.tuples(st.integers(0, 3000), st.integers(0, 255)), min_size=1, max_size=6),
    cut=st.integers(0, 200),
)
def test_changed_archives(changes: list[tuple[int, int]], cut: int, tmp_path: Path) -> None:
    packed = tmp_path / "N36W119.hgt.zip"
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("N36W119.hgt", bytes(2 * 1201 * 1201))
    data = bytearray(packed.read_bytes())
    for place, byte in changes:
        data[place % len(data)] = byte
    packed.write_bytes(bytes(data[: len(data) - cut]))
    check(packed)


@pytest.mark.parametrize(
    "magic", [b"", b"II*\0", b"MM\0*", b"II+\0", b"PK\x03\x04", b"<VRTDataset"]
)
@SHORT
@given(junk=st.binary(max_size=300))
def test_random_bytes(magic: bytes, junk: bytes, tmp_path: Path) -> None:
    path = tmp_path / "junk.tif"
    path.write_bytes(magic + junk)
    assert check(path) is None


def test_undamaged_file_passes(authorities: Path) -> None:
    assert check(authorities / REAL) is not None
