"""Tiles of the ground: which, from where, and that the sea has none."""

import re
import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from bench.forecastserver.faults import Kind
from bench.forecastserver.library import Library

from farglide.earth.box import Box
from farglide.errors import FetchError, InputError, Unfetched
from farglide.gather.fetch.addresses import read_addresses
from farglide.gather.fetch.record import read_record
from farglide.gather.fetch.source import Source
from farglide.gather.fetch.tiles import (
    MOST_TILES,
    Ground,
    Tile,
    fetch_tiles,
    terrain_source,
    tiles_of,
)

from .server import AUTHORITIES, World

TERRAIN = terrain_source(read_addresses())
BOX = Box(south_deg=36.8, west_deg=-119.5, north_deg=37.2, east_deg=-118.5)  # four tiles


@pytest.fixture
def source(world: World, tmp_path: Path) -> Source:
    """Return a source of tiles on the running server, which has two of the four."""
    folder = tmp_path / "served"
    folder.mkdir()
    for name in ("N36W119", "N37W120"):
        shutil.copy(AUTHORITIES / "sierra_nevada_srtm3.tif", folder / f"{name}.tif")
    world.manner.library = Library(folder=folder)
    return replace(TERRAIN, addresses=(f"{world.base}/{{lat_tile}}{{lon_tile}}.tif",), pause_s=0.5)


def fetched(world: World, source: Source, tmp_path: Path) -> Ground:
    told: list[tuple[int, int, int]] = []
    ground = fetch_tiles(world.client(), source, BOX, tmp_path, lambda *now: told.append(now))
    assert all(n_tiles == 4 for _, _, n_tiles in told)
    return ground


def names(box: Box) -> list[str]:
    return [one.name for one in tiles_of(TERRAIN, box)]


def test_each_tile_that_an_area_touches_is_named() -> None:
    assert names(BOX) == ["N36-W120.tif", "N36-W119.tif", "N37-W120.tif", "N37-W119.tif"]
    assert tiles_of(TERRAIN, BOX)[1].addresses == (
        "https://copernicus-dem-30m.s3.amazonaws.com/Copernicus_DSM_COG_10_N36_00_W119_00_DEM/"
        "Copernicus_DSM_COG_10_N36_00_W119_00_DEM.tif",
    )
    around = Box(south_deg=-0.5, west_deg=179.5, north_deg=0.5, east_deg=-179.5)
    assert names(around) == ["S01-E179.tif", "S01-W180.tif", "N00-E179.tif", "N00-W180.tif"]
    with pytest.raises(InputError, match=f"72 tiles of a degree; allowed: {MOST_TILES}"):
        tiles_of(TERRAIN, Box(south_deg=0.0, west_deg=0.0, north_deg=9.0, east_deg=8.0))


def test_what_is_there_is_fetched_and_the_rest_is_sea(
    world: World, source: Source, tmp_path: Path
) -> None:
    ground = fetched(world, source, tmp_path)
    assert ground.sea == ("N36-W120.tif", "N37-W119.tif")
    assert [path.name for path in ground.paths] == ["N36-W119.tif", "N37-W120.tif"]
    real = (AUTHORITIES / "sierra_nevada_srtm3.tif").read_bytes()
    assert {path.read_bytes() for path in ground.paths} == {real}
    assert read_record(ground.folder) == ground.record
    assert ground.record.run_t_s is None
    assert ground.record.licence == TERRAIN.licence


def test_tiles_that_are_there_are_not_fetched_again(
    world: World, source: Source, tmp_path: Path
) -> None:
    first = fetched(world, source, tmp_path)
    assert fetched(world, source, tmp_path) == first
    assert len(world.targets) == 4 + 2  # only those of the sea are asked for once more


def test_where_no_tile_is_there_the_address_is_doubted(
    world: World, source: Source, tmp_path: Path
) -> None:
    gone = replace(source, addresses=(f"{world.base}/none/{{lat_tile}}{{lon_tile}}",))
    with pytest.raises(FetchError) as caught:
        fetched(world, gone, tmp_path)
    assert caught.value.cause is Unfetched.NOT_THERE


@pytest.mark.parametrize("kind", [Kind.PAGE, Kind.CUT])
def test_an_address_that_fails_is_told(
    world: World, source: Source, tmp_path: Path, kind: Kind
) -> None:
    world.fail(kind, "N36W119", times=99, after_bytes=0)
    with pytest.raises(FetchError, match="N36W119"):
        fetched(world, source, tmp_path)


@pytest.mark.parametrize(
    "data", [b"", b"II*", b"GRIB\0\0\0\2" + bytes(40), b"II*\0\xff\xff\0\0" + bytes(40)]
)
def test_what_is_no_tiff_is_refused(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "tile.tif"
    path.write_bytes(data)
    with pytest.raises(FetchError, match=re.escape("http://a.example/t: sends no whole TIFF")):
        Tile(name="tile.tif", addresses=()).check(path, "http://a.example/t")


def test_without_a_source_of_tiles_it_is_said() -> None:
    with pytest.raises(InputError, match="missing for terrain"):
        terrain_source(read_addresses()[:2])
