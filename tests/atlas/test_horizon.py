"""Profiles and horizons: against geodesics of others, brute force, and one ridge worked by hand."""

import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from pyproj import Geod, Transformer

from farglide.atlas.groundline import profile
from farglide.atlas.horizon import (
    Fan,
    FanScale,
    blank_fan,
    fan,
    fill_fan,
    sight_tangent_ratio,
    sky_line,
)
from farglide.atlas.sweep import Sweep
from farglide.atlas.terrain import Terrain, flat, height_amsl_m
from farglide.earth.box import Box
from farglide.earth.state import Place
from farglide.errors import InputError
from farglide.sources.elevation.elevation import read_elevation

FloatArray = NDArray[np.float64]
GEOD = Geod(ellps="WGS84")
RADIUS_M = 6_371_008.8  # IUGG mean radius
STEP_DEG = 1.0 / 1200.0
CUT = Box(south_deg=36.827, west_deg=-118.901, north_deg=37.0245, east_deg=-118.7035)
STANDS = ((36.92, -118.80, 30.0), (36.88, -118.76, 2.0), (36.985, -118.86, 2.0))


@pytest.fixture(scope="module")
def real(authorities: Path) -> Terrain:
    """Return the real extract."""
    return read_elevation([authorities / "sierra_nevada_srtm3.tif"], CUT)


def stand_on(terrain: Terrain, lat_deg: float, lon_deg: float, mast_m: float) -> Place:
    """Return a place on a mast over the ground."""
    ground = float(height_amsl_m(terrain, np.array(lat_deg), np.array(lon_deg)))
    return Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=ground + mast_m)


def brute_amsl_m(terrain: Terrain, lat_deg: float, lon_deg: float) -> float:
    """Return the bilinear height at a point, in plain Python."""
    row = (terrain.north_deg - lat_deg) / terrain.step_lat_deg
    column = (lon_deg - terrain.west_deg) / terrain.step_lon_deg
    z = terrain.heights_amsl_m
    i, j = math.floor(row), math.floor(column)
    if not (0 <= i < z.shape[0] - 1 and 0 <= j < z.shape[1] - 1):
        return math.nan
    a, b = row - i, column - j
    corners = (float(z[i, j]), float(z[i, j + 1]), float(z[i + 1, j]), float(z[i + 1, j + 1]))
    return (1 - a) * ((1 - b) * corners[0] + b * corners[1]) + a * (
        (1 - b) * corners[2] + b * corners[3]
    )


def brute_tangents(terrain: Terrain, stand: Place, azimuth_deg: float, sweep: Sweep) -> list[float]:
    """Return the tangent of the elevation of each sample of one ray, by points on a circle."""
    radius_m = sweep.earth_ratio * RADIUS_M
    tangents = []
    for k in range(1, sweep.n_rings + 1):
        distance_m = k * sweep.step_m
        lon, lat, _ = GEOD.fwd(stand.lon_deg, stand.lat_deg, azimuth_deg, distance_m)
        height_m = brute_amsl_m(terrain, lat, lon)
        angle = distance_m / radius_m
        x = (radius_m + height_m) * math.sin(angle)
        y = (radius_m + height_m) * math.cos(angle) - (radius_m + stand.amsl_m)
        tangents.append(y / x)
    return tangents


def running(tangents: list[float], step_m: float) -> tuple[FloatArray, FloatArray]:
    """Return the largest so far and where it stands."""
    best, where = -math.inf, math.nan
    largest, edges = [], []
    for k, tangent in enumerate(tangents, 1):
        if tangent > best:
            best, where = tangent, k * step_m
        largest.append(best if math.isfinite(best) else math.nan)
        edges.append(where)
    return np.array(largest), np.array(edges)


def sweep_of(azimuths_deg: FloatArray, **change: float) -> Sweep:
    """Return a sweep of 9 km in steps of 90 m."""
    return Sweep(azimuths_deg=azimuths_deg, **({"reach_m": 9000.0, "step_m": 90.0} | change))


