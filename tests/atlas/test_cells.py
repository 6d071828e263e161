"""Cells: three of them reckoned by hand, what shuts a cell out, and sight against profiles."""

import math

import numpy as np
import pytest

from farglide.atlas.barriers import Barrier, Landmark
from farglide.atlas.cells import (
    SEEN_AGL_M,
    Cells,
    Ground,
    cells_at,
    grid_of,
    in_sight,
    scores,
)
from farglide.atlas.groundline import profile
from farglide.atlas.outline import Outline
from farglide.atlas.sweep import STANDARD_EARTH_RATIO
from farglide.atlas.terrain import Terrain, flat, height_amsl_m
from farglide.constants import MEAN_EARTH_RADIUS_M
from farglide.earth.box import Box
from farglide.earth.geodesy import destination, geodesic
from farglide.earth.state import Place
from farglide.errors import InputError

ORIGIN = Place(lat_deg=47.0, lon_deg=11.0, amsl_m=0.0)
INF = math.inf


def hand(**columns: object) -> Cells:
    given = {
        "lat_deg": np.full(3, 47.0),
        "lon_deg": np.full(3, 11.0),
        "amsl_m": np.full(3, 200.0),
        "slope_deg": np.array([0.0, 3.0, 1.5]),
        "road_m": np.array([200.0, 200.0, 1650.0]),
        "seen": np.array([1, 2, 0]),
        "shut_out": np.array([True, False, False]),
    }
    return Cells(**(given | columns))  # type: ignore[arg-type]


def test_three_cells_by_hand() -> None:
    """In the wood; 3 deg, 200 m beside a road, seen; 1.5 deg, half way to "far", not seen.

    (1/2 + 2 x 1 + 1) / 4 = 0.875 and (3/4 + 2 x 1/2 + 0) / 4 = 0.4375; without roads
    (1/2 + 1) / 2 and (3/4) / 2; with the slope alone 1/2 and 3/4.
    """
    assert scores(hand(), True, True).tolist() == [0.0, 0.875, 0.4375]
    assert scores(hand(), False, True).tolist() == [0.0, 0.75, 0.375]
    assert scores(hand(), False, False).tolist() == [0.0, 0.5, 0.75]


def test_too_steep_or_unknown_ground_scores_nothing() -> None:
    cells = hand(slope_deg=np.array([math.nan, 6.0, 7.0]), shut_out=np.zeros(3, np.bool_))
    assert scores(cells, True, True).tolist() == [0.0, 0.0, 0.0]
    far = hand(slope_deg=np.zeros(3), road_m=np.array([3000.0, 9000.0, INF]), seen=np.zeros(3))
    assert scores(far, True, True).tolist() == [0.0, 0.25, 0.25]


@pytest.mark.parametrize(
    ("kind", "least_m"), [("road", 100.0), ("rail", 150.0), ("wires", 150.0), ("house", 150.0)]
)
def test_near_a_road_is_good_and_on_it_is_shut_out(kind: str, least_m: float) -> None:
    ends = (ORIGIN, destination(ORIGIN, 90.0, 4000.0))
    points = tuple((one.lat_deg, one.lon_deg) for one in ends[: 1 if kind == "house" else 2])
    landmark = Landmark(name="", kind=kind, points=points)
    at = [destination(ORIGIN, 0.0, least_m + d) for d in (-10.0, 10.0)]
    lat, lon = np.array([p.lat_deg for p in at]), np.array([p.lon_deg for p in at])
    cells = cells_at(Ground(terrain=flat(200.0), landmarks=(landmark,)), lat, lon)
    assert cells.shut_out.tolist() == [True, False]
    wanted = [least_m - 10.0, least_m + 10.0] if kind == "road" else [INF, INF]
    assert cells.road_m.tolist() == pytest.approx(wanted, rel=0.01)
    assert cells.slope_deg.tolist() == [0.0, 0.0]


