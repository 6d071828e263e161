"""Plane: north up, one scale, and back from paper to places."""

import numpy as np
import pytest

from farglide.earth.geodesy import offset
from farglide.earth.state import Place
from farglide.present.draw.chart.plane import Plane
from farglide.present.draw.place import Point

LAUNCH = Place(lat_deg=-46.5, lon_deg=179.9, amsl_m=0.0)
SQUARE = [(-30e3, -10e3), (50e3, -10e3), (50e3, 40e3), (-30e3, 40e3)]


@pytest.fixture
def plane() -> Plane:
    return Plane.round(LAUNCH, SQUARE, (310.0, 317.0), 30.0)


def test_all_fits_with_a_margin_and_the_scale_is_one(plane: Plane) -> None:
    points = [plane.xy(*one) for one in SQUARE]
    assert min(p.x for p in points) == pytest.approx(30.0)
    assert max(p.x for p in points) == pytest.approx(280.0)
    assert points[1].x - points[0].x == pytest.approx(80e3 * plane.px_per_m)
    assert points[0].y - points[3].y == pytest.approx(50e3 * plane.px_per_m)
    assert points[3].y < points[0].y  # north is up


def test_places_over_the_180th_meridian_stand_side_by_side(plane: Plane) -> None:
    east = offset(LAUNCH, 40e3, 0.0)
    assert east.lon_deg < 0.0
    at, home = plane.at(east.lat_deg, east.lon_deg), plane.at(-46.5, 179.9)
    assert at.x - home.x == pytest.approx(40e3 * plane.px_per_m, abs=0.01)
    assert at.y == pytest.approx(home.y, abs=0.01)


def test_the_middle_of_every_cell_is_where_the_paper_says(plane: Plane) -> None:
    lat, lon = plane.places(20, 16)
    for i, j in ((0, 0), (7, 11), (19, 15)):
        lon_deg = (float(lon[i, j]) + 180.0) % 360.0 - 180.0
        at = plane.at(float(lat[i, j]), lon_deg)
        assert at.x == pytest.approx((j + 0.5) / 16 * 310.0, abs=0.1)
        assert at.y == pytest.approx((i + 0.5) / 20 * 317.0, abs=0.1)
    assert np.all(np.diff(lon, axis=1) > 0.0)


def test_lines_are_thinned_clipped_and_told_apart(plane: Plane) -> None:
    close = [Point(0, 0), Point(1, 0), Point(2, 0), Point(5, 0)]
    assert plane.thinned(close) == (Point(0, 0), Point(5, 0))
    around = (Point(-50, 100), Point(200, 100), Point(200, 900))
    shown = plane.shown_along(around)
    assert shown
    assert all(12.0 <= at.x <= 298.0 and 12.0 <= at.y <= 305.0 for at in shown)
    far_side = [(46.5, -0.1), (-46.5, 179.9)]  # beyond the plane: left out
    assert len(plane.line(far_side)) == 1