@pytest.mark.parametrize(
    ("start", "end"),
    [
        ((36.83, -118.9), (37.02, -118.71)),
        ((37.02, -118.72), (36.84, -118.89)),
        ((-46.5, 179.2), (-46.1, -179.4)),
        ((84.0, 10.0), (83.2, 40.0)),
        ((0.0, 0.0), (0.0, 4.0)),
        ((10.0, 20.0), (14.0, 20.0)),
    ],
)
def test_profile_lies_on_the_geodesic(start: tuple[float, float], end: tuple[float, float]) -> None:
    # Two slopes of one degree of latitude and of longitude tell where the points lie.
    a = Place(lat_deg=start[0], lon_deg=start[1], amsl_m=0.0)
    b = Place(lat_deg=end[0], lon_deg=end[1], amsl_m=0.0)
    _, _, length_m = GEOD.inv(a.lon_deg, a.lat_deg, b.lon_deg, b.lat_deg)
    azimuth_deg, _, _ = GEOD.inv(a.lon_deg, a.lat_deg, b.lon_deg, b.lat_deg)
    for along_lat in (True, False):
        terrain, per_deg = tilted(a, along_lat)
        got = profile(terrain, a, b, 730.0)
        assert got.distance_m[-1] == pytest.approx(length_m, abs=1e-6)
        assert np.diff(got.distance_m) == pytest.approx(length_m / (len(got.distance_m) - 1))
        assert np.diff(got.distance_m).max() <= 730.0
        n = len(got.distance_m)
        lon, lat, _ = GEOD.fwd([a.lon_deg] * n, [a.lat_deg] * n, [azimuth_deg] * n, got.distance_m)
        there = np.array(lat) if along_lat else (np.array(lon) - a.lon_deg + 180.0) % 360.0 - 180.0
        from_deg = (got.ground_amsl_m - 4000.0) / per_deg + (a.lat_deg if along_lat else 0.0)
        scale = 111_320.0 * (1.0 if along_lat else math.cos(math.radians(a.lat_deg)))
        # A millimetre; the plane is exact, its posts being whole metres.
        assert np.abs(from_deg - there).max() * scale < 1e-3


def tilted(middle: Place, along_lat: bool) -> tuple[Terrain, float]:
    """Return a plane of so many metres per degree about a place: 4000 m there."""
    per_deg = 64.0
    lats = middle.lat_deg + np.array([6.0, 0.0, -6.0])
    lons = np.array([-32.0, 0.0, 32.0])
    rows, columns = np.meshgrid(lats - middle.lat_deg, lons, indexing="ij")
    heights = 4000.0 + per_deg * (rows if along_lat else columns)
    terrain = Terrain(
        heights_amsl_m=heights.astype(np.float32),
        north_deg=float(lats[0]),
        west_deg=float((middle.lon_deg - 32.0 + 180.0) % 360.0 - 180.0),
        step_lat_deg=6.0,
        step_lon_deg=32.0,
        datum="unknown",
        origin="tilted",
    )
    return terrain, per_deg


def test_profile_of_real_ground(real: Terrain) -> None:
    a, b = (
        Place(lat_deg=36.85, lon_deg=-118.88, amsl_m=0.0),
        Place(lat_deg=37.01, lon_deg=-118.72, amsl_m=0.0),
    )
    got = profile(real, a, b, 90.0)
    azimuth_deg, _, length_m = GEOD.inv(a.lon_deg, a.lat_deg, b.lon_deg, b.lat_deg)
    assert got.distance_m[-1] == pytest.approx(length_m, abs=1e-6)
    for k, distance_m in enumerate(got.distance_m):
        lon, lat, _ = GEOD.fwd(a.lon_deg, a.lat_deg, azimuth_deg, distance_m)
        # A micrometre along, on ground as steep as two in one.
        assert got.ground_amsl_m[k] == pytest.approx(brute_amsl_m(real, lat, lon), abs=1e-4)
    assert np.ptp(got.ground_amsl_m) > 1500.0


@pytest.mark.parametrize("stand", STANDS)
def test_sky_line_and_fan_equal_brute_force(
    stand: tuple[float, float, float], real: Terrain
) -> None:
    place, azimuths = stand_on(real, *stand), np.arange(0.0, 360.0, 7.5)
    sweep = sweep_of(azimuths)
    got, line = fan(real, place, sweep).rings, sky_line(real, place, sweep)
    for i, azimuth_deg in enumerate(azimuths):
        tangents = brute_tangents(real, place, float(azimuth_deg), sweep)
        largest, edges = running(tangents, 90.0)
        # Single precision keeps a tangent of 1 to 6e-8, and a micrometre of place does less.
        np.testing.assert_allclose(got.tangent_ratio[i], largest, rtol=1e-6, atol=1e-7)
        np.testing.assert_array_equal(got.edge_m[i], edges)
        degrees = math.degrees(math.atan(largest[-1]))
        assert line.elevation_deg[i] == pytest.approx(degrees, abs=1e-4)
        assert line.distance_m[i] == edges[-1]
        known = [math.isfinite(tangent) for tangent in tangents]
        assert line.known_to_m[i] == 90.0 * (known.index(False) if False in known else len(known))
    assert np.ptp(line.elevation_deg) > 10.0


