"""Links with antennas: budgets, tables by elevation and doubts against sums by hand."""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import quad

from farglide.earth.state import Place
from farglide.flightfile.flightfile import FlightFile
from farglide.plan.links.lostheights import lost_agl_m
from farglide.radio.antenna.helix import Helix, helix_db
from farglide.radio.antenna.kinds import Collinear, Dipole, Turnstile, Yagi, even_beam_deg
from farglide.radio.antenna.pointing import mean_pointing_loss_db
from farglide.radio.antenna.shape import dipole_dbi
from farglide.radio.ends.elevation import N_SINES
from farglide.radio.ends.end import End
from farglide.radio.link import largest_loss_db, noise_floor_dbm, reach_m
from farglide.radio.noise import noise_raise
from farglide.radio.path.rain import Rain, rain_loss_db
from farglide.rig.links import LinkGear, gear_of, link_of
from farglide.sortie.spec import LinkSpec

TEN_TURNS = End(antenna=Helix(n_turns=10, spacing_wavelengths=0.236, circumference_wavelengths=1.0))
HANGING = End(antenna=Dipole(), pointing="down", aboard=True)


@pytest.fixture(scope="module")
def picture(demo_flight: FlightFile) -> LinkSpec:
    return demo_flight.sortie.links[0]


def at(gear: LinkGear, elevation_deg: float) -> float:
    """Return what the table has at an elevation."""
    sine = math.sin(math.radians(elevation_deg))
    return float(np.interp(sine, np.linspace(-1.0, 1.0, N_SINES), gear.pattern))


def with_ends(spec: LinkSpec, sender: End | None = None, receiver: End | None = None) -> LinkSpec:
    return replace(
        spec,
        sender_end=sender or spec.sender_end,
        receiver_end=receiver or spec.receiver_end,
    )


def polarised(spec: LinkSpec, one: str, other: str, swing_deg: float | None = None) -> LinkGear:
    sender = End(polarisation=one, aboard=True, swing_deg=swing_deg)
    return gear_of(with_ends(spec, sender, End(polarisation=other)))


def test_without_antennas_nothing_is_added(demo_flight: FlightFile) -> None:
    for spec in demo_flight.sortie.links:
        gear = gear_of(spec)
        assert gear.link.extra_loss_db == 0.0
        assert gear.sd_db == spec.spread_db
        assert not gear.pattern.any()
        assert gear.polarisation is None


def test_a_helix_brings_its_gain_and_its_aim(picture: LinkSpec) -> None:
    steady = gear_of(with_ends(picture, receiver=TEN_TURNS))
    assert steady.link.receiver.gain_dbi == pytest.approx(14.5, abs=0.05)  # Kraus, 8-5.3
    assert steady.link.extra_loss_db == 0.0
    by_hand = gear_of(with_ends(picture, receiver=replace(TEN_TURNS, aim_spread_deg=5.0)))

    def weighted_db(off_deg: float) -> float:  # the lobe by the odds of the error, Rayleigh's
        odds = off_deg / 25.0 * math.exp(-off_deg * off_deg / 50.0)
        return -helix_db(off_deg, 10, 0.236) * odds

    expected = quad(weighted_db, 0.0, 30.0)[0]
    assert by_hand.link.extra_loss_db == pytest.approx(expected, rel=0.01)
    # flatter at its top than the parabola through its half-power points, by a tenth
    assert by_hand.receiver.width is not None
    assert expected < mean_pointing_loss_db(5.0, by_hand.receiver.width[0]) < 1.2 * expected
    assert by_hand.sd_db == pytest.approx(math.hypot(2.0, expected), rel=0.03)
    lost = largest_loss_db(steady.link) - largest_loss_db(by_hand.link)
    assert lost == pytest.approx(by_hand.link.extra_loss_db)


def test_a_stated_gain_keeps_the_shape(picture: LinkSpec) -> None:
    gear = gear_of(with_ends(picture, receiver=replace(TEN_TURNS, gain_dbi=13.0)))
    assert gear.link.receiver.gain_dbi == pytest.approx(13.0)
    own = gear_of(with_ends(picture, receiver=TEN_TURNS))
    assert gear.receiver.width == pytest.approx(own.receiver.width)
    fan = End(antenna=Yagi(level_deg=30.0, upright_deg=60.0))
    assert gear_of(with_ends(picture, receiver=fan)).link.receiver.gain_dbi == pytest.approx(
        10.0 * math.log10(31_000.0 / 1800.0)  # F.1336
    )
    even_deg = math.sqrt(31_000.0 / 10.0**1.2)
    assert even_beam_deg(12.0) == pytest.approx(even_deg)
    twelve = End(antenna=Yagi(level_deg=even_deg, upright_deg=even_deg), gain_dbi=12.0)
    found = gear_of(with_ends(picture, receiver=twelve))
    assert found.receiver.width == pytest.approx((even_deg, even_deg), abs=0.2)
    assert found.link.receiver.gain_dbi == pytest.approx(12.0)


