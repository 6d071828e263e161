"""Links of a sortie with their antennas: one doubt, one table by elevation."""

import math
from dataclasses import replace

import numpy as np
import pytest

from farglide.earth.state import Place
from farglide.flightfile.flightfile import FlightFile
from farglide.plan.links.lostheights import lost_agl_m
from farglide.radio.antenna.helix import Helix
from farglide.radio.antenna.kinds import Collinear, Dipole
from farglide.radio.budget import budget_of
from farglide.radio.ends.end import End
from farglide.radio.link import largest_loss_db
from farglide.radio.path.bounce import bounce_swing
from farglide.radio.path.smooth_earth import Surface
from farglide.rig.links import LOW_DEG, gear_of, link_of
from farglide.sortie.spec import UNTESTED_SD_DB, LinkSpec

HELIX = End(antenna=Helix(n_turns=10, spacing_wavelengths=0.236, circumference_wavelengths=1.0))
HANGING = End(antenna=Dipole(), pointing="down", aboard=True)


@pytest.fixture(scope="module")
def picture(demo_flight: FlightFile) -> LinkSpec:
    return demo_flight.sortie.links[0]


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
    weak = with_ends(picture, HANGING, End(antenna=Collinear(gain_dbi=2.15), gain_dbi=2.15))
    edge_db = largest_loss_db(gear_of(weak).link)
    spare_db = edge_db - 20.0 * math.log10(23e3) - 20.0 * math.log10(2370e6) + 147.55
    near = replace(weak, offset_db=0.5 - spare_db)  # half a decibel over at 23 km
    assert lost_agl_m(gear_of(near), stand, home) is not None
    tilted = replace(near, sender_end=replace(HANGING, pointing="level"))
    assert lost_agl_m(gear_of(tilted), stand, home) is None