@pytest.mark.parametrize("stand", STANDS)
def test_crests_missed_between_samples(stand: tuple[float, float, float], real: Terrain) -> None:
    # The bounds that `fan` states, against samples every 2.5 m.
    place, azimuths = stand_on(real, *stand), np.arange(0.0, 360.0, 5.0)
    fine = sky_line(real, place, sweep_of(azimuths, reach_m=5400.0, step_m=2.5)).elevation_deg
    for step_m, median_deg, most_deg in ((90.0, 0.1, 1.4), (45.0, 0.05, 0.7)):
        sweep = sweep_of(azimuths, reach_m=5400.0, step_m=step_m)
        missed_deg = fine - sky_line(real, place, sweep).elevation_deg
        assert missed_deg.min() >= -1e-5
        assert np.median(missed_deg) <= median_deg + 0.001
        assert missed_deg.max() <= most_deg


def test_without_refraction_it_is_the_ellipsoid(real: Terrain) -> None:
    # Straight lines in geocentric axes. The sphere in place of the ellipsoid: curvature wrong by up
    # to 0.5 %, of 8 km / 2 R = 0.036 deg, and the plumb line is that of the ellipsoid in both.
    place, azimuths = stand_on(real, *STANDS[0]), np.arange(0.0, 360.0, 15.0)
    sweep = sweep_of(azimuths, reach_m=8100.0, earth_ratio=1.0)
    rings = fan(real, place, sweep).rings
    to_axes = Transformer.from_crs("EPSG:4979", "EPSG:4978", always_xy=True)
    stand = np.array(to_axes.transform(place.lon_deg, place.lat_deg, place.amsl_m))
    lat, lon = math.radians(place.lat_deg), math.radians(place.lon_deg)
    up = np.array([math.cos(lat) * math.cos(lon), math.cos(lat) * math.sin(lon), math.sin(lat)])
    for i, azimuth_deg in enumerate(azimuths):
        best = -90.0
        for k in range(1, sweep.n_rings + 1):
            lo, la, _ = GEOD.fwd(place.lon_deg, place.lat_deg, azimuth_deg, 90.0 * k)
            ground = brute_amsl_m(real, la, lo)
            line = np.array(to_axes.transform(lo, la, ground)) - stand
            best = max(best, math.degrees(math.asin(line @ up / np.linalg.norm(line))))
        got = math.degrees(math.atan(rings.tangent_ratio[i, -1]))
        assert got == pytest.approx(best, abs=0.002)


def test_single_ridge_over_four_thirds_earth() -> None:
    # A wall 400 m high along a meridian, 20 km east of an antenna at 10 m, on flat ground of 0 m:
    # (400 - 10) / 20 000 - 20 000 / (2 * 8 494 678) = 0.019500 - 0.001177 = 0.018323 (P.452).
    heights = np.zeros((3, 601), np.float32)
    heights[:, 300] = 400.0
    step_deg = math.degrees(100.0 / 6_378_137.0)  # 100 m on the equator
    terrain = Terrain(
        heights_amsl_m=heights,
        north_deg=0.1,
        west_deg=0.0,
        step_lat_deg=0.1,
        step_lon_deg=step_deg,
        datum="unknown",
        origin="wall",
    )
    stand = Place(lat_deg=0.0, lon_deg=100 * step_deg, amsl_m=10.0)
    sweep = Sweep(azimuths_deg=np.array([90.0]), reach_m=40_000.0, step_m=100.0)
    line = sky_line(terrain, stand, sweep)
    assert line.distance_m[0] == 20_000.0
    # The small-angle form lacks h / a = 5e-5 of the whole.
    assert math.tan(math.radians(line.elevation_deg[0])) == pytest.approx(0.018323, abs=2e-6)
    rings = fan(terrain, stand, sweep).rings
    # Before the wall the horizon is the smooth sea: dip -sqrt(2 h / a_e), reached at 13.0 km.
    before = rings.tangent_ratio[0, 197]
    assert before == pytest.approx(-math.sqrt(2 * 10.0 / 8_494_678.0), rel=1e-3)
    assert rings.edge_m[0, 197] == pytest.approx(math.sqrt(2 * 10.0 * 8_494_678.0), abs=100.0)
    # From the wall on, its top is the edge for all that lies behind.
    assert (rings.edge_m[0, 199:] == 20_000.0).all()


