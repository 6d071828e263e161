"""Links of a sortie with their antennas: one doubt, one table by elevation."""

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from farglide.earth.state import Place
from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.antennas import LOW_DEG
from farglide.plan.links.overland import lost_agl_m
from farglide.present.say.antennas import ground_test_lines
from farglide.radio.antenna.beams import PatchAntenna, Yagi, even_beam_deg
from farglide.radio.antenna.helix import Helix, HelixArray
from farglide.radio.antenna.kinds import Collinear, Dipole
from farglide.radio.antenna.measured import Measured
from farglide.radio.budget import budget_of
from farglide.radio.ends.end import ONLY_A_GAIN, End, GroundTest
from farglide.radio.ends.gear import N_SINES
from farglide.radio.link import largest_loss_db, margin_db, reach_m
from farglide.radio.path.bounce import bounce_swing
from farglide.radio.path.smooth_earth import Surface
from farglide.rig.links import LinkGear, antennas_of, beam_deg, gear_of, link_of
from farglide.sortie.spec import UNTESTED_SD_DB, LinkSpec

from ..conftest import Document

HELIX = End(antenna=Helix(n_turns=10, spacing_wavelengths=0.236, circumference_wavelengths=1.0))
HANGING = End(antenna=Dipole(), pointing="down", aboard=True)


@pytest.fixture(scope="module")
def picture(demo_flight: FlightFile) -> LinkSpec:
    return demo_flight.sortie.links[0]


def told(gear: LinkGear) -> list[str]:
    return ground_test_lines(antennas_of(gear))


def with_ends(spec: LinkSpec, sender: End, receiver: End) -> LinkSpec:
    return replace(spec, sender_end=sender, receiver_end=receiver)


def test_without_antennas_nothing_is_added(demo_flight: FlightFile) -> None:
    for spec in demo_flight.sortie.links:
        gear = gear_of(spec)
        assert gear.link.extra_loss_db == 0.0
        assert gear.sd_db == spec.spread_db
        assert not gear.pattern.any()
        assert gear.polarisation is None
        assert link_of(spec) is gear.link is gear_of(spec).link  # made once


def test_the_beam_that_is_aimed_is_that_on_the_ground(picture: LinkSpec) -> None:
    gear = gear_of(with_ends(picture, ONLY_A_GAIN, HELIX))
    assert gear.receiver.width is not None
    assert beam_deg(gear) == min(gear.receiver.width)
    bare = replace(picture, sender_end=ONLY_A_GAIN, receiver_end=ONLY_A_GAIN)
    for purpose, sent_dbi, heard_dbi in (("picture", 2.0, 18.0), ("command", 18.0, 2.0)):
        one = replace(bare, purpose=purpose, sender_gain_dbi=sent_dbi, receiver_gain_dbi=heard_dbi)
        assert beam_deg(gear_of(one)) == pytest.approx(22.2, abs=0.05)  # (31 000 / 63.1) ** 0.5


def test_the_table_is_that_of_both_ends_less_rain_and_nobody_changes_it(
    picture: LinkSpec,
) -> None:
    aboard, beside = replace(HANGING, swing_deg=20.0), End(antenna=Dipole(), pointing="up")
    wet = replace(with_ends(picture, aboard, beside), frequency_hz=10e9, rain_mmph=5.0)
    gear, budget = gear_of(wet), budget_of(wet)
    tables = budget.ends.sender.table_db + budget.ends.receiver.table_db - budget.rain_db
    assert np.array_equal(gear.pattern, tables)
    assert np.array_equal(gear.rain_db, budget.rain_db)
    with pytest.raises(ValueError, match="read-only"):
        gear.pattern[0] = 0.0


def test_doubts_add_up_as_squares(picture: LinkSpec) -> None:
    swung = with_ends(picture, replace(HANGING, swing_deg=25.0), replace(HELIX, aim_spread_deg=5.0))
    gear, budget = gear_of(swung), budget_of(swung)
    assert budget.sd_db > 0.5
    assert gear.sd_db == pytest.approx(math.hypot(picture.spread_db, budget.sd_db))


