"""Crossings: a way over the wood of the demo enters and leaves where it is drawn."""

import numpy as np
import pytest
from pyproj import Geod

from farglide.atlas.crossing import crossings_m
from farglide.atlas.outline import Outline, contains, edge_distance_m
from farglide.earth.geodesy import destination
from farglide.earth.state import Place

GEOD = Geod(ellps="WGS84")
# The wood of the demo: kilometres east and north of 46.5 S 108 E.
WOOD_KM = (
    (32.3, -3.6), (35.4, -7.5), (39.1, -9.4), (32.6, -15.6), (27.6, -23.1), (20.6, -29.1),
    (16.0, -36.9), (12.8, -32.9), (9.1, -31.1), (16.3, -24.1), (22.0, -15.8), (28.3, -10.7),
)  # fmt: skip
WOOD = Outline(points=tuple((-46.5 + y / 111.195, 108.0 + x / 76.542) for x, y in WOOD_KM))


def test_a_way_over_the_wood_enters_and_leaves_where_they_are_drawn() -> None:
    """Both crossings lie on the line of the wood, and between them is wood."""
    far = Place(lat_deg=-46.5 - 30.0 / 111.195, lon_deg=108.0 + 35.0 / 76.542, amsl_m=0.0)
    home = Place(lat_deg=-46.5, lon_deg=108.0, amsl_m=0.0)
    found = crossings_m(WOOD, far, home)
    assert len(found) == 2
    azimuth = float(GEOD.inv(far.lon_deg, far.lat_deg, home.lon_deg, home.lat_deg)[0])
    for distance_m in found:
        at = destination(far, azimuth, distance_m)
        line = edge_distance_m(WOOD, np.array([at.lat_deg]), np.array([at.lon_deg]))
        assert line[0] < 3.0
    within = destination(far, azimuth, sum(found) / 2.0)
    assert contains(WOOD, np.array([within.lat_deg]), np.array([within.lon_deg]))[0]
    assert crossings_m(WOOD, home, far) == pytest.approx(
        [sum_of(far, home) - one for one in reversed(found)], abs=5.0
    )
    assert crossings_m(WOOD, home, home) == ()
    near = destination(home, 0.0, 5000.0)
    assert crossings_m(WOOD, home, near) == ()


def sum_of(a: Place, b: Place) -> float:
    return float(GEOD.inv(a.lon_deg, a.lat_deg, b.lon_deg, b.lat_deg)[2])


@pytest.mark.parametrize(
    ("lat_deg", "lon_deg"), [(46.5, 108.0), (-46.5, -72.0), (46.5, -72.0), (89.9, 0.0)]
)
def test_an_outline_far_away_is_never_crossed(lat_deg: float, lon_deg: float) -> None:
    """Another continent's wood in a shared file, or one round the place opposite on the Earth."""
    home = Place(lat_deg=-46.5, lon_deg=108.0, amsl_m=0.0)
    corners = ((0.0, 0.0), (0.08, 0.02), (0.05, 0.12), (-0.05, 0.1), (-0.08, -0.1))
    wood = Outline(points=tuple((lat_deg + a, lon_deg + b) for a, b in corners))
    for azimuth_deg in range(0, 360, 10):
        assert crossings_m(wood, home, destination(home, azimuth_deg, 60_000.0)) == ()


def test_a_long_border_is_crossed_where_it_is_near() -> None:
    """A border drawn along a meridian for 18 degrees: most of its corners are far away."""
    home = Place(lat_deg=-46.5, lon_deg=108.0, amsl_m=0.0)
    lats = [*np.linspace(-55.0, -37.0, 181), *np.linspace(-37.0, -55.0, 181)]
    lons = [108.2] * 181 + [120.0] * 181
    border = Outline(points=tuple(zip(map(float, lats), lons, strict=True)))
    east = destination(home, 90.0, 40_000.0)
    wanted = GEOD.inv(108.0, -46.5, 108.2, -46.5)[2]
    assert crossings_m(border, home, east) == pytest.approx([wanted], abs=5.0)


def test_a_long_edge_runs_straight_on_a_chart() -> None:
    """As `contains` has it: from 9 degrees west to 9 degrees east along one parallel.

    The geodesic between those corners leads 12 km nearer to the pole.
    """
    sea = Outline(points=((-46.6, 99.0), (-46.6, 117.0), (-50.0, 117.0), (-50.0, 99.0)))
    home = Place(lat_deg=-46.5, lon_deg=108.0, amsl_m=0.0)
    beyond = Place(lat_deg=-46.62, lon_deg=108.0, amsl_m=0.0)
    short = Place(lat_deg=-46.59, lon_deg=108.0, amsl_m=0.0)
    wanted = GEOD.inv(108.0, -46.5, 108.0, -46.6)[2]
    assert crossings_m(sea, home, beyond) == pytest.approx([wanted], abs=5.0)
    assert crossings_m(sea, home, short) == ()


def test_an_edge_may_run_across_the_180_degree_meridian_either_way() -> None:
    box = Outline(points=((10.0, 179.5), (10.0, -179.8), (10.2, -179.8), (10.2, 179.5)))
    start = Place(lat_deg=9.9, lon_deg=179.95, amsl_m=0.0)
    end = Place(lat_deg=10.1, lon_deg=179.95, amsl_m=0.0)
    wanted = GEOD.inv(179.95, 9.9, 179.95, 10.0)[2]
    assert crossings_m(box, start, end) == pytest.approx([wanted], abs=5.0)
