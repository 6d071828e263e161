"""Ground from files with gaps: narrow ones are closed, wide ones told."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import rasterio
from numpy.typing import NDArray
from rasterio.windows import Window

from farglide.air.column import Sounding
from farglide.atlas.terrain import Terrain
from farglide.chances.case import case_of
from farglide.flightfile.flightfile import FlightFile
from farglide.gather.gather import gather_terrain
from farglide.plan.notes import plan_notes
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie, TerrainSource

Grid = NDArray[np.float32]


def punched(sortie: Sortie, path: Path, window: Window) -> Sortie:
    """Return a flight over its own ground with a hole, `window`: columns and rows of its file."""
    assert sortie.terrain is not None
    with rasterio.open(sortie.terrain.paths[0]) as source:
        heights, profile = source.read(1), source.profile
    profile.update(nodata=-9999)
    heights[window.toslices()] = -9999
    with rasterio.open(path, "w", **profile) as out:
        out.write(heights, 1)
    return replace(sortie, terrain=TerrainSource(paths=(str(path),)))


def ground(sortie: Sortie) -> Terrain:
    terrain = gather_terrain(sortie)
    assert terrain is not None
    return terrain


def on_the_ridge(sortie: Sortie, n_columns: int, n_rows: int) -> Window:
    """Return a window with the highest ground of a flight in its middle."""
    assert sortie.terrain is not None
    terrain = ground(sortie)
    heights = terrain.heights_amsl_m
    down, right = np.unravel_index(np.argmax(heights), heights.shape)
    lon_deg = terrain.west_deg + int(right) * terrain.step_lon_deg
    lat_deg = terrain.north_deg - int(down) * terrain.step_lat_deg
    with rasterio.open(sortie.terrain.paths[0]) as source:
        row, column = source.index(lon_deg, lat_deg)
    return Window(column - n_columns // 2, row - n_rows // 2, n_columns, n_rows)


def test_a_ground_without_holes_is_as_its_files_have_it(demo_flight: FlightFile) -> None:
    assert "filled" not in ground(demo_flight.sortie).origin


@pytest.mark.parametrize("size", [(6, 6), (1, 40), (5, 12)])
def test_narrow_holes_are_closed_near_the_truth(
    demo_flight: FlightFile, tmp_path: Path, size: tuple[int, int]
) -> None:
    sortie = demo_flight.sortie
    whole = ground(sortie).heights_amsl_m
    holed = ground(punched(sortie, tmp_path / "holed.tif", on_the_ridge(sortie, *size)))
    found = holed.heights_amsl_m
    changed = found != whole
    assert np.isfinite(found).all()
    assert holed.origin.endswith(
        f"; {size[0] * size[1]} missing posts filled from their neighbours"
    )
    assert 0 < changed.sum() <= size[0] * size[1]
    assert float(np.median(np.abs(found - whole)[changed])) < 20.0  # of the 250 m it stands up


def test_a_wide_hole_stays_open_in_its_middle_and_is_told(
    demo_flight: FlightFile, demo_sounding: Sounding, tmp_path: Path
) -> None:
    window = on_the_ridge(demo_flight.sortie, 20, 20)
    sortie = punched(demo_flight.sortie, tmp_path / "holed.tif", window)
    terrain = ground(sortie)
    assert np.isnan(terrain.heights_amsl_m).sum() == 14 * 14
    pack = Pack(sounding=demo_sounding, widening_ratio=1.0, terrain=terrain)
    ensemble = case_of(sortie, pack, Grain(n_draws=50)).drawn
    (told,) = (note for note in plan_notes(ensemble, pack) if "has no height at" in note)
    assert "less than 1 %" in told


def test_a_stand_in_the_air_is_asked_about(
    demo_flight: FlightFile, demo_sounding: Sounding
) -> None:
    """Feet typed as metres lift the hill of the demo by a thousand metres, and the car to it."""
    hill = replace(
        demo_flight.sortie.stands[1], amsl_m=demo_flight.sortie.stands[1].amsl_m / 0.3048
    )
    stands = (demo_flight.sortie.stands[0], hill, *demo_flight.sortie.stands[2:])
    for sortie, wanted in (
        (demo_flight.sortie, 0),
        (replace(demo_flight.sortie, stands=stands), 1),
    ):
        pack = Pack(sounding=demo_sounding, widening_ratio=1.0, terrain=ground(sortie))
        ensemble = case_of(sortie, pack, Grain(n_draws=50)).drawn
        told = [note for note in plan_notes(ensemble, pack) if "is its height in metres" in note]
        assert len(told) == wanted
        assert all(hill.name in note for note in told)
