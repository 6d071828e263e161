"""Outlines: area, what lies in them and crossings, against PROJ, slow twins and by hand."""

import math
from itertools import combinations, pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pyproj import Geod

from farglide.atlas.outline import (
    Outline,
    area_m2,
    contains,
    edge_distance_m,
    line_distance_m,
    longest_m,
    middle_of,
)
from farglide.errors import ContradictionError, FarglideError, InputError

GEOD = Geod(ellps="WGS84")
# The wood of the demo: kilometres east and north of 46.5 S 108 E.
WOOD_KM = (
    (32.3, -3.6), (35.4, -7.5), (39.1, -9.4), (32.6, -15.6), (27.6, -23.1), (20.6, -29.1),
    (16.0, -36.9), (12.8, -32.9), (9.1, -31.1), (16.3, -24.1), (22.0, -15.8), (28.3, -10.7),
)  # fmt: skip
WOOD = Outline(points=tuple((-46.5 + y / 111.195, 108.0 + x / 76.542) for x, y in WOOD_KM))


def star(seed: int, n: int, centre: tuple[float, float], size_deg: float) -> Outline:
    """Return corners at rising angles and random distances: never crossing itself."""
    rng = np.random.default_rng(seed)
    angle = 2.0 * np.pi * (np.arange(n) + rng.uniform(0.1, 0.9, n)) / n
    away = size_deg * rng.uniform(0.3, 1.0, n)
    lat, lon = centre[0] + away * np.sin(angle), centre[1] + away * np.cos(angle)
    return Outline(points=tuple(zip(lat.tolist(), lon.tolist(), strict=True)))


def proj_area_m2(outline: Outline, n: int = 400) -> float:
    """PROJ joins corners by geodesics: many corners on each straight edge take that away."""
    closed = [*outline.points, outline.points[0]]
    first = closed[0][1]
    lat, lon = [], []
    for (lat_a, lon_a), (lat_b, lon_b) in pairwise(closed):
        share = np.arange(n) / n
        turn = (lon_b - lon_a + 180.0) % 360.0 - 180.0
        lat += (lat_a + share * (lat_b - lat_a)).tolist()
        lon += (lon_a + share * turn).tolist()
    assert abs(first) <= 180.0
    return float(GEOD.polygon_area_perimeter(lon, lat)[0])


@pytest.mark.parametrize(
    "outline",
    [
        WOOD,
        star(1, 9, (47.0, 11.0), 0.3),
        star(2, 30, (-75.0, -60.0), 1.5),
        star(3, 5, (0.1, 179.9), 0.5),
        star(4, 60, (61.0, -179.99), 0.01),
    ],
)
def test_area_is_that_of_proj(outline: Outline) -> None:
    # 400 short geodesics an edge stay within 1e-6 of straight lines in degrees.
    assert area_m2(outline) == pytest.approx(proj_area_m2(outline), rel=2e-6)


@pytest.mark.parametrize(
    ("south", "north", "west", "east", "printed_m2"),
    # geographiclib 2.1, 2001 posts along each parallel; printed to a square metre
    [(0.0, 1.0, 0.0, 1.0, 12_308_463_894.0), (46.0, 46.5, 8.0, 8.5, 2_142_909_103.0)],
)
def test_published_areas_between_parallels(
    south: float, north: float, west: float, east: float, printed_m2: float
) -> None:
    corners = ((south, west), (south, east), (north, east), (north, west))
    assert area_m2(Outline(points=corners)) == pytest.approx(printed_m2, abs=1.0)


def test_geodesic_edges_of_a_wood_make_no_difference_that_matters() -> None:
    lat, lon = zip(*WOOD.points, strict=True)
    assert area_m2(WOOD) == pytest.approx(GEOD.polygon_area_perimeter(lon, lat)[0], rel=3e-4)


def winding(outline: Outline, lat: float, lon: float) -> bool:
    """Slow twin of `contains`: the angles under which the edges are seen add up to a turn."""
    total = 0.0
    for (lat_a, lon_a), (lat_b, lon_b) in pairwise([*outline.points, outline.points[0]]):
        a = math.atan2(lat_a - lat, lon_a - lon)
        b = math.atan2(lat_b - lat, lon_b - lon)
        total += (b - a + math.pi) % (2.0 * math.pi) - math.pi
    return abs(total) > math.pi


def test_what_lies_inside_agrees_with_the_turns_of_the_edges() -> None:
    rng = np.random.default_rng(5)
    outlines = (WOOD, star(6, 12, (47.0, 11.0), 0.3))
    for outline in outlines:
        lat, lon = (np.array(one) for one in zip(*outline.points, strict=True))
        at = rng.uniform(lat.min() - 0.1, lat.max() + 0.1, 300)
        over = rng.uniform(lon.min() - 0.1, lon.max() + 0.1, 300)
        wanted = [winding(outline, *point) for point in zip(at, over, strict=True)]
        assert contains(outline, at, over).tolist() == wanted
        assert 30 < sum(wanted) < 250


