"""Chances on cells: nothing is lost but over the edge, and lines shut the way between cells."""

import numpy as np
import pytest

from farglide.earth.geodesy import offsets_deg
from farglide.earth.state import Place
from farglide.errors import ContradictionError
from farglide.search.grid import degrees, grid_of, metres, open_between
from farglide.search.points import GroundPoints

HERE = Place(lat_deg=-46.5, lon_deg=179.999, amsl_m=0.0)


def cloud(sd_m: float = 400.0, n: int = 1000) -> GroundPoints:
    east, north = np.random.default_rng(3).normal(0.0, sd_m, (2, n))
    lat, lon = offsets_deg(HERE, east, north)
    return GroundPoints(
        lat_deg=lat, lon_deg=lon, weight=np.ones(n), story=np.zeros(n, np.int64),
        down_t_s=np.zeros(n), names=("cloud",),
    )  # fmt: skip


def test_a_normal_cloud_comes_out_as_its_law() -> None:
    """In its densest cell: area / (2 pi sd^2), the blur's own square added to the square of sd."""
    grid = grid_of(cloud())
    assert 1000 < grid.poc.size < 4000
    assert 0.97 < grid.poc.sum() <= 1.0 + 1e-9
    blurred_m2 = 400.0**2 * (1.0 + 1000.0 ** (-1.0 / 3.0))
    wanted = grid.step_m**2 / (2.0 * np.pi * blurred_m2)
    assert grid.poc.max() == pytest.approx(wanted, rel=0.12)


def test_metres_and_degrees_are_inverse_across_the_180th_meridian() -> None:
    east, north = np.array([-5000.0, 0.0, 7000.0]), np.array([3000.0, 0.0, -2000.0])
    lat, lon = degrees(HERE, east, north)
    back = metres(HERE, lat, lon)
    assert back.east_m == pytest.approx(east, abs=1e-6)
    assert back.north_m == pytest.approx(north, abs=1e-6)
    assert (np.abs(lon) <= 180.0).all()


def test_middles_lie_in_their_cells() -> None:
    grid = grid_of(cloud())
    east, north = metres(grid.origin, *grid.middles_deg())
    assert east[0, 0] == pytest.approx(grid.west_m + 0.5 * grid.step_m)
    assert north[-1, 0] == pytest.approx(grid.south_m + (grid.shape[0] - 0.5) * grid.step_m)


def test_a_road_shuts_the_way_across_it_alone() -> None:
    grid = grid_of(cloud())
    lat, lon = degrees(HERE, np.array([grid.west_m, -grid.west_m]), np.array([3.0, 3.0]))
    road = list(zip(lat.tolist(), lon.tolist(), strict=True))
    ways = open_between(grid, [road])
    shut = np.flatnonzero(~ways.north.all(axis=1))
    assert len(shut) == 1
    assert not ways.north[shut[0]].any()
    assert ways.east.all()


def test_a_road_on_the_slant_leaves_no_gap() -> None:
    """From the south-west of the cells to the north-east: no walk from one side to the other."""
    grid = grid_of(cloud())
    n_rows, n_columns = grid.shape
    corner = 2.0 * np.array([grid.west_m, -grid.west_m])
    lat, lon = degrees(HERE, corner, 2.0 * np.array([grid.south_m, -grid.south_m]))
    ways = open_between(grid, [list(zip(lat.tolist(), lon.tolist(), strict=True))])
    seen, waiting = {(n_rows - 1, 0)}, [(n_rows - 1, 0)]
    while waiting:
        r, c = waiting.pop()
        options = [
            ((r, c + 1), c + 1 < n_columns and ways.east[r, c]),
            ((r, c - 1), c > 0 and ways.east[r, c - 1]),
            ((r + 1, c), r + 1 < n_rows and ways.north[r, c]),
            ((r - 1, c), r > 0 and ways.north[r - 1, c]),
        ]
        for cell, is_open in options:
            if is_open and cell not in seen:
                seen.add(cell)
                waiting.append(cell)
    assert (0, n_columns - 1) not in seen
    assert len(seen) == pytest.approx(0.5 * n_rows * n_columns, rel=0.1)


def test_points_half_a_world_apart_are_refused() -> None:
    with pytest.raises(ContradictionError, match=r"the points lie .* km apart"):
        grid_of(cloud(230_000.0))


def test_one_point_is_a_small_blur() -> None:
    grid = grid_of(cloud(0.0, 50))
    assert grid.poc.sum() == pytest.approx(1.0, abs=0.2)