@pytest.mark.parametrize("elevation_deg", [0.0, 20.0, 45.0, 70.0])
def test_a_hanging_dipole_hardly_speaks_straight_down(
    picture: LinkSpec, elevation_deg: float
) -> None:
    gear = gear_of(with_ends(picture, HANGING))
    assert gear.link.sender.gain_dbi == pytest.approx(2.15, abs=0.005)
    expected = dipole_dbi(90.0 - elevation_deg) - dipole_dbi(90.0)
    assert at(gear, elevation_deg) == pytest.approx(expected, abs=0.06)
    assert at(gear, 90.0) < -25.0
    assert gear.sd_db == picture.spread_db


def test_an_antenna_aboard_looks_down_where_one_on_the_ground_looks_up(picture: LinkSpec) -> None:
    half = End(antenna=Turnstile(gain_dbi=3.0, ripple_db=0.0), gain_dbi=3.0, aboard=True)
    below = gear_of(with_ends(picture, replace(half, pointing="down")))
    above = gear_of(with_ends(picture, replace(half, pointing="up")))
    assert at(below, 60.0) == pytest.approx(0.0, abs=1e-9)
    assert at(above, 60.0) == pytest.approx(-15.0 * 60.0 / 90.0, abs=0.05)  # fades to its back
    ground = gear_of(with_ends(picture, receiver=replace(half, pointing="up", aboard=False)))
    assert at(ground, 60.0) == pytest.approx(0.0, abs=1e-9)


def test_a_swing_fills_the_null_and_widens_the_doubt(picture: LinkSpec) -> None:
    still, swung = (
        gear_of(with_ends(picture, replace(HANGING, swing_deg=swing))) for swing in (0.0, 25.0)
    )
    assert at(swung, 90.0) == pytest.approx(dipole_dbi(25.0) - dipole_dbi(90.0), abs=0.1)
    assert at(swung, 0.0) < at(still, 0.0)
    assert swung.sd_db > still.sd_db + 0.2


def test_damage_is_lost_everywhere_and_a_skew_leans(picture: LinkSpec) -> None:
    hurt = gear_of(with_ends(picture, replace(HANGING, damage_db=9.0, damage_skew_deg=40.0)))
    whole = gear_of(with_ends(picture, HANGING))
    assert hurt.link.extra_loss_db == 9.0
    assert reach_m(hurt.link) == pytest.approx(reach_m(whole.link) * 10.0 ** (-9.0 / 20.0))
    assert at(hurt, 90.0) == pytest.approx(dipole_dbi(40.0) - dipole_dbi(90.0), abs=0.1)
    assert hurt.sd_db > whole.sd_db
    # an aimed beam keeps what it has at the angle of the skew
    beam = End(antenna=Yagi(level_deg=40.0, upright_deg=40.0), damage_skew_deg=20.0)
    bent = gear_of(with_ends(picture, receiver=beam))
    assert bent.link.extra_loss_db == pytest.approx(3.0, abs=0.05)


@pytest.mark.parametrize(
    ("one", "other", "swing_deg", "mean_db", "worst_db"),
    [
        ("linear upright", "right circular", None, 3.01, 3.01),
        ("linear upright", "linear upright", None, 6.02, 30.0),
        ("linear upright", "linear upright", 0.0, 0.0, 0.0),
        ("linear upright", "linear upright", 30.0, None, 1.25),  # cos^2 of 30 degrees
        ("right circular", "right circular", None, 0.0, 0.0),
        ("right circular", "left circular", None, 30.0, 30.0),
        ("linear level", "linear upright", 0.0, 30.0, 30.0),
    ],
)
def test_polarisation_takes_its_mean(
    picture: LinkSpec, one: str, other: str, swing_deg: float | None,
    mean_db: float | None, worst_db: float,
) -> None:  # fmt: skip
    gear = polarised(picture, one, other, swing_deg)
    assert gear.polarisation is not None
    assert gear.polarisation.worst_db == pytest.approx(worst_db, abs=0.01)
    if mean_db is None:  # the mean over sides of -20 log cos(30 deg sin side)
        sides = np.linspace(0.0, 2.0 * math.pi, 100_000, endpoint=False)
        tilts = np.radians(30.0) * np.sin(sides)
        mean_db = float(np.mean(-20.0 * np.log10(np.cos(tilts))))
    assert gear.link.extra_loss_db == pytest.approx(mean_db, abs=0.01)
    assert gear.sd_db == pytest.approx(math.hypot(2.0, gear.polarisation.sd_db))


