"""Rasters: files of another kind, damaged and cut ones, each refused by what is wrong."""

import zipfile
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from rasterio.transform import Affine

from farglide.atlas.terrain import Terrain
from farglide.errors import SourceError
from farglide.sources.elevation.elevation import read_elevation

from .tiles import CUT, HILL, REAL, SMALL, box, make, tile

SHORT = settings(
    deadline=None, max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


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


@pytest.mark.slow
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


@pytest.mark.slow
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
