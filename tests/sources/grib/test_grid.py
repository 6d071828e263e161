"""Places between grid points: wrap, edges, orientation, and the bilinear value."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from farglide.sources.grib.grid import Grid, spot

AROUND = Grid(
    n_rows=73, n_columns=144, first_lat_deg=90.0, lat_step_deg=-2.5, first_lon_deg=-180.0,
    lon_step_deg=2.5,
)  # fmt: skip
DATE_LINE = Grid(
    n_rows=3, n_columns=5, first_lat_deg=40.0, lat_step_deg=5.0, first_lon_deg=170.0,
    lon_step_deg=5.0,
)  # fmt: skip


def sampled(grid: Grid, lat_deg: float, lon_deg: float, values: np.ndarray) -> float:
    where = spot(grid, lat_deg, lon_deg)
    assert where is not None
    return where.value(values[where.rows[0]], values[where.rows[1]])


def plane(grid: Grid) -> tuple[np.ndarray, np.ndarray]:
    lats = grid.first_lat_deg + grid.lat_step_deg * np.arange(grid.n_rows)
    lons = grid.first_lon_deg + grid.lon_step_deg * np.arange(grid.n_columns)
    return np.meshgrid(lats, lons, indexing="ij")  # type: ignore[return-value]


@given(st.floats(40.0, 50.0), st.floats(170.0, 190.0))
def test_plane_is_met_everywhere(lat_deg: float, lon_deg: float) -> None:
    """A bilinear value of a plane is the plane itself."""
    lats, lons = plane(DATE_LINE)
    value = sampled(DATE_LINE, lat_deg, lon_deg, 3.0 * lats - 2.0 * lons)
    assert value == pytest.approx(3.0 * lat_deg - 2.0 * lon_deg, abs=1e-9)
    turned = sampled(DATE_LINE, lat_deg, lon_deg - 360.0, 3.0 * lats - 2.0 * lons)
    assert turned == pytest.approx(value, abs=1e-9)


@given(st.floats(-90.0, 90.0), st.floats(-180.0, 360.0))
def test_both_orientations_give_the_same(lat_deg: float, lon_deg: float) -> None:
    southward_lats, southward_lons = plane(AROUND)
    field = southward_lats + 10.0 * np.cos(np.radians(southward_lons))
    northward = Grid(
        n_rows=73, n_columns=144, first_lat_deg=-90.0, lat_step_deg=2.5, first_lon_deg=0.0,
        lon_step_deg=2.5,
    )  # fmt: skip
    lats, lons = plane(northward)
    other = lats + 10.0 * np.cos(np.radians(lons))
    value = sampled(AROUND, lat_deg, lon_deg, field)
    assert sampled(northward, lat_deg, lon_deg, other) == pytest.approx(value, abs=1e-8)


def test_between_last_and_first_column_of_a_whole_circle() -> None:
    _, lons = plane(AROUND)
    # Columns 177.5 and -180: half way the mean of their values.
    assert sampled(AROUND, 10.0, 178.75, lons) == pytest.approx(0.5 * (177.5 - 180.0))
    assert AROUND.goes_round


@pytest.mark.parametrize(
    ("lat_deg", "lon_deg"),
    [(39.9, 180.0), (50.1, 180.0), (45.0, 169.9), (45.0, 190.1), (45.0, 0.0), (45.0, -169.9)],
)
def test_outside_the_outermost_points_is_outside(lat_deg: float, lon_deg: float) -> None:
    assert spot(DATE_LINE, lat_deg, lon_deg) is None


@pytest.mark.parametrize("lon_deg", [170.0, 190.0, -170.0, -190.0])
@pytest.mark.parametrize("lat_deg", [40.0, 50.0])
def test_corners_belong_to_the_grid(lat_deg: float, lon_deg: float) -> None:
    lats, lons = plane(DATE_LINE)
    assert sampled(DATE_LINE, lat_deg, lon_deg, lats) == lat_deg
    assert sampled(DATE_LINE, lat_deg, lon_deg, lons) % 360.0 == lon_deg % 360.0


def test_missing_point_counts_only_where_it_has_weight() -> None:
    lats, _ = plane(DATE_LINE)
    lats[0, 0] = np.nan
    assert np.isnan(sampled(DATE_LINE, 41.0, 171.0, lats))
    assert sampled(DATE_LINE, 45.0, 171.0, lats) == 45.0


def test_bounds_in_words() -> None:
    assert DATE_LINE.bounds_text == "latitude 40 to 50, longitude 170 to 190"
    assert AROUND.bounds_text == "latitude -90 to 90, all longitudes"
