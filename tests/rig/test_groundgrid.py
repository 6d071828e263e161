"""Ground grid: heights where the terrain has them, round all places, across the 180th meridian."""

import numpy as np
import pytest

from farglide.atlas.terrain import Terrain
from farglide.errors import InputError
from farglide.rig.groundgrid import N_STEPS, ground_grid


def slope(west_deg: float) -> Terrain:
    """Return ground that rises 1000 m for each degree to the east."""
    columns = 1000.0 * np.linspace(0.0, 4.0, 41)
    return Terrain(
        heights_amsl_m=np.tile(columns, (41, 1)).astype(np.float32),
        north_deg=48.0,
        west_deg=west_deg,
        step_lat_deg=0.1,
        step_lon_deg=0.1,
        datum="made up",
        origin="made up",
    )


@pytest.mark.parametrize("west_deg", [6.0, 178.0])
def test_heights_are_those_of_the_terrain(west_deg: float) -> None:
    lon = [(west_deg + 1.5 + 180.0) % 360.0 - 180.0, (west_deg + 2.5 + 180.0) % 360.0 - 180.0]
    grid = ground_grid(slope(west_deg), [(45.8, lon[0]), (46.2, lon[1])])
    assert grid is not None
    heights = np.array(grid.amsl_m)
    assert heights.shape == (N_STEPS + 1, N_STEPS + 1)
    column = np.arange(N_STEPS + 1) * grid.step_lon_deg
    first_deg = (grid.west_deg - west_deg + 180.0) % 360.0 - 180.0
    assert heights[40] == pytest.approx(1000.0 * (first_deg + column), abs=0.51)
    assert grid.north_deg > 46.2
    assert grid.north_deg - N_STEPS * grid.step_lat_deg < 45.8


def test_beyond_the_terrain_nothing_is_known() -> None:
    grid = ground_grid(slope(6.0), [(47.9, 8.0), (47.5, 8.1)])
    assert grid is not None
    assert np.isnan(np.array(grid.amsl_m)[0]).all()
    assert ground_grid(slope(6.0), [(10.0, 8.0)]) is None
    assert ground_grid(None, [(47.0, 8.0)]) is None


def test_without_places_there_is_no_area() -> None:
    with pytest.raises(InputError, match="places is none; allowed: one or more"):
        ground_grid(slope(6.0), [])
