"""Lambert maps: places, bilinear values, turned winds; the open file is in test_open_forecasts."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from farglide.earth.box import Box
from farglide.errors import SourceError
from farglide.sources.grids.lambert import lambert_cut
from farglide.sources.grids.layout import LambertLayout

SPHERE = 6_371_229.0
MAP = LambertLayout(
    n_rows=9, n_columns=12, first_lat_deg=30.0, first_lon_deg=255.0, first_is_top=False,
    lon_up_deg=265.0, parallels_deg=(25.0, 25.0), true_lat_deg=25.0, x_step_m=100_000.0,
    y_step_m=100_000.0, along_grid=True, radius_m=(SPHERE, SPHERE),
)  # fmt: skip
INSIDE = Box(south_deg=32.0, west_deg=-103.0, north_deg=35.0, east_deg=-98.0)


def snyder(lat_deg: Any, lon_deg: Any) -> tuple[Any, Any]:
    """Return x and y of a sphere, one parallel: Snyder 1987, eq. 15-1, 15-3, 15-4 and 14-4."""
    n = np.sin(np.radians(25.0))
    f = np.cos(np.radians(25.0)) * np.tan(np.radians(57.5)) ** n / n
    rho = SPHERE * f / np.tan(np.radians(45.0 + np.asarray(lat_deg) / 2.0)) ** n
    theta = n * np.radians((np.asarray(lon_deg) + 95.0 + 180.0) % 360.0 - 180.0)
    return rho * np.sin(theta), -rho * np.cos(theta)


def test_a_plane_that_is_linear_in_the_map_is_given_back_at_the_points() -> None:
    found = lambert_cut("a.grib", MAP, INSIDE)
    x0, y0 = snyder(30.0, -105.0)
    rows, columns = np.indices((9, 12))
    x, y = x0 + 1e5 * columns, y0 + 1e5 * (8 - rows)
    plane = ((x + 2.0 * y) / 1e5).astype(np.float32)
    lat, lon = np.meshgrid(found.lat_deg, found.lon_deg, indexing="ij")
    at_x, at_y = snyder(lat, lon)
    np.testing.assert_allclose(found.of(plane), (at_x + 2.0 * at_y) / 1e5, atol=2e-4)
    assert (found.lat_deg[0], found.lat_deg[-1]) == pytest.approx((32.0, 35.0))
    assert (found.lon_deg[0], found.lon_deg[-1]) == pytest.approx((-103.0, -98.0))


def test_a_map_that_begins_at_its_top_has_the_same_points() -> None:
    x0, y0 = snyder(30.0, -105.0)
    down = lambert_cut("a.grib", MAP, INSIDE)
    n = np.sin(np.radians(25.0))
    f = np.cos(np.radians(25.0)) * np.tan(np.radians(57.5)) ** n / n
    y1 = y0 + 8e5
    rho, theta = np.hypot(x0, y1), np.arctan2(x0, -y1)
    lat = 2.0 * np.degrees(np.arctan((SPHERE * f / rho) ** (1.0 / n))) - 90.0
    top = replace(
        MAP, first_is_top=True, first_lat_deg=float(lat),
        first_lon_deg=float(-95.0 + np.degrees(theta / n)),
    )  # fmt: skip
    up = lambert_cut("a.grib", top, INSIDE)
    np.testing.assert_allclose(up.row_weight + up.rows, down.row_weight + down.rows, atol=1e-4)


def test_winds_turn_by_the_cone() -> None:
    found = lambert_cut("a.grib", MAP, INSIDE)
    ones = np.ones((len(found.lat_deg), len(found.lon_deg)), np.float32)
    east, north = found.turned(ones, 0.0 * ones)
    angle = np.sin(np.radians(25.0)) * np.radians(found.lon_deg + 95.0)
    np.testing.assert_allclose(east, np.broadcast_to(np.cos(angle), ones.shape), atol=1e-4)
    np.testing.assert_allclose(north, np.broadcast_to(-np.sin(angle), ones.shape), atol=1e-4)


def test_all_of_a_map_is_taken_with_nothing_outside_it() -> None:
    found = lambert_cut("a.grib", MAP, None)
    values = found.of(np.ones((9, 12), np.float32))
    assert np.isnan(values).any()
    assert np.nanmin(values) == np.nanmax(values) == 1.0
    assert found.lat_deg[0] == pytest.approx(30.0)  # its first point, the farthest from upright
    assert np.diff(found.lat_deg)[0] == pytest.approx(0.5)  # 100 km are 0.9 degrees


@pytest.mark.parametrize(
    ("area", "side"),
    [
        (Box(south_deg=32.0, west_deg=-103.0, north_deg=45.0, east_deg=-98.0), "north"),
        (Box(south_deg=20.0, west_deg=-100.0, north_deg=33.0, east_deg=-98.0), "south"),
        (Box(south_deg=33.0, west_deg=-112.0, north_deg=34.0, east_deg=-98.0), "west"),
        (Box(south_deg=33.0, west_deg=-100.0, north_deg=34.0, east_deg=-85.0), "east"),
    ],
)
def test_the_side_that_is_not_covered_is_named(area: Box, side: str) -> None:
    with pytest.raises(SourceError, match=f"does not cover the area in the .*{side}"):
        lambert_cut("a.grib", MAP, area)


@pytest.mark.parametrize(
    "changed",
    [
        {"parallels_deg": (0.0, 0.0)}, {"parallels_deg": (25.0, -25.0)}, {"x_step_m": 0.0},
        {"n_rows": 1}, {"radius_m": (1.0, 1.0)}, {"first_lat_deg": 90.0},
    ],
)  # fmt: skip
def test_maps_that_cannot_be_are_refused(changed: dict[str, Any]) -> None:
    with pytest.raises(SourceError, match="Lambert conformal map whose parallels, steps or earth"):
        lambert_cut("a.grib", replace(MAP, **changed), INSIDE)
