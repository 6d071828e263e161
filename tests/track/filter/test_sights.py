"""Sights: a bearing cuts across, the sun tells the heading, an edge tells the side."""

import math

import numpy as np
import pytest
from pyproj import Geod
from tests.track.filter.made import last, laws, level, of

from farglide.atlas.outline import Outline
from farglide.earth.state import Place
from farglide.earth.sun import sun_position
from farglide.sim.fly.stories import moved
from farglide.track.filter.observed import Aimed, EdgeSeen, SunSeen
from farglide.track.filter.particles import Particles, Story
from farglide.track.filter.sights import after_bearing, after_edge, after_sun

GEOD = Geod(ellps="WGS84")
N = 2000


def lat_lon(north_rad: float, east_rad: float) -> tuple[float, float]:
    frame = laws().movers.scene.frame
    return math.degrees(frame.lat_rad + north_rad), math.degrees(frame.lon_rad + east_rad)


def spread_out(sd_m: float) -> Particles:
    """Return particles that may be anywhere round a place, normal to east and north."""
    particles = of(laws(), Story.HANDS_OFF, n=N)
    z = np.random.Generator(np.random.Philox(key=3)).standard_normal((2, N)) * sd_m
    cloud = particles.cloud._replace(
        north_rad=last().north_rad + z[0] / 6.37e6,
        east_rad=last().east_rad + z[1] / (6.39e6 * laws().movers.scene.frame.cosine),
    )
    return particles._replace(cloud=cloud)


def stand_away(distance_m: float, azimuth_deg: float) -> Place:
    """Return a stand from which the middle of the particles is so far, in a direction."""
    lat, lon = lat_lon(last().north_rad, last().east_rad)
    lon_at, lat_at, _ = GEOD.fwd(lon, lat, azimuth_deg + 180.0, distance_m)
    return Place(lat_deg=lat_at, lon_deg=lon_at, amsl_m=400.0)


def sd_m(particles: Particles) -> tuple[float, float]:
    frame, weight = laws().movers.scene.frame, particles.weight
    found = []
    for rad, scale in (
        (particles.cloud.east_rad, 6.39e6 * frame.cosine),
        (particles.cloud.north_rad, 6.37e6),
    ):
        middle = float(weight @ rad)
        found.append(scale * math.sqrt(float(weight @ (rad - middle) ** 2)))
    return found[0], found[1]


def test_a_bearing_cuts_what_lies_across_by_six_tenths() -> None:
    # 10 km before, 50 km away, within 4 degrees: 3.5 km, both together 3.3 km.
    particles, stand = spread_out(10_000.0), stand_away(50_000.0, 0.0)
    lat, lon = lat_lon(last().north_rad, last().east_rad)
    azimuth = GEOD.inv(stand.lon_deg, stand.lat_deg, lon, lat)[0] % 360.0
    before = sd_m(particles)
    found = after_bearing(laws(), particles, Aimed(stand=stand, azimuth_deg=azimuth, sd_deg=4.0))
    after = sd_m(found)
    assert after[0] < 0.4 * before[0]
    assert after[1] == pytest.approx(before[1], rel=0.1)


@pytest.mark.parametrize("away_m", [20_000.0, 120_000.0])
@pytest.mark.parametrize("azimuth_deg", [40.0, 130.0, 310.0])
def test_the_bearing_is_that_of_the_geodesic(away_m: float, azimuth_deg: float) -> None:
    particles = of(laws(), Story.HANDS_OFF, n=2)
    stand = stand_away(away_m, azimuth_deg)
    lat, lon = lat_lon(last().north_rad, last().east_rad)
    azimuth = GEOD.inv(stand.lon_deg, stand.lat_deg, lon, lat)[0] % 360.0
    found = []
    for off in np.linspace(-1.0, 1.0, 41):
        aimed = Aimed(stand=stand, azimuth_deg=(azimuth + off) % 360.0, sd_deg=0.5)
        moved_east = particles.cloud._replace(
            north_rad=particles.cloud.north_rad + np.array([0.0, 0.02])
        )
        other = after_bearing(laws(), particles._replace(cloud=moved_east), aimed)
        found.append(other.weight[0])
    assert abs(np.linspace(-1.0, 1.0, 41)[int(np.argmax(found))]) <= 0.1


def test_an_elevation_tells_the_height() -> None:
    # 20 km away: 40 degrees up is 16.8 km above, 50 degrees 23.8 km.
    particles, stand = of(laws(), Story.HANDS_OFF, n=2), stand_away(20_000.0, 90.0)
    high = 400.0 + 20_000.0 * np.tan(np.radians([40.0, 50.0]))
    particles = particles._replace(cloud=particles.cloud._replace(amsl_m=high))
    for k, elevation in enumerate((40.0, 50.0)):
        aimed = Aimed(stand=stand, azimuth_deg=90.0, elevation_deg=elevation, sd_deg=3.0)
        assert after_bearing(laws(), particles, aimed).weight[k] > 0.9