def test_flat_ground_dips_as_far_as_the_horizon() -> None:
    stand = Place(lat_deg=-46.5, lon_deg=179.95, amsl_m=242.0)
    sweep = Sweep(azimuths_deg=np.array([0.0, 90.0, 200.0]), reach_m=60_000.0, step_m=50.0)
    line = sky_line(flat(240.0), stand, sweep)
    np.testing.assert_allclose(
        np.radians(line.elevation_deg), -math.sqrt(2 * 2.0 / (RADIUS_M * 4 / 3)), rtol=1e-3
    )
    np.testing.assert_array_equal(line.known_to_m, 60_000.0)


def test_holes_and_edges_are_told(real: Terrain) -> None:
    place = stand_on(real, *STANDS[0])
    heights = real.heights_amsl_m.copy()
    row = round((real.north_deg - place.lat_deg) / STEP_DEG)
    heights[row - 25 : row - 20] = np.nan  # some two kilometres north
    holed = Terrain(
        heights_amsl_m=heights,
        north_deg=real.north_deg,
        west_deg=real.west_deg,
        step_lat_deg=real.step_lat_deg,
        step_lon_deg=real.step_lon_deg,
        datum=real.datum,
        origin="holed",
    )
    sweep = sweep_of(np.array([0.0, 180.0, 90.0]), reach_m=20_000.0)
    whole, torn = fan(real, place, sweep).rings, fan(holed, place, sweep).rings
    edge_m = 111_000.0 * (CUT.north_deg - place.lat_deg)
    assert whole.known_to_m[0] == pytest.approx(edge_m, abs=150.0)
    assert torn.known_to_m[0] == pytest.approx(20 * STEP_DEG * 111_000.0, abs=180.0)
    assert torn.known_to_m[1] == whole.known_to_m[1]
    first = round(torn.known_to_m[0] / 90.0)
    np.testing.assert_array_equal(torn.tangent_ratio[0, :first], whole.tangent_ratio[0, :first])
    # Beyond the hole the ground counts again, and a fan never falls.
    assert (np.diff(torn.tangent_ratio, axis=1) >= 0.0).all()
    assert (torn.tangent_ratio <= whole.tangent_ratio).all()


@settings(deadline=None, max_examples=60)
@given(data=st.data())
def test_small_grids_with_holes(data: st.DataObject) -> None:
    cell = st.one_of(st.just(math.nan), st.floats(-400.0, 5000.0, width=32))
    cells = data.draw(st.lists(cell, min_size=49, max_size=49))
    heights = np.array(cells, np.float32).reshape(7, 7)
    heights[2:5, 2:5] = np.nan_to_num(heights[2:5, 2:5])
    terrain = Terrain(
        heights_amsl_m=heights,
        north_deg=60.0,
        west_deg=5.0,
        step_lat_deg=0.01,
        step_lon_deg=0.01,
        datum="unknown",
        origin="random",
    )
    place = stand_on(terrain, 60.0 - 0.0312, 5.0287, 15.0)
    azimuth_deg = data.draw(st.floats(-360.0, 360.0))
    sweep = Sweep(azimuths_deg=np.array([azimuth_deg]), reach_m=5000.0, step_m=130.0)
    rings = fan(terrain, place, sweep).rings
    tangents = brute_tangents(terrain, place, azimuth_deg, sweep)
    largest, _ = running(tangents, 130.0)
    known = [math.isfinite(tangent) for tangent in tangents]
    np.testing.assert_allclose(rings.tangent_ratio[0], largest, rtol=1e-5, atol=1e-5)
    n_known = known.index(False) if False in known else len(known)
    assert rings.known_to_m[0] == pytest.approx(n_known * 130.0)


