"""Ground: slopes away from the light dark, level ground white, tops where they are."""

from pathlib import Path

import numpy as np
import pytest

from farglide.earth.box import Box
from farglide.earth.state import Place
from farglide.outlook.charted import GroundGrid
from farglide.present.draw.chart.ground import DARKEST, heights_on, shaded, tops
from farglide.present.draw.chart.plane import Plane
from farglide.rig.groundgrid import ground_grid
from farglide.sources.elevation.elevation import read_elevation

HERE = Place(lat_deg=46.0, lon_deg=8.0, amsl_m=0.0)


def plane(half_m: float = 20e3) -> Plane:
    corners = [(-half_m, -half_m), (half_m, half_m)]
    return Plane.round(HERE, corners, (200.0, 200.0), 0.0)


def grid(heights: np.ndarray[tuple[int, int], np.dtype[np.float64]]) -> GroundGrid:
    n = heights.shape[0] - 1
    return GroundGrid(
        north_deg=46.3,
        west_deg=7.6,
        step_lat_deg=0.6 / n,
        step_lon_deg=0.8 / n,
        amsl_m=tuple(map(tuple, heights.tolist())),
    )


def hill(east: float, north: float, high_m: float = 800.0, n: int = 80) -> GroundGrid:
    """Return a round hill so many shares of the grid from its middle."""
    y, x = np.meshgrid(np.linspace(1.0, -1.0, n + 1), np.linspace(-1.0, 1.0, n + 1), indexing="ij")
    away2 = ((x - east) ** 2 + (y - north) ** 2) / 0.02
    return grid(200.0 + high_m * np.exp(-away2))


def test_a_hill_is_dark_on_the_side_away_from_the_light() -> None:
    (raster,) = shaded(hill(0.0, 0.0), plane())
    n = raster.ink.shape[0]
    half = n // 2
    step = round(0.07 * n)
    lit = raster.ink[half - step, half - step]  # north-west
    dark = raster.ink[half + step, half + step]  # south-east
    assert lit == 0
    assert dark > 50
    assert raster.ink.max() <= DARKEST
    assert raster.ink[2, 2] == 0  # level ground far off
    assert len(np.unique(raster.ink)) <= 11


def test_flat_or_unknown_ground_stays_white() -> None:
    assert shaded(None, plane()) == []
    assert shaded(grid(np.full((9, 9), 300.0)), plane()) == []
    assert shaded(grid(np.full((9, 9), np.nan)), plane()) == []
    assert tops(None, plane()) == []
    assert tops(grid(np.full((9, 9), np.nan)), plane()) == []
    assert tops(grid(np.full((9, 9), 300.0)), plane()) == []


def test_a_top_stands_where_it_is_with_its_height() -> None:
    paper = plane()
    (top,) = tops(hill(0.2, 0.3), paper)
    wanted = paper.at(46.0 + 0.3 * 0.3, 8.0 + 0.2 * 0.4)
    assert top.at.x == pytest.approx(wanted.x, abs=2.5)
    assert top.at.y == pytest.approx(wanted.y, abs=2.5)
    assert top.amsl_m == pytest.approx(1000.0, abs=8.0)


def test_heights_are_those_of_the_grid() -> None:
    heights, step_m = heights_on(hill(0.0, 0.0), plane())
    assert float(np.nanmax(heights)) == pytest.approx(1000.0, abs=8.0)
    assert step_m == pytest.approx(40e3 / heights.shape[1])


def test_real_mountains(authorities: Path) -> None:
    """The highest ground of the file's cut is told within what the coarse grid averages away."""
    box = Box(south_deg=36.827, west_deg=-118.901, north_deg=37.0245, east_deg=-118.7035)
    terrain = read_elevation([authorities / "sierra_nevada_srtm3.tif"], box)
    found = ground_grid(terrain, [(36.85, -118.88), (37.0, -118.73)], 200)
    middle = Place(lat_deg=36.925, lon_deg=-118.80, amsl_m=0.0)
    paper = Plane.round(middle, [(-8e3, -8e3), (8e3, 8e3)], (300.0, 300.0), 10.0)
    (raster,) = shaded(found, paper)
    assert 0.2 < float((raster.ink > 0).mean()) < 0.9
    highest = max(top.amsl_m for top in tops(found, paper))
    inner = terrain.heights_amsl_m[20:-20, 20:-20]
    assert highest == pytest.approx(float(np.nanmax(inner)), abs=120.0)
