"""Margins along flights: against the laws path by path, and the taut string against brute force."""

import math
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.stats import norm

from farglide.atlas.groundline import profile
from farglide.atlas.horizon import fan
from farglide.atlas.sweep import Sweep
from farglide.atlas.terrain import Terrain, flat, height_amsl_m
from farglide.compute import on_threads
from farglide.earth.geodesy import geodesic
from farglide.earth.look import look
from farglide.earth.state import Place
from farglide.errors import InputError
from farglide.radio.antenna.kinds import Dipole, pattern_of
from farglide.radio.ends.gear import N_SINES, elevation_gain_db
from farglide.radio.link import Link, Receiver, Sender, margin_db
from farglide.radio.path.diffraction import diffraction_loss_db
from farglide.radio.path.gas import gas_loss_db
from farglide.radio.path.parts import Profile
from farglide.sim.core.step import frame_of
from farglide.sim.core.tracks import Trails
from farglide.sim.core.workers import in_one_go
from farglide.sim.hear.ears import CLEAR_M, Ears, Listeners, Waves, ears_of, waves_of
from farglide.sim.hear.hearing import margins_db
from farglide.sim.hear.holds import held_ratio
from farglide.sources.elevation.elevation import read_elevation

from ..conftest import CUT, EARTH_M, LINKS, WAVES

FloatArray = NDArray[np.float64]


def heard(ears: Ears, waves: Waves, places: list[Place]) -> FloatArray:
    """Return margins (n_stands, n_links, n_places)."""
    here = places[0]
    frame = frame_of(here.lat_deg, here.lon_deg)
    amsl = np.array([[p.amsl_m for p in places]])
    north = np.radians([[p.lat_deg - here.lat_deg for p in places]])
    east = np.radians([[p.lon_deg - here.lon_deg for p in places]])
    return margins_db(Listeners(ears, waves), frame, Trails(amsl, north, east))[0].astype(
        np.float64
    )


def path_db(
    of: Link, terrain: Terrain, mast: Place, place: Place, step_m: float = 45.0
) -> tuple[float, float]:
    """Return the margin over one way by the laws themselves, and what the ground took."""
    seen = look(mast, place)
    low, high = sorted((mast.amsl_m, place.amsl_m))
    steep = min(max(abs(seen.elevation_deg), 0.5), 90.0)
    gases = gas_loss_db(of.frequency_hz, steep, low, high)
    ground = 0.0
    if geodesic(mast, place).distance_m > 2.0 * CLEAR_M:
        along = profile(terrain, mast, place, step_m)
        near = along.distance_m < CLEAR_M
        lowered = np.minimum(along.ground_amsl_m, mast.amsl_m - 50.0)
        heights = np.where(near, lowered, along.ground_amsl_m)
        ends = (mast.amsl_m, max(place.amsl_m, float(heights[-1]) + 0.5))
        ground = diffraction_loss_db(
            of.frequency_hz, Profile(along.distance_m, heights), ends, EARTH_M
        )
    return margin_db(of, seen.range_m, gases + ground), ground


@pytest.fixture(scope="module")
def real(authorities: Path) -> Terrain:
    return read_elevation([authorities / "sierra_nevada_srtm3.tif"], CUT)


def on_ground(terrain: Terrain, lat_deg: float, lon_deg: float, above_m: float) -> Place:
    ground = float(height_amsl_m(terrain, np.array(lat_deg), np.array(lon_deg)))
    return Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=ground + above_m)


def test_high_up_a_margin_is_the_budget_less_free_space_and_gases() -> None:
    ground, mast = flat(240.0), Place(lat_deg=-46.5, lon_deg=108.0, amsl_m=243.0)
    ears = ears_of([mast], ground, 90e3)
    rng = np.random.default_rng(1)
    places = [
        Place(lat_deg=-46.5 + a, lon_deg=108.0 + b, amsl_m=z)
        for a, b, z in zip(
            rng.uniform(-0.5, 0.5, 60), rng.uniform(-0.7, 0.7, 60),
            rng.uniform(3000.0, 34_000.0, 60), strict=True,
        )
    ]  # fmt: skip
    found = heard(ears, WAVES, places)
    for k, of in enumerate(LINKS):
        for i, place in enumerate(places):
            seen = look(mast, place)
            gases = gas_loss_db(of.frequency_hz, seen.elevation_deg, 243.0, place.amsl_m)
            expected = margin_db(of, seen.range_m, gases)
            # the slant of the gases is that of a thin shell: 0.1 dB at 2 degrees, less higher up
            assert found[0, k, i] == pytest.approx(expected, abs=0.12)