def test_rows_may_be_worked_out_apart(real: Terrain) -> None:
    place, sweep = stand_on(real, *STANDS[1]), sweep_of(np.arange(0.0, 360.0, 10.0))
    whole = fan(real, place, sweep)
    parts: Fan = blank_fan(real, place, sweep)
    for first, last in ((20, 36), (0, 7), (7, 20), (5, 5)):
        fill_fan(real, parts, first, last)
    for a, b in zip(whole.rings, parts.rings, strict=True):
        np.testing.assert_array_equal(a, b)
    assert np.isnan(blank_fan(real, place, sweep).rings.tangent_ratio).all()
    with pytest.raises(InputError, match="directions is 30 to 37; allowed: a stretch of 0 to 36"):
        fill_fan(real, parts, 30, 37)


def test_nothing_is_known_beyond_85_degrees() -> None:
    stand = Place(lat_deg=84.9, lon_deg=10.0, amsl_m=30.0)
    sweep = Sweep(azimuths_deg=np.array([0.0, 180.0]), reach_m=30_000.0, step_m=100.0)
    rings = fan(flat(0.0), stand, sweep).rings
    assert rings.known_to_m[0] == pytest.approx(10_000.0, abs=5000.0)
    assert rings.known_to_m[1] == 30_000.0


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        ({"azimuths_deg": np.array([])}, "azimuths_deg is .*one or more in a row"),
        ({"azimuths_deg": np.array([0.0, 361.0])}, "each -360 to 360°"),
        ({"azimuths_deg": np.array([math.nan])}, "each -360 to 360°"),
        ({"step_m": 0.5}, "step_m is 0.5 m; allowed: 1 to 10000 m"),
        ({"reach_m": 80.0}, "reach_m is 80.0 m; allowed: one step, 90 m, to 500000 m"),
        ({"reach_m": 600_000.0}, "reach_m is 600000.0 m"),
        ({"earth_ratio": 0.0}, "earth_ratio is 0.0; allowed: 0.5 to 10"),
        (
            {"azimuths_deg": np.zeros(3600), "step_m": 1.0, "reach_m": 90_000.0},
            "samples of the ground is 324000000; allowed: up to 50000000",
        ),
    ],
)
def test_impossible_sweeps_are_refused(change: dict[str, object], reason: str) -> None:
    plain = {"azimuths_deg": np.zeros(1), "reach_m": 9000.0, "step_m": 90.0}
    with pytest.raises(InputError, match=reason):
        Sweep(**(plain | change))  # type: ignore[arg-type]


def test_stands_in_the_ground_or_off_the_map_are_refused(real: Terrain) -> None:
    sweep = sweep_of(np.zeros(1))
    under = stand_on(real, 36.92, -118.8, -5.0)
    with pytest.raises(InputError, match=r"amsl_m of the stand .* m, the ground there, or more"):
        fan(real, under, sweep)
    away = Place(lat_deg=46.0, lon_deg=8.0, amsl_m=900.0)
    with pytest.raises(InputError, match="ground at the stand is unknown at 46, 8°"):
        sky_line(real, away, sweep)


def test_wrong_profiles_are_refused() -> None:
    a = Place(lat_deg=46.0, lon_deg=8.0, amsl_m=0.0)
    b = Place(lat_deg=46.1, lon_deg=8.0, amsl_m=0.0)
    with pytest.raises(InputError, match=r"distance_m is 0.0 m; allowed: more than 0"):
        profile(flat(0.0), a, a, 90.0)
    with pytest.raises(InputError, match=r"step_m is 20000.0 m; allowed: 1 to 10000 m"):
        profile(flat(0.0), a, b, 20_000.0)


def test_published_elevation_of_a_profile_point() -> None:
    # ITU-R P.452, eq. 152, as an open implementation has it (commit 9cd38ec): 3000 m seen from
    # 100 m over 100 km, effective radius 8500 km: 1.32431 deg; for small angles, hence 0.0006 more
    scale = FanScale(radius_m=8.5e6, from_amsl_m=100.0, step_m=1000.0)
    angle = 100e3 / 8.5e6
    tangent = sight_tangent_ratio(scale, 3000.0, math.cos(angle), math.sin(angle))
    assert math.degrees(math.atan(tangent)) == pytest.approx(1.32431 - 0.0006, abs=1e-4)