def test_a_barrier_and_its_rim_are_shut_out() -> None:
    corners = [destination(ORIGIN, azimuth, 2000.0) for azimuth in (45.0, 135.0, 225.0, 315.0)]
    outline = Outline(points=tuple((one.lat_deg, one.lon_deg) for one in corners))
    ground = Ground(terrain=None, barriers=(Barrier(name="Mere", kind="water", outline=outline),))
    at = [destination(ORIGIN, 0.0, d) for d in (0.0, 1400.0, 1580.0, 1640.0)]  # edge at 1414 m
    lat, lon = np.array([p.lat_deg for p in at]), np.array([p.lon_deg for p in at])
    cells = cells_at(ground, lat, lon)
    assert cells.shut_out.tolist() == [True, True, True, False]
    assert np.isnan(cells.amsl_m).all()
    assert scores(cells, False, False).tolist() == [0.0] * 4


def hills() -> Terrain:
    rng = np.random.default_rng(3)
    rows, columns = np.mgrid[0:120, 0:120]
    heights = 300.0 + 120.0 * np.sin(rows / 9.0) * np.cos(columns / 13.0)
    heights += rng.uniform(0.0, 5.0, heights.shape)
    return Terrain(
        heights_amsl_m=heights.astype(np.float32),
        north_deg=47.1,
        west_deg=10.9,
        step_lat_deg=1.0 / 600.0,
        step_lon_deg=1.0 / 600.0,
        datum="none",
        origin="made for a test",
    )


def slow_clearance_m(terrain: Terrain, stand: Place, point: Place) -> float:
    """Return by how much the straight ray over a 4/3 earth clears the ground of the profile."""
    ground = profile(terrain, stand, point, 50.0)
    length_m = ground.distance_m[-1]
    d = ground.distance_m
    keep = (d > 50.0) & (d < length_m - 150.0)
    bulge = d * (length_m - d) / (2.0 * STANDARD_EARTH_RATIO * MEAN_EARTH_RADIUS_M)
    ray = stand.amsl_m + (point.amsl_m - stand.amsl_m) * d / length_m
    return float((ray - ground.ground_amsl_m - bulge)[keep].min(initial=1e9))


def test_sight_is_that_of_profiles() -> None:
    """The fan looks in 720 directions: only near a grazing ray may the two differ."""
    terrain, rng = hills(), np.random.default_rng(9)
    lat, lon = rng.uniform(46.93, 47.07, 200), rng.uniform(10.93, 11.07, 200)
    height = height_amsl_m(terrain, lat, lon) + SEEN_AGL_M
    ground_m = float(height_amsl_m(terrain, np.array([47.0]), np.array([11.0]))[0])
    stand = Place(lat_deg=47.0, lon_deg=11.0, amsl_m=ground_m + 15.0)
    seen = in_sight(terrain, stand, lat, lon, height)
    n_clear = 0
    for i in range(len(lat)):
        point = Place(lat_deg=lat[i], lon_deg=lon[i], amsl_m=height[i])
        if geodesic(stand, point).distance_m < 400.0:
            continue
        clearance_m = slow_clearance_m(terrain, stand, point)
        if abs(clearance_m) > 10.0:
            n_clear += 1
            assert seen[i] == (clearance_m > 0.0)
    assert n_clear > 150
    assert 30 < seen.sum() < 180


def test_beyond_the_known_ground_nothing_is_seen() -> None:
    stand = Place(lat_deg=47.0, lon_deg=11.0, amsl_m=900.0)
    points = np.array([47.05, 47.5]), np.array([11.0, 11.0]), np.array([3000.0, 3000.0])
    assert in_sight(hills(), stand, *points).tolist() == [True, False]


def test_cells_of_an_area() -> None:
    box = Box(south_deg=47.0, west_deg=11.0, north_deg=47.01, east_deg=11.02)
    lat, lon = grid_of(box, 200.0)
    assert len(lat) == 5 * 7  # 1112 m by 1519 m
    sides = [
        geodesic(*(Place(lat_deg=lat[i], lon_deg=lon[i], amsl_m=0.0) for i in pair)).distance_m
        for pair in ((0, 1), (0, 7))
    ]
    assert sides == pytest.approx([200.0, 200.0], abs=0.5)
    assert lat.min() > 47.0
    assert lon.max() < 11.02
    with pytest.raises(InputError, match="Take longer steps"):
        grid_of(Box(south_deg=40.0, west_deg=11.0, north_deg=47.0, east_deg=21.0), 100.0)
    with pytest.raises(InputError, match="step_m of cells"):
        grid_of(box, 5.0)