def test_over_real_mountains_the_ground_takes_what_whole_profiles_say(real: Terrain) -> None:
    masts = [on_ground(real, 36.92, -118.80, 10.0), on_ground(real, 36.88, -118.76, 3.0)]
    ears = ears_of(masts, real, 20e3)
    rng = np.random.default_rng(2)
    places = [
        on_ground(real, float(lat), float(lon), float(above))
        for lat, lon, above in zip(
            rng.uniform(36.84, 37.01, 200), rng.uniform(-118.88, -118.72, 200),
            rng.uniform(20.0, 900.0, 200), strict=True,
        )
    ]  # fmt: skip
    found = heard(ears, WAVES, places)
    off, clear = [], []
    for s, mast in enumerate(masts):
        for k, of in enumerate(LINKS):
            for i, place in enumerate(places):
                expected, ground = path_db(of, real, mast, place)
                (off if ground > 1.0 else clear).append(found[s, k, i] - expected)
    assert len(off) > 150
    # rays half a degree apart and rings 46 m: a crest is met a little beside itself
    assert abs(np.median(off)) < 0.7
    assert np.percentile(np.abs(off), 80) < 3.0
    assert np.percentile(np.abs(off), 95) < 8.0
    assert np.percentile(np.abs(clear), 90) < 1.0


def test_over_one_ridge_it_is_bullington_s_edge() -> None:
    """A ridge 500 m high, 7.5 km off: the whole profile's loss, hidden and just in sight."""
    step = 1.0 / 1200.0
    lats = 46.0 + step * np.arange(500)[::-1]
    crest = 500.0 * np.exp(-(((lats - 46.1) * 111.2 / 0.4) ** 2))
    terrain = Terrain(
        heights_amsl_m=np.repeat(crest.astype(np.float32)[:, None], 200, axis=1),
        north_deg=float(lats[0]), west_deg=9.9, step_lat_deg=step, step_lon_deg=step,
        datum="mean sea level", origin="one ridge",
    )  # fmt: skip
    mast = Place(lat_deg=46.1 - 7500.0 / 111_200.0, lon_deg=10.0, amsl_m=100.0)
    ears = ears_of([mast], terrain, 40e3)
    heights = (50.0, 200.0, 500.0, 900.0, 1100.0, 1300.0, 1500.0, 2500.0)
    places = [Place(lat_deg=46.2, lon_deg=10.0, amsl_m=z) for z in heights]
    found = heard(ears, WAVES, places)
    for k, of in enumerate(LINKS):
        for i, place in enumerate(places):
            assert found[0, k, i] == pytest.approx(
                path_db(of, terrain, mast, place, 5.0)[0], abs=0.35
            ), place


def test_on_a_falling_slope_a_lower_point_is_never_heard_better() -> None:
    """A post nearer to the point than half a ring, over a way that looks down, is in the way."""
    step = 1.0 / 1200.0
    lats = 46.0 + step * np.arange(150)[::-1]
    falling = (2000.0 - 0.2 * 111_150.0 * (lats - 46.02)).astype(np.float32)
    terrain = Terrain(
        heights_amsl_m=np.repeat(falling[:, None], 300, axis=1),
        north_deg=float(lats[0]), west_deg=8.0, step_lat_deg=step, step_lon_deg=step,
        datum="mean sea level", origin="one slope",
    )  # fmt: skip
    mast = on_ground(terrain, 46.03, 8.12, 3.0)
    ears = ears_of([mast], terrain, 12e3)
    for lat in np.arange(46.04, 46.09, 0.00037):
        above = np.arange(-10.0, 30.0, 0.25)
        places = [on_ground(terrain, float(lat), 8.12, float(agl)) for agl in above]
        found = heard(ears, WAVES, places)[0]
        assert (np.diff(found, axis=1) > -0.01).all()
        assert (found[:, 0] < found[:, -1] - 6.0).all()


