"""The paper of coverage: cells, places and metres meet, also over the 180th meridian."""

from types import SimpleNamespace
from typing import cast

import pytest

from farglide.earth.geodesy import destination
from farglide.earth.state import Place
from farglide.outlook.coverage import Coverage
from farglide.present.draw.maps.coverage_plane import MAP_PX, plane_of
from farglide.sim.hear.groundcircle import GroundCircle


def covering(lat_deg: float, lon_deg: float, radius_m: float) -> Coverage:
    middle = Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=0.0)
    circle = GroundCircle(middle=middle, radius_m=radius_m, n_rows=40, n_columns=40)
    return cast(Coverage, SimpleNamespace(circle=circle))


@pytest.mark.parametrize(("lat_deg", "lon_deg"), [(-46.5, 108.0), (65.0, 179.99), (0.0, -179.9)])
def test_places_stand_where_their_cells_are(lat_deg: float, lon_deg: float) -> None:
    cover = covering(lat_deg, lon_deg, 150e3)
    plane = plane_of(cover)
    lat, lon = plane.places(40, 40)
    points = cover.circle.points_deg
    assert lat == pytest.approx(points.lat_deg)
    assert lon == pytest.approx(points.lon_deg)
    for i, j in ((0, 0), (20, 7), (39, 39)):
        wrapped = (float(lon[i, j]) + 180.0) % 360.0 - 180.0
        at = plane.at(float(lat[i, j]), wrapped)
        assert at.x == pytest.approx((j + 0.5) / 40 * MAP_PX)
        assert at.y == pytest.approx((i + 0.5) / 40 * MAP_PX)


def test_metres_are_those_of_the_geodesic() -> None:
    cover = covering(60.0, 10.0, 200e3)
    plane = plane_of(cover)
    there = destination(cover.circle.middle, 45.0, 150e3)
    wanted, found = plane.at(there.lat_deg, there.lon_deg), plane.xy(106_066.0, 106_066.0)
    assert found.x == pytest.approx(wanted.x, abs=0.01)
    assert found.y == pytest.approx(wanted.y, abs=0.01)
    # the widest parallel of the circle is not the middle's
    assert abs(plane.xy(0.0, 200e3).y) < 0.01 * MAP_PX
