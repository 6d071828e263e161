"""Smoothed ground under flights: against the complete loss of whole profiles."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from farglide.atlas.groundline import profile
from farglide.atlas.terrain import Terrain, flat, height_amsl_m
from farglide.earth.geodesy import destination
from farglide.earth.state import Place
from farglide.radio.path.diffraction import bullington_db, diffraction_loss_db
from farglide.radio.path.parts import Heights, Profile, WaveOverEarth
from farglide.radio.path.space import wavelength_m
from farglide.sim.core.step import frame_of
from farglide.sim.core.tracks import Trails
from farglide.sim.hear.ears import (
    CLEAR_M,
    Ears,
    Listeners,
    Waves,
    ears_of,
    waves_of,
    without_ground,
)
from farglide.sim.hear.hearing import margins_db
from farglide.sources.elevation.elevation import read_elevation

from ..conftest import CUT, EARTH_M, link

FloatArray = NDArray[np.float64]
HERTZ = (144e6, 433.92e6, 869.5e6, 2370e6, 5.8e9)
WAVES = waves_of([link(hertz) for hertz in HERTZ], [0.0] * len(HERTZ))


def lost_db(ears: Ears, places: list[Place], waves: Waves = WAVES) -> FloatArray:
    """Return what the ground takes, (n_stands, n_links, n_places)."""
    here = places[0]
    north = np.radians([[p.lat_deg - here.lat_deg for p in places]])
    east = np.radians([[p.lon_deg - here.lon_deg for p in places]])
    flights = Trails(np.array([[p.amsl_m for p in places]]), north, east)
    frame = frame_of(here.lat_deg, here.lon_deg)
    full, bare = (
        margins_db(Listeners(one, waves), frame, flights)[0].astype(np.float64)
        for one in (ears, without_ground(ears))
    )
    return np.asarray(bare - full)


def away(mast: Place, azimuth_deg: float, distance_m: float, amsl_m: float) -> Place:
    there = destination(mast, azimuth_deg % 360.0, distance_m)
    return Place(lat_deg=there.lat_deg, lon_deg=there.lon_deg, amsl_m=amsl_m)


def whole_profile_db(hertz: float, terrain: Terrain, mast: Place, place: Place) -> float:
    """Return the complete loss; the ground next to the stand counts for the smoothed one alone."""
    along = profile(terrain, mast, place, 45.0)
    d, ground = along.distance_m, along.ground_amsl_m
    lowered = np.where(d < CLEAR_M, np.minimum(ground, mast.amsl_m - 50.0), ground)
    ends = Heights(mast.amsl_m, max(place.amsl_m, float(ground[-1])))
    more = diffraction_loss_db(hertz, Profile(d, ground), ends, EARTH_M)
    over = WaveOverEarth(wavelength_m(hertz), EARTH_M)
    more -= bullington_db(Profile(d, ground), ends, over)
    return float(bullington_db(Profile(d, lowered), ends, over)) + more


@pytest.mark.parametrize("mast_m", [3.0, 10.0, 30.0])
def test_over_flat_ground_it_is_the_complete_loss(mast_m: float) -> None:
    """Without the smooth earth low ways beyond the horizon came out up to 160 dB too strong."""
    mast = Place(lat_deg=46.0, lon_deg=10.0, amsl_m=mast_m)
    ways = [
        (km, z)
        for km in (10.0, 20.0, 30.0, 42.0, 60.0, 80.0, 100.0, 150.0)
        for z in (30.0, 50.0, 100.0, 300.0, 1000.0, 3000.0)
    ]
    places = [away(mast, 17.0 * i, 1e3 * km, z) for i, (km, z) in enumerate(ways)]
    found = lost_db(ears_of([mast], flat(0.0), 160e3), places)[0]
    for i, (km, z) in enumerate(ways):
        distance_m = np.linspace(0.0, 1e3 * km, round(20.0 * km) + 1)
        level = distance_m, np.zeros_like(distance_m)
        for k, hertz in enumerate(HERTZ):
            expected = diffraction_loss_db(hertz, level, Heights(mast_m, z), EARTH_M)
            assert found[k, i] == pytest.approx(expected, abs=0.3), (km, z, hertz)


def test_beyond_a_flat_fan_the_earth_is_as_round() -> None:
    mast = Place(lat_deg=46.0, lon_deg=10.0, amsl_m=5.0)
    found = lost_db(ears_of([mast], flat(0.0), 60e3), [away(mast, 20.0, 100e3, 300.0)])[0, :, 0]
    distance_m = np.linspace(0.0, 100e3, 2001)
    level = distance_m, np.zeros_like(distance_m)
    for k, hertz in enumerate(HERTZ):
        expected = diffraction_loss_db(hertz, level, Heights(5.0, 300.0), EARTH_M)
        assert found[k] == pytest.approx(expected, abs=0.3)


@pytest.fixture(scope="module")
def wide(authorities: Path) -> Terrain:
    """Return the real ground, mirrored side by side till it holds ways of 40 km."""
    real = read_elevation([authorities / "sierra_nevada_srtm3.tif"], CUT)
    pair = np.hstack([real.heights_amsl_m, real.heights_amsl_m[:, ::-1]])
    heights = np.tile(np.vstack([pair, pair[::-1]]), (3, 3))
    return replace(
        real,
        heights_amsl_m=heights,
        north_deg=36.92 + 0.5 * heights.shape[0] * real.step_lat_deg,
        west_deg=-118.8 - 0.5 * heights.shape[1] * real.step_lon_deg,
    )


@pytest.mark.parametrize(
    ("low_ratio", "most_db", "worst_db"),
    [(1.0, 0.7, 5.0), (1.0 / 30.0, 1.2, 3.0), (0.01, 0.5, 2.0)],
)
def test_over_real_ground_and_over_the_same_made_lower_it_is_the_complete_loss(
    wide: Terrain, low_ratio: float, most_db: float, worst_db: float
) -> None:
    """Mountains, hills of a hundred metres and a plain of thirty.

    Measured: 95 % within 0.5, 0.9 and 0.2 dB; without the smooth earth within 0.5, 10 and 14 dB.
    """
    low = replace(wide, heights_amsl_m=(wide.heights_amsl_m * low_ratio).astype(np.float32))

    def over(lat_deg: float, lon_deg: float, agl_m: float) -> Place:
        ground = float(height_amsl_m(low, np.array(lat_deg), np.array(lon_deg)))
        return Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=ground + agl_m)

    mast = over(36.92, -118.80, 10.0)
    rng = np.random.default_rng(7)
    spots = [
        away(mast, azimuth, distance_m, 0.0)
        for azimuth, distance_m in zip(
            rng.uniform(0.0, 360.0, 100), rng.uniform(5e3, 40e3, 100), strict=True
        )
    ]
    agls_m = rng.choice([30.0, 100.0, 300.0, 1500.0], 100)
    places = [over(p.lat_deg, p.lon_deg, float(z)) for p, z in zip(spots, agls_m, strict=True)]
    found = lost_db(ears_of([mast], low, 41e3, azimuth_step_deg=0.125), places)[0]
    expected = np.array([[whole_profile_db(hz, low, mast, p) for p in places] for hz in HERTZ])
    off = (found - expected)[np.fmax(found, expected) > 1.0]
    assert len(off) > 150
    assert abs(np.median(off)) < 0.1
    assert np.percentile(np.abs(off), 95) < most_db
    assert np.abs(off).max() < worst_db


def test_a_link_s_margin_asks_for_no_other_link(wide: Terrain) -> None:
    mast = Place(lat_deg=36.92, lon_deg=-118.80, amsl_m=3000.0)
    ears = ears_of([mast], wide, 41e3)
    places = [away(mast, 7.0 * i, 700.0 * i + 1000.0, 3000.0) for i in range(50)]
    together = lost_db(ears, places)[0]
    for k, hertz in enumerate(HERTZ):
        alone = lost_db(ears, places, waves_of([link(hertz)], [0.0]))[0, 0]
        assert np.array_equal(alone, together[k])


def test_holes_are_bridged_and_under_the_ground_there_is_an_answer() -> None:
    """Flat ground with a hole in it is as smooth as without, and an end in the ground is on it."""
    step = 1.0 / 1200.0
    heights = np.full((300, 1200), 100.0, np.float32)
    whole = Terrain(
        heights_amsl_m=heights, north_deg=46.125, west_deg=9.95, step_lat_deg=step,
        step_lon_deg=step, datum="mean sea level", origin="a plain",
    )  # fmt: skip
    holed = heights.copy()
    holed[:, 300:500] = np.nan
    mast = Place(lat_deg=46.0, lon_deg=10.0, amsl_m=103.0)
    places = [away(mast, 90.0, 60e3, z) for z in (130.0, 100.0, 95.0)]
    one, two = (
        lost_db(ears_of([mast], ground, 65e3), places)[0]
        for ground in (whole, replace(whole, heights_amsl_m=holed))
    )
    assert np.isfinite(one).all()
    assert two == pytest.approx(one, abs=0.3)
    assert (np.diff(one, axis=1) >= -1e-6).all()


@pytest.mark.parametrize("half_width_posts", [4, 12])
def test_a_narrow_ridge_lowers_the_smoothed_ground_by_all_its_height(
    half_width_posts: int,
) -> None:
    """A ridge of 400 m across even ground 45 km off, narrower than the posts are thinned to."""
    step_deg = 0.001
    heights = np.zeros((40, 1400), np.float32)
    middle = round(45e3 / (111_320.0 * step_deg))
    for k in range(-half_width_posts, half_width_posts + 1):
        heights[:, middle + 20 + k] = 400.0 * (1.0 - abs(k) / (half_width_posts + 1))
    ground = Terrain(
        heights_amsl_m=heights, north_deg=0.02, west_deg=-20 * step_deg, step_lat_deg=step_deg,
        step_lon_deg=step_deg, datum="unknown", origin="ridge",
    )  # fmt: skip
    mast = Place(lat_deg=0.0, lon_deg=0.0, amsl_m=10.0)
    places = [away(mast, 90.0, 1e3 * km, z) for km in (60, 75, 90, 98, 110) for z in (30.0, 300.0)]
    found = lost_db(ears_of([mast], ground, 120e3), places)[0]
    for i, place in enumerate(places):
        for k, hertz in enumerate(HERTZ):
            expected = whole_profile_db(hertz, ground, mast, place)
            assert found[k, i] == pytest.approx(expected, abs=3.0), (i, hertz)


@pytest.mark.parametrize("mast_m", [1.0, 2.0, 3.0])
def test_a_low_mast_hears_long_waves_badly_however_steep_the_way(mast_m: float) -> None:
    mast = Place(lat_deg=46.0, lon_deg=10.0, amsl_m=mast_m)
    places = [away(mast, 40.0, km * 1e3, 1000.0) for km in (14.0, 17.0, 19.0, 20.0, 24.0, 30.0)]
    found = lost_db(ears_of([mast], flat(0.0), 60e3), places)[0]
    for i, km in enumerate((14.0, 17.0, 19.0, 20.0, 24.0, 30.0)):
        distance_m = np.linspace(0.0, 1e3 * km, round(20.0 * km) + 1)
        level = distance_m, np.zeros_like(distance_m)
        expected = diffraction_loss_db(HERTZ[0], level, Heights(mast_m, 1000.0), EARTH_M)
        assert found[0, i] == pytest.approx(expected, abs=0.6), km