def test_the_taut_string_touches_where_brute_force_says(real: Terrain) -> None:
    stand = on_ground(real, 36.92, -118.80, 20.0)
    sweep = Sweep(
        azimuths_deg=np.arange(0.0, 360.0, 30.0), reach_m=8000.0, step_m=100.0, clear_m=300.0
    )
    rings = fan(real, stand, sweep).rings
    d = 100.0 * (np.arange(80) + 1.0)
    for row in range(12):
        y = rings.ground_amsl_m[row].astype(np.float64) - d**2 / (2.0 * sweep.radius_m)
        assert np.isnan(y[:2]).all()
        for k in range(3, 80):
            inner = [j for j in range(2, k) if not math.isnan(y[j])]
            if math.isnan(y[k]):
                continue
            # from the ring back to the stand: the post that stands steepest in the eye
            slopes = [(y[j] - y[k]) / (d[k] - d[j]) for j in inner]
            base = (stand.amsl_m - y[k]) / d[k]
            touched = inner[int(np.argmax(slopes))] if max(slopes) > base + 1e-12 else -1
            assert rings.before[row, k] == touched


def test_an_upright_whip_hardly_hears_what_is_overhead() -> None:
    ears = ears_of([Place(lat_deg=46.0, lon_deg=10.0, amsl_m=3.0)], flat(0.0), 20e3)
    whip = elevation_gain_db(pattern_of(Dipole()), 2.15)
    assert whip.shape == (N_SINES,)
    places = [
        Place(lat_deg=46.0, lon_deg=10.0, amsl_m=20_000.0),
        Place(lat_deg=46.15, lon_deg=10.0, amsl_m=3000.0),
    ]
    upright = heard(ears, waves_of(LINKS[:1], (0.0,), (whip,)), places)[0, 0]
    even = heard(ears, waves_of(LINKS[:1], (0.0,)), places)[0, 0]
    assert upright[0] - even[0] == pytest.approx(-30.0, abs=0.5)
    elevation = math.radians(look(Place(lat_deg=46.0, lon_deg=10.0, amsl_m=3.0), places[1])[1])
    law = math.cos(0.5 * math.pi * math.sin(elevation)) / math.cos(elevation)
    assert upright[1] - even[1] == pytest.approx(20.0 * math.log10(law), abs=0.05)


def test_where_nothing_flies_there_is_no_answer_and_threads_change_nothing() -> None:
    ears = ears_of([Place(lat_deg=46.0, lon_deg=10.0, amsl_m=3.0)], flat(0.0), 20e3)
    rng = np.random.default_rng(3)
    flights = Trails(
        rng.uniform(100.0, 30_000.0, (7, 11)),
        rng.normal(0.0, 0.003, (7, 11)),
        rng.normal(0.0, 0.003, (7, 11)),
    )
    flights[0][3, 5:] = np.nan
    heard_by = (Listeners(ears, WAVES), frame_of(46.0, 10.0))
    one, two = (margins_db(*heard_by, flights, who) for who in (in_one_go, on_threads()))
    assert np.isnan(one[3, :, :, 5:]).all()
    assert not np.isnan(np.delete(one, 3, axis=0)).any()
    assert np.array_equal(one, two, equal_nan=True)


@pytest.mark.parametrize("margin", [-20.0, -5.0, 0.0, 3.0, 10.0, 15.0])
def test_odds_of_a_link_are_those_of_the_normal_law(margin: float) -> None:
    assert held_ratio(margin, 8.0) == pytest.approx(float(norm.cdf(margin / 8.0)), abs=1e-12)
    assert held_ratio(margin, 0.0) == (1.0 if margin >= 0.0 else 0.0)


def test_below_the_gas_law_a_link_is_heard_without_more_loss() -> None:
    """Command links at 40 MHz are flown: their gases are those of 100 MHz, hundredths of a dB."""
    ears = ears_of([Place(lat_deg=46.0, lon_deg=10.0, amsl_m=3.0)], flat(0.0), 20e3)
    low = Link(
        name="command", purpose="command", frequency_hz=40e6, bandwidth_hz=10e3,
        sender=Sender(power_w=0.5), receiver=Receiver(sensitivity_dbm=-100.0),
    )  # fmt: skip
    place = Place(lat_deg=46.2, lon_deg=10.0, amsl_m=20_000.0)
    mast = Place(lat_deg=46.0, lon_deg=10.0, amsl_m=3.0)
    found = heard(ears, waves_of((low,), (0.0,)), [place])[0, 0, 0]
    assert found == pytest.approx(margin_db(low, look(mast, place).range_m), abs=0.02)


def test_without_stands_or_links_it_says_so() -> None:
    with pytest.raises(InputError, match="stands is none"):
        ears_of([], flat(0.0), 1000.0)
    with pytest.raises(InputError, match="links is none"):
        waves_of([], [])
    with pytest.raises(InputError, match="sd_db"):
        waves_of(LINKS, [1.0])