def test_what_is_unsure_along_the_ground_blurs_a_steep_elevation_little() -> None:
    # 8 km away 18 km up: 66.0 degrees. 2 km give or take along the ground turn that by the sine,
    # 2 km * sin 66 / 19.7 km = 5.3 degrees, not by 2 km / 8 km = 14.3.
    particles, stand = of(laws(), Story.HANDS_OFF, n=2), stand_away(8000.0, 90.0)
    high = 400.0 + np.array([18_000.0, 40_000.0])  # 66.0 and 78.7 degrees
    particles = particles._replace(cloud=particles.cloud._replace(amsl_m=high))
    particles.cloud.spread[:, 0, 0], particles.cloud.spread[:, 1, 0] = 2000.0**2, 1.0
    aimed = Aimed(stand=stand, azimuth_deg=90.0, elevation_deg=66.0, sd_deg=1.0)
    found = after_bearing(laws(), particles, aimed)
    sd_deg = np.degrees(2000.0 * np.sin(np.radians([66.0, 78.7])) / np.hypot(8000.0, high - 400.0))
    sd_deg = np.hypot(sd_deg, 1.0)
    fit = np.exp(-0.5 * ((66.0 - np.array([66.0, 78.7])) / sd_deg) ** 2) * sd_deg.min() / sd_deg
    wanted = 0.01 + 0.99 * fit
    assert found.weight == pytest.approx(wanted / wanted.sum(), rel=0.05)


def test_no_bearing_kills_the_truth() -> None:
    particles, stand = of(laws(), Story.HANDS_OFF, n=2), stand_away(50_000.0, 0.0)
    cloud = particles.cloud._replace(east_rad=particles.cloud.east_rad + np.array([0.0, 0.02]))
    behind = Aimed(stand=stand, azimuth_deg=12.0)
    found = after_bearing(laws(), particles._replace(cloud=cloud), behind)
    assert found.weight.min() > 0.005


def flying() -> Particles:
    particles = of(laws(), Story.GLIDING, Story.HANDS_OFF, n=40)
    cloud = moved(laws().movers, level(particles.cloud), last().after_launch_s, 10.0)
    return particles._replace(cloud=cloud)


@pytest.mark.parametrize(("off_h", "more"), [(0.0, True), (6.0, False)])
def test_the_sun_where_it_should_be_is_a_glider_that_flies_home(off_h: float, more: bool) -> None:
    particles = flying()
    glides = particles.cloud.story == Story.GLIDING.code
    heading = np.degrees(np.median(particles.cloud.heading_rad[glides]))
    lat, lon = lat_lon(last().north_rad, last().east_rad)
    sun = sun_position(laws().launch_t_s + particles.after_launch_s, lat, lon)
    clock_h = ((sun.azimuth_deg - heading) / 30.0 + off_h) % 12.0
    found = after_sun(laws(), particles, SunSeen(clock_h=clock_h))
    assert bool(found.weight[glides].sum() > particles.weight[glides].sum()) is more
    assert found.weight.min() > 0.0


@pytest.mark.parametrize("is_left", [True, False])
def test_an_edge_on_one_side_of_the_nose(is_left: bool) -> None:
    particles = flying()
    cloud = particles.cloud._replace(heading_rad=np.full(40, math.radians(0.0)))
    half = np.arange(40) % 2 == 0  # half of them fly south
    cloud.heading_rad[half] = math.pi
    cloud.heading_rad[:4] = np.nan  # and some go round
    particles = particles._replace(cloud=cloud, weight=np.full(40, 1.0 / 40))
    lat, lon = lat_lon(last().north_rad, last().east_rad)
    west = Outline(points=(
        (lat - 1.0, lon - 0.6), (lat - 1.0, lon - 0.3), (lat + 1.0, lon - 0.3),
        (lat + 1.0, lon - 0.6),
    ))  # fmt: skip
    found = after_edge(laws(), particles, EdgeSeen(outlines=(west,), is_left=is_left))
    north = ~half & (np.arange(40) >= 4)
    ratio = found.weight[north][0] / found.weight[half & (np.arange(40) >= 4)][0]
    assert ratio == pytest.approx(9.0 if is_left else 1.0 / 9.0)
    assert found.weight[0] / found.weight.max() == pytest.approx(0.5 / 0.9)


def test_of_several_edges_each_sees_the_nearest() -> None:
    particles = flying()
    cloud = particles.cloud._replace(heading_rad=np.zeros(40))
    particles = particles._replace(cloud=cloud, weight=np.full(40, 1.0 / 40))
    lat, lon = lat_lon(last().north_rad, last().east_rad)

    def strip(near: float, far: float) -> Outline:
        return Outline(points=(
            (lat - 1.0, lon + near), (lat + 1.0, lon + near), (lat + 1.0, lon + far),
            (lat - 1.0, lon + far),
        ))  # fmt: skip

    west, east = strip(-0.9, -0.6), strip(0.2, 0.4)
    for outlines in ((west, east), (east, west)):
        right = after_edge(laws(), particles, EdgeSeen(outlines=outlines, is_left=False))
        assert np.array_equal(right.weight, particles.weight)
    mixed = particles._replace(cloud=cloud._replace(
        east_rad=cloud.east_rad - np.where(np.arange(40) < 20, 0.0, np.radians(0.5))
    ))  # fmt: skip
    found = after_edge(laws(), mixed, EdgeSeen(outlines=(west, east), is_left=False))
    assert found.weight[0] / found.weight[-1] == pytest.approx(9.0)
