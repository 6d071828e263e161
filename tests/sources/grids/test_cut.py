"""Cuts: the rows and columns that cover an area."""

from typing import Any

import numpy as np
import pytest

from farglide.earth.box import Box
from farglide.errors import SourceError
from farglide.sources.grids.cut import cut
from farglide.sources.grids.layout import EvenLayout


def layout(**changed: Any) -> EvenLayout:
    parts = {
        "n_rows": 5, "n_columns": 11, "north_deg": 50.0, "south_deg": 40.0, "west_deg": 0.0,
        "lon_step_deg": 2.5,
    }  # fmt: skip
    return EvenLayout(**(parts | changed))


def box(south: float, west: float, north: float, east: float) -> Box:
    return Box(south_deg=south, west_deg=west, north_deg=north, east_deg=east)


ROUND = {"n_columns": 144, "n_rows": 73, "north_deg": 90.0, "south_deg": -90.0}


def plane_of(one: EvenLayout) -> np.ndarray[Any, np.dtype[np.float32]]:
    """Return latitude plus a thousandth of the longitude on the circle at each point."""
    lon = (one.west_deg + one.lon_step_deg * np.arange(one.n_columns)) % 360.0
    return (one.lat_deg[:, None] + lon / 1000.0).astype(np.float32)


@pytest.mark.parametrize(
    ("area", "lats", "lons"),
    [
        (box(43.0, 3.0, 47.0, 11.0), (42.5, 47.5), (2.5, 12.5)),
        (box(42.5, 2.5, 47.5, 12.5), (42.5, 47.5), (2.5, 12.5)),
        (box(44.0, 6.0, 44.1, 6.1), (42.5, 45.0), (5.0, 7.5)),
    ],
)
def test_the_next_points_outside_are_taken(
    area: Box, lats: tuple[float, float], lons: tuple[float, float]
) -> None:
    found = cut("a.grib", layout(), area)
    assert (found.lat_deg[0], found.lat_deg[-1]) == lats
    assert (found.lon_deg[0], found.lon_deg[-1]) == lons


@pytest.mark.parametrize("west_deg", [0.0, 180.0, -180.0, 100.0])
@pytest.mark.parametrize(
    ("area", "lons"),
    [
        (box(-33.0, 171.0, 11.0, -169.0), (170.0, 192.5)),
        (box(-33.0, -1.0, 11.0, 4.0), (-2.5, 5.0)),
        (box(-33.0, -100.0, 11.0, -95.0), (-100.0, -95.0)),
        (box(-90.0, 0.0, 90.0, 1.0), (0.0, 2.5)),
    ],
)
def test_a_circle_is_cut_across_its_own_end(
    west_deg: float, area: Box, lons: tuple[float, float]
) -> None:
    one = layout(**ROUND, west_deg=west_deg)
    found = cut("a.grib", one, area)
    assert (found.lon_deg[0], found.lon_deg[-1]) == pytest.approx(lons)
    expected = found.lat_deg[:, None] + (found.lon_deg % 360.0) / 1000.0
    np.testing.assert_allclose(found.of(plane_of(one)), expected, atol=1e-4)


def test_all_is_taken_where_no_area_is_asked_for() -> None:
    one = layout(**ROUND, west_deg=230.0)
    found = cut("a.grib", one, None)
    assert found.lat_deg[0] == -90.0
    assert (found.lon_deg[0], len(found.lon_deg)) == (-130.0, 144)
    twice = layout(**(ROUND | {"n_columns": 145}))
    assert len(cut("a.grib", twice, None).lon_deg) == 144


@pytest.mark.parametrize(
    ("area", "side"),
    [
        (box(43.0, 3.0, 51.0, 11.0), "north: it ends at latitude 50, needed is 51"),
        (box(39.0, 3.0, 47.0, 11.0), "south: it ends at latitude 40, needed is 39"),
        (box(43.0, 3.0, 47.0, 26.0), "east: it ends at longitude 25, needed is 26"),
        (box(43.0, -3.0, 47.0, 11.0), "west: it ends at longitude 0, needed is -3"),
    ],
)
def test_the_side_that_is_not_covered_is_named(area: Box, side: str) -> None:
    with pytest.raises(SourceError, match=f"does not cover the area in the {side}"):
        cut("a.grib", layout(), area)
