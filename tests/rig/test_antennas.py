"""What the gear of a link makes of it, as values to be told."""

import math
from dataclasses import replace

import numpy as np
import pytest

from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.antennas import BeamOutlook, PlaceNoise
from farglide.radio.antenna.helix import Helix, HelixArray
from farglide.radio.antenna.kinds import Collinear, Dipole, Yagi
from farglide.radio.antenna.measured import Measured
from farglide.radio.ends.end import FAULT_DB, End, GroundTest
from farglide.radio.ends.gear import N_SINES
from farglide.rig.links import LOW_DEG, antennas_of, gear_of
from farglide.sortie.spec import LinkSpec

HELIX = Helix(n_turns=7, spacing_wavelengths=0.236, circumference_wavelengths=1.0)
ROWS = ((0.0, 2.0), (30.0, 1.0), (60.0, -1.0), (90.0, -4.0), (120.0, -8.0), (150.0, -12.0),
        (180.0, -15.0))  # fmt: skip


@pytest.fixture(scope="module")
def picture(demo_flight: FlightFile) -> LinkSpec:
    return demo_flight.sortie.links[0]


def test_gains_alone_leave_only_the_bounce_and_the_doubt(picture: LinkSpec) -> None:
    found, gear = antennas_of(gear_of(picture)), gear_of(picture)
    assert (found.link, found.ends, found.doubt_db) == ("picture", (), picture.spread_db)
    assert (found.polarisation, found.noise, found.rain, found.tested) == (None,) * 4
    assert (found.bounce.takes_db, found.bounce.adds_db) == gear.bounce
    assert found.bounce.at_deg == LOW_DEG


def test_one_end_is_aimed_and_one_stands(picture: LinkSpec) -> None:
    whip = End(antenna=Dipole(), pointing="down", aboard=True, swing_deg=20.0)
    aimed = End(antenna=HELIX, aim_spread_deg=5.0, damage_db=2.0, damage_skew_deg=10.0)
    gear = gear_of(replace(picture, sender_end=whip, receiver_end=aimed))
    sender, receiver = antennas_of(gear).ends
    assert (sender.name, sender.aboard, sender.beam, sender.aim) == ("dipole", True, None, None)
    assert sender.gain_dbi == gear.sender.gain_dbi
    assert sender.stance is not None
    assert (sender.stance.points, sender.stance.lean_deg) == ("down", 20.0)
    assert sender.stance.level_db == gear.sender.table_db[N_SINES // 2]
    assert sender.stance.steep_db == gear.sender.table_db[-1]
    assert (receiver.name, receiver.stance) == ("helix of 7 turns", None)
    assert receiver.aim is not None
    assert gear.receiver.aim is not None
    assert (receiver.aim.spread_deg, receiver.aim.loss_db) == (5.0, gear.receiver.aim.mean_db)
    assert receiver.beam == BeamOutlook(**gear.receiver.width._asdict())  # type: ignore[union-attr]
    assert (receiver.damage_db, receiver.damage_skew_deg) == (2.0, 10.0)


@pytest.mark.parametrize(
    ("end", "name"),
    [
        (End(damage_db=3.0), "antenna"),
        (End(antenna=Collinear(gain_dbi=6.0), gain_dbi=6.0), "collinear antenna"),
        (End(antenna=Yagi(level_deg=40.0, upright_deg=40.0)), "yagi"),
        (End(antenna=HelixArray(helix=HELIX, n_level=2, n_upright=3, apart_wavelengths=1.4)),
         "6 helices"),
        (End(antenna=Measured(level=ROWS), pointing="up"), "measured antenna"),
    ],
)  # fmt: skip
def test_antennas_are_named_as_in_a_sentence(picture: LinkSpec, end: End, name: str) -> None:
    (told,) = antennas_of(gear_of(replace(picture, receiver_end=end))).ends
    assert told.name == name


def test_polarisations_are_told_with_the_swing_of_what_flies(picture: LinkSpec) -> None:
    free = End(polarisation="linear upright", aboard=True)
    level = End(polarisation="linear level")
    for swing_deg, any_roll in ((None, True), (0.0, False)):
        ends = {"sender_end": replace(free, swing_deg=swing_deg), "receiver_end": level}
        gear = gear_of(replace(picture, **ends))
        found = antennas_of(gear).polarisation
        assert found is not None
        assert gear.polarisation is not None
        assert (found.sender, found.receiver) == ("linear upright", "linear level")
        assert (found.mean_db, found.worst_db) == (
            gear.polarisation.mean_db, gear.polarisation.worst_db,
        )  # fmt: skip
        assert found.any_roll == any_roll


def test_place_and_rain(picture: LinkSpec) -> None:
    low = replace(picture, frequency_hz=433.92e6, bandwidth_hz=1e6, surroundings="city")
    gear = gear_of(low)
    assert antennas_of(gear).noise == PlaceNoise(
        place="city", raise_db=gear.link.receiver.noise_raise_db
    )
    wet = gear_of(replace(picture, frequency_hz=10e9, rain_mmph=5.0))
    rain = antennas_of(wet).rain
    assert rain is not None
    at_10 = np.interp(math.sin(math.radians(10.0)), np.linspace(-1.0, 1.0, N_SINES), wet.rain_db)
    assert (rain.mmph, rain.at_deg) == (5.0, 10.0)
    assert rain.loss_db == pytest.approx(float(at_10), rel=0.01)


@pytest.mark.parametrize(("offset_db", "is_fault"), [(-4.0, False), (-14.0, True), (14.0, True)])
def test_a_test_is_told_and_a_fault_is_one(
    picture: LinkSpec, offset_db: float, is_fault: bool
) -> None:
    typed = antennas_of(gear_of(replace(picture, offset_db=offset_db))).tested
    assert typed is not None
    assert (typed.test, typed.offset_db, typed.fault_db) == (None, offset_db, FAULT_DB)
    assert typed.is_fault == is_fault
    test = GroundTest(distance_m=1e3, attenuator_db=0.0, margin_db=30.0)
    gear = gear_of(replace(picture, tested=test))
    made = antennas_of(gear).tested
    assert made is not None
    assert (made.test, made.offset_db) == (test, gear.test_offset_db)