@pytest.mark.parametrize(("offset_db", "sd_db"), [(-9.0, 2.0), (-11.0, UNTESTED_SD_DB)])
def test_a_test_that_failed_settles_nothing(
    picture: LinkSpec, offset_db: float, sd_db: float
) -> None:
    gear = gear_of(replace(picture, offset_db=offset_db))
    assert gear.test_offset_db == offset_db
    assert gear.sd_db == sd_db


def test_the_bounce_is_that_of_the_plane_of_the_wave(picture: LinkSpec) -> None:
    upright = End(polarisation="linear upright")
    for spec, is_vertical in ((picture, False), (with_ends(picture, upright, upright), True)):
        expected = bounce_swing(2370e6, LOW_DEG, Surface(is_vertical=is_vertical))
        assert gear_of(spec).bounce == expected


def test_over_a_field_straight_below_an_upright_pair_hears_less(
    picture: LinkSpec, demo_flight: FlightFile
) -> None:
    stand = demo_flight.sortie.stands[0]
    home = Place(lat_deg=stand.lat_deg, lon_deg=stand.lon_deg + 0.3, amsl_m=stand.amsl_m)
    collinear = Collinear(gain_dbi=2.15, frequency_hz=picture.frequency_hz)
    weak = with_ends(picture, HANGING, End(antenna=collinear, gain_dbi=2.15))
    edge_db = largest_loss_db(gear_of(weak).link)
    spare_db = edge_db - 20.0 * math.log10(23e3) - 20.0 * math.log10(2370e6) + 147.55
    near = replace(weak, offset_db=0.5 - spare_db)  # half a decibel over at 23 km
    assert lost_agl_m(gear_of(near), stand, home) is not None
    tilted = replace(near, sender_end=replace(HANGING, pointing="level"))
    assert lost_agl_m(gear_of(tilted), stand, home) is None


def test_what_it_found_shifts_every_margin(
    linked: Callable[[dict[str, float]], Document], read: Callable[[Document], FlightFile]
) -> None:
    (plain,) = read(linked({})).sortie.links
    bare = gear_of(plain).link
    # free space at 1 km and 869.5 MHz: 32.45 + 58.78 = 91.2 dB (P.525); 27.0 - 91.2 + 110 - 40
    assert margin_db(bare, 1e3, 40.0) == pytest.approx(5.8, abs=0.1)
    (spec,) = read(
        linked({"tested_km": 1, "tested_attenuator_db": 40, "tested_margin_db": 1.8})
    ).sortie.links
    assert (plain.spread_db, spec.spread_db) == (8.0, 3.0)
    gear = gear_of(spec)
    assert gear.link.offset_db == pytest.approx(-4.0, abs=0.1)
    assert margin_db(gear.link, 1e3, 40.0) == pytest.approx(1.8)
    assert margin_db(gear.link, 50e3) == pytest.approx(margin_db(bare, 50e3) - 4.0, abs=0.1)
    words = " ".join(told(gear))
    assert "at 1000 m behind 40 dB" in words
    assert "shifted by" in words
    assert told(gear_of(plain)) == []


def test_more_than_ten_decibels_off_asks_for_the_fault(demo_flight: FlightFile) -> None:
    command = demo_flight.sortie.links[1]
    test = GroundTest(distance_m=1000.0, attenuator_db=0.0, margin_db=20.0)
    lines = told(gear_of(replace(command, offset_db=0.0, tested=test)))
    words = " ".join(" ".join(lines).split())
    assert "find the fault" in words
    assert "shifted" not in words


def test_a_fault_that_takes_is_counted_and_one_that_gives_is_not(demo_flight: FlightFile) -> None:
    """Both leave the doubt of a budget on paper: a test that failed settles nothing."""
    command = replace(demo_flight.sortie.links[1], offset_db=0.0, spread_db=3.0)
    budget_db = margin_db(gear_of(command).link, 1e3)
    for off_db, counted_db, sd_db in ((-14.0, -14.0, 8.0), (9.0, 9.0, 3.0), (14.0, 0.0, 8.0)):
        test = GroundTest(distance_m=1e3, attenuator_db=0.0, margin_db=budget_db + off_db)
        gear = gear_of(replace(command, tested=test))
        assert gear.link.offset_db == pytest.approx(counted_db)
        assert gear.sd_db == pytest.approx(sd_db)
        words = " ".join(" ".join(told(gear)).split())
        assert f"{budget_db + off_db:+.1f}".replace("-", "−") in words
    assert "no margin counts on it" in words