def test_axial_ratios_open_the_wrong_hand(picture: LinkSpec) -> None:
    sender = End(polarisation="right circular", aboard=True, axial_ratio_db=3.0)
    receiver = End(polarisation="left circular", axial_ratio_db=3.0)
    gear = gear_of(with_ends(picture, sender, receiver))
    assert gear.polarisation is not None
    # two circles 3 dB off let 9.6 dB less than all through at best: the best case of the pair
    assert 9.6 < gear.polarisation.mean_db < gear.polarisation.worst_db == 30.0


def test_noise_of_a_place_raises_the_floor_and_the_doubt(picture: LinkSpec) -> None:
    low = replace(picture, frequency_hz=433.92e6, bandwidth_hz=1e6, surroundings="city")
    raised_db, sd_db = noise_raise(2.0, "city", 433.92e6)
    gear, quiet = gear_of(low), gear_of(replace(low, surroundings="none"))
    assert noise_floor_dbm(gear.link) - noise_floor_dbm(quiet.link) == pytest.approx(raised_db)
    assert gear.sd_db == pytest.approx(math.hypot(2.0, sd_db))
    assert largest_loss_db(quiet.link) - largest_loss_db(gear.link) == pytest.approx(raised_db)


def test_an_eirp_is_what_leaves_the_antenna(picture: LinkSpec) -> None:
    told = replace(
        picture,
        is_eirp=True,
        power_w=5.0,
        sender_gain_dbi=0.0,
        sender_loss_db=0.0,
    )
    assert link_of(told).sender.eirp_dbm == pytest.approx(36.99, abs=0.01)
    known = gear_of(with_ends(told, HANGING)).link.sender
    assert known.eirp_dbm == pytest.approx(36.99, abs=0.01)
    assert known.gain_dbi == pytest.approx(2.15, abs=0.01)
    assert known.power_w == pytest.approx(5.0 / 10.0**0.215, rel=1e-3)


def test_a_range_walk_had_the_antennas_as_they_are_but_nothing_bent(picture: LinkSpec) -> None:
    walked = replace(
        picture, noise_figure_db=None, needed_ratio_db=None, reached_m=60e3, offset_db=0.0
    )
    sender = replace(HANGING, polarisation="linear upright", swing_deg=20.0)
    receiver = replace(TEN_TURNS, aim_spread_deg=8.0, polarisation="left circular")
    gear = gear_of(with_ends(walked, sender, receiver))
    level_db = at(gear, 0.0)
    assert reach_m(gear.link, -level_db) == pytest.approx(60e3, rel=1e-6)
    bent = gear_of(with_ends(walked, replace(sender, damage_db=6.0206), receiver))
    assert reach_m(bent.link, -level_db) == pytest.approx(30e3, rel=1e-4)


def test_over_a_field_straight_below_an_upright_pair_hears_less(
    picture: LinkSpec, demo_flight: FlightFile
) -> None:
    stand = demo_flight.sortie.stands[0]
    home = Place(lat_deg=stand.lat_deg, lon_deg=stand.lon_deg + 0.3, amsl_m=stand.amsl_m)
    weak = with_ends(picture, HANGING, End(antenna=Collinear(gain_dbi=2.15), gain_dbi=2.15))
    edge_db = largest_loss_db(gear_of(weak).link)
    spare_db = edge_db - 20.0 * math.log10(23e3) - 20.0 * math.log10(2370e6) + 147.55
    near = replace(weak, offset_db=0.5 - spare_db)  # half a decibel over at 23 km
    assert lost_agl_m(gear_of(near), stand, home) is not None
    tilted = with_ends(near, replace(HANGING, pointing="level"))
    assert lost_agl_m(gear_of(tilted), stand, home) is None


def test_rain_takes_by_elevation_what_its_law_says(picture: LinkSpec) -> None:
    wet = gear_of(replace(picture, frequency_hz=5.8e9, rain_mmph=25.0))
    for elevation_deg in (3.0, 20.0, 60.0):
        expected = rain_loss_db(5.8e9, Rain(mmph=25.0), elevation_deg)
        assert at(wet, elevation_deg) == pytest.approx(-expected, rel=0.01)
    level = with_ends(wet.spec, End(polarisation="linear level", aboard=True, swing_deg=0.0),
                      End(polarisation="linear level"))  # fmt: skip
    assert at(gear_of(level), 3.0) < at(wet, 3.0)  # flat drops take more of a level wave