def test_the_180th_meridian_is_no_edge() -> None:
    box = Outline(points=((10.0, 179.5), (10.0, -179.5), (11.0, -179.5), (11.0, 179.5)))
    lat, lon = np.array([10.5, 10.5, 10.5, 10.5]), np.array([179.9, -179.9, 180.0, 178.0])
    assert contains(box, lat, lon).tolist() == [True, True, True, False]
    shifted = Outline(points=((10.0, -0.5), (10.0, 0.5), (11.0, 0.5), (11.0, -0.5)))
    assert area_m2(box) == pytest.approx(area_m2(shifted), rel=1e-9)
    assert middle_of(box) == pytest.approx((10.5, -180.0))


def test_edge_distance_is_that_of_geodesics_to_many_points_of_the_edge() -> None:
    rng = np.random.default_rng(7)
    lat, lon = rng.uniform(-46.85, -46.5, 20), rng.uniform(108.1, 108.5, 20)
    edge = np.concatenate(
        [np.linspace(a, b, 2000) for a, b in pairwise(np.array([*WOOD.points, WOOD.points[0]]))]
    )
    for i, found_m in enumerate(edge_distance_m(WOOD, lat, lon)):
        n = len(edge)
        _, _, away = GEOD.inv([lon[i]] * n, [lat[i]] * n, edge[:, 1], edge[:, 0])
        assert found_m == pytest.approx(float(np.min(away)), abs=6.0, rel=6e-3)


def test_distance_to_a_single_corner_and_along_a_folded_line() -> None:
    # 0.001 degrees of a meridian at 47 N on WGS84: 111.18 m (pyproj)
    house = ((47.0, 11.0),)
    away = line_distance_m(house, np.array([47.001]), np.array([11.0]))
    assert away[0] == pytest.approx(111.18, rel=6e-3)
    folded = ((47.0, 11.0), (47.0, 11.0), (47.0, 11.01))
    assert line_distance_m(folded, np.array([47.0]), np.array([11.005]))[0] < 0.1


def test_longest_is_the_farthest_pair() -> None:
    pairs = combinations(WOOD.points, 2)
    longest = max(GEOD.inv(a[1], a[0], b[1], b[0])[2] for a, b in pairs)
    assert longest_m(WOOD) == pytest.approx(longest, rel=6e-3)  # a sphere


def test_middle_is_that_of_a_triangle() -> None:
    triangle = Outline(points=((46.0, 10.0), (46.3, 10.0), (46.0, 10.9)))
    assert middle_of(triangle) == pytest.approx((46.1, 10.3))


def test_direction_and_closing_corner_do_not_matter() -> None:
    corners = ((46.0, 10.0), (46.0, 10.5), (46.3, 10.5), (46.3, 10.0))
    wanted = Outline(points=corners)
    assert wanted.points == corners  # counterclockwise already
    assert Outline(points=(*corners, corners[0])) == wanted
    assert Outline(points=(corners[0], *corners[:0:-1])) == wanted
    assert Outline(points=tuple((lat, lon + 360.0 - 180.0) for lat, lon in corners)).points[0] == (
        46.0,
        -170.0,
    )


@pytest.mark.parametrize(
    ("points", "message"),
    [
        (((46.0, 10.0), (46.3, 10.5), (46.0, 10.5), (46.3, 10.0)), "crosses or touches itself"),
        (((0.0, 0.0), (0.0, 2.0), (2.0, 2.0), (0.0, 1.0), (2.0, 0.0)), "touches"),
        (((46.0, 10.0), (46.0, 10.5), (46.0, 10.5), (46.3, 10.0)), "twice in a row"),
        (((46.0, 10.0), (46.0, 10.5), (46.0, 10.2), (46.3, 10.0)), "runs back on itself"),
        (((46.0, 10.0), (46.0, 10.5), (46.0, 11.0)), "runs back on itself"),
    ],
)
def test_crossing_outlines_are_refused(
    points: tuple[tuple[float, float], ...], message: str
) -> None:
    with pytest.raises(ContradictionError, match=message):
        Outline(points=points)


@pytest.mark.parametrize(
    ("points", "message"),
    [
        (((46.0, 10.0), (46.0, 10.5)), "corners of an outline is 2"),
        (((46.0, 10.0), (46.0, 10.5), (46.0, 10.0)), "corners of an outline is 2"),
        (((46.0, 10.0), (46.0, 10.5), (math.nan, 10.0)), "lat_deg"),
        (((46.0, 10.0), (46.0, 10.5), (108.0, 10.0)), "swapped"),
        (((46.0, 10.0), (10.0, 46.0), (46.5, 10.0)), "span of latitude"),
    ],
)
def test_what_is_no_outline_is_refused(
    points: tuple[tuple[float, float], ...], message: str
) -> None:
    with pytest.raises(InputError, match=message):
        Outline(points=points)


@settings(deadline=None, max_examples=150)
@given(
    points=st.lists(
        st.tuples(st.integers(0, 6).map(float), st.integers(0, 6).map(float)), max_size=7
    )
)
def test_any_corners_are_an_outline_or_refused(points: list[tuple[float, float]]) -> None:
    reason = ""
    try:
        outline = Outline(points=tuple(points))
    except FarglideError as error:
        reason = str(error)
    if reason:
        assert reason.endswith(".")
    else:
        assert area_m2(outline) > 1e9
        assert area_m2(outline) == pytest.approx(proj_area_m2(outline, 3000), rel=2e-5)