@pytest.mark.parametrize(("typed_db", "counted_db", "sd_db"), [
    (9.0, 9.0, 3.0), (15.0, 0.0, 8.0), (-15.0, -15.0, 8.0),
])  # fmt: skip
def test_a_typed_offset_follows_the_same_rule(
    typed_db: float, counted_db: float, sd_db: float, demo_flight: FlightFile
) -> None:
    command = replace(demo_flight.sortie.links[1], offset_db=typed_db, spread_db=3.0)
    gear = gear_of(command)
    assert gear.link.offset_db == pytest.approx(counted_db)
    assert gear.sd_db == pytest.approx(sd_db)
    words = " ".join(" ".join(told(gear)).split())
    assert ("find the fault" in words) == (abs(typed_db) > 10.0)


def test_a_perfect_level_test_finds_nothing_off(demo_flight: FlightFile) -> None:
    """A patch below the glider has 15 dB less at the horizon, and the test is made level there."""
    picture = replace(
        demo_flight.sortie.links[0],
        offset_db=0.0,
        sender_end=End(
            antenna=PatchAntenna(level_deg=even_beam_deg(6.0), upright_deg=even_beam_deg(6.0)),
            pointing="down", aboard=True, gain_dbi=6.0, polarisation="linear level",
        ),
        receiver_end=End(
            antenna=Yagi(level_deg=even_beam_deg(12.0), upright_deg=even_beam_deg(12.0)),
            gain_dbi=12.0, aim_spread_deg=3.0, polarisation="linear level",
        ),
    )  # fmt: skip
    gear = gear_of(picture)
    crossed = gear.polarisation
    assert crossed is not None
    assert crossed.mean_db == pytest.approx(6.02, abs=0.01)  # over every roll
    level_db = float(gear.pattern[len(gear.pattern) // 2])
    assert level_db < -8.0
    aim = gear.receiver.aim
    assert aim is not None
    # held and aimed by the crew as well as can be
    found_db = margin_db(gear.link, 1e3) + level_db + crossed.mean_db + aim.mean_db
    test = GroundTest(distance_m=1e3, attenuator_db=0.0, margin_db=found_db)
    assert gear_of(replace(picture, tested=test)).link.offset_db == pytest.approx(0.0, abs=0.01)


def test_a_range_once_reached_becomes_the_reach(demo_flight: FlightFile) -> None:
    spec = demo_flight.sortie.links[1]
    link = link_of(replace(spec, sensitivity_dbm=None, reached_m=150e3))
    assert reach_m(link) == pytest.approx(150e3, rel=1e-9)


HELIX_ANTENNAS = Helix(n_turns=7, spacing_wavelengths=0.236, circumference_wavelengths=1.0)
ROWS = ((0.0, 2.0), (30.0, 1.0), (60.0, -1.0), (90.0, -4.0), (120.0, -8.0), (150.0, -12.0),
        (180.0, -15.0))  # fmt: skip


@pytest.fixture(scope="module")
def picture_antennas(demo_flight: FlightFile) -> LinkSpec:
    return demo_flight.sortie.links[0]


def test_gains_alone_leave_only_the_bounce_and_the_doubt(picture_antennas: LinkSpec) -> None:
    found, gear = antennas_of(gear_of(picture_antennas)), gear_of(picture_antennas)
    assert (found.spec, found.ends) == (picture_antennas, ())
    assert found.doubt_db == picture_antennas.spread_db
    assert (found.polarisation, found.noise_db, found.rain_db) == (None,) * 3
    assert (found.bounce, found.test_offset_db) == (gear.bounce, 0.0)


def test_one_end_is_aimed_and_one_stands(picture_antennas: LinkSpec) -> None:
    whip = End(antenna=Dipole(), pointing="down", aboard=True, swing_deg=20.0)
    aimed = End(antenna=HELIX_ANTENNAS, aim_spread_deg=5.0, damage_db=2.0, damage_skew_deg=10.0)
    gear = gear_of(replace(picture_antennas, sender_end=whip, receiver_end=aimed))
    sender, receiver = antennas_of(gear).ends
    assert (sender.spec, receiver.spec) == (whip, aimed)
    assert (sender.name, sender.beam, sender.aim_loss_db) == ("dipole", None, None)
    assert sender.gain_dbi == gear.sender.gain_dbi
    assert sender.level_db == gear.sender.table_db[N_SINES // 2]
    assert sender.steep_db == gear.sender.table_db[-1]
    assert receiver.name == "helix of 7 turns"
    assert gear.receiver.aim is not None
    assert receiver.aim_loss_db == gear.receiver.aim.mean_db
    assert receiver.beam == gear.receiver.width


SIX_HELICES = HelixArray(helix=HELIX_ANTENNAS, n_level=2, n_upright=3, apart_wavelengths=1.4)


@pytest.mark.parametrize(
    ("end", "name"),
    [
        (End(damage_db=3.0), "antenna"),
        (End(antenna=Collinear(gain_dbi=6.0, frequency_hz=2.37e9), gain_dbi=6.0),
         "collinear antenna"),
        (End(antenna=Yagi(level_deg=40.0, upright_deg=40.0)), "yagi"),
        (End(antenna=SIX_HELICES), "6 helices"),
        (End(antenna=Measured(level=ROWS), pointing="up"), "measured antenna"),
    ],
)  # fmt: skip
def test_antennas_are_named_as_in_a_sentence(
    picture_antennas: LinkSpec, end: End, name: str
) -> None:
    (told,) = antennas_of(gear_of(replace(picture_antennas, receiver_end=end))).ends
    assert told.name == name


def test_polarisations_are_told_with_the_swing_of_what_flies(picture_antennas: LinkSpec) -> None:
    free = End(polarisation="linear upright", aboard=True)
    level = End(polarisation="linear level")
    for swing_deg, any_roll in ((None, True), (0.0, False)):
        ends = {"sender_end": replace(free, swing_deg=swing_deg), "receiver_end": level}
        gear = gear_of(replace(picture_antennas, **ends))
        found = antennas_of(gear)
        assert found.polarisation is not None
        assert found.polarisation == gear.polarisation
        assert found.any_roll == any_roll


def test_place_and_rain(picture_antennas: LinkSpec) -> None:
    low = replace(picture_antennas, frequency_hz=433.92e6, bandwidth_hz=1e6, surroundings="city")
    gear = gear_of(low)
    assert antennas_of(gear).noise_db == gear.link.receiver.noise_raise_db
    wet = gear_of(replace(picture_antennas, frequency_hz=10e9, rain_mmph=5.0))
    rain_db = antennas_of(wet).rain_db
    at_10 = np.interp(math.sin(math.radians(10.0)), np.linspace(-1.0, 1.0, N_SINES), wet.rain_db)
    assert rain_db == pytest.approx(float(at_10), rel=0.01)


@pytest.mark.parametrize(("offset_db", "is_fault"), [(-4.0, False), (-14.0, True), (14.0, True)])
def test_a_test_is_told_and_a_fault_is_one(
    picture_antennas: LinkSpec, offset_db: float, is_fault: bool
) -> None:
    typed = antennas_of(gear_of(replace(picture_antennas, offset_db=offset_db)))
    assert (typed.test_offset_db, typed.is_fault) == (offset_db, is_fault)
    test = GroundTest(distance_m=1e3, attenuator_db=0.0, margin_db=30.0)
    gear = gear_of(replace(picture_antennas, tested=test))
    made = antennas_of(gear)
    assert (made.spec.tested, made.test_offset_db) == (test, gear.test_offset_db)
