"""Budgets of links as stated against sums by hand."""

import math
from dataclasses import replace

import numpy as np
import pytest

from farglide.errors import InputError
from farglide.radio.antenna.helix import Helix
from farglide.radio.antenna.kinds import Dipole
from farglide.radio.budget import Budget, budget_of
from farglide.radio.ends.end import FAULT_DB, End, GroundTest, StatedLink
from farglide.radio.ends.gear import N_SINES
from farglide.radio.link import largest_loss_db, margin_db, noise_floor_dbm, reach_m
from farglide.radio.noise import noise_raise
from farglide.radio.path.rain import Rain, rain_loss_db

PICTURE = StatedLink(
    name="picture", purpose="picture", is_digital=False, frequency_hz=2370e6, bandwidth_hz=16e6,
    power_w=0.8, sender_loss_db=0.0, sender_gain_dbi=2.0, receiver_gain_dbi=18.0,
    receiver_loss_db=2.0, noise_figure_db=2.0, needed_ratio_db=9.0, sensitivity_dbm=None,
    reached_m=None,
)  # fmt: skip
HELIX = End(antenna=Helix(n_turns=10, spacing_wavelengths=0.236, circumference_wavelengths=1.0))
HANGING = End(antenna=Dipole(), pointing="down", aboard=True)


def level_db(budget: Budget) -> float:
    return budget.ends.sender.level_db + budget.ends.receiver.level_db


def test_gains_alone_are_the_budget() -> None:
    found = budget_of(PICTURE)
    assert found.link.sender.eirp_dbm == pytest.approx(10.0 * math.log10(800.0) + 2.0)
    assert (found.link.receiver.gain_dbi, found.link.extra_loss_db) == (18.0, 0.0)
    assert (found.sd_db, found.test_offset_db) == (0.0, 0.0)
    assert found.ends.polarisation is None
    assert found.ends.crossed_db == 0.0
    assert not found.rain_db.any()


def test_losses_of_both_ends_and_their_rolls_add_up_and_doubts_as_squares() -> None:
    stated = replace(
        PICTURE,
        sender_end=replace(HANGING, damage_db=3.0, swing_deg=20.0, polarisation="linear upright"),
        receiver_end=replace(HELIX, aim_spread_deg=5.0, polarisation="linear upright"),
    )
    found = budget_of(stated)
    sender, receiver, crossed = found.ends
    assert crossed is not None
    assert sender.loss_db == 3.0
    sums_db = 3.0 + receiver.loss_db + crossed.mean_db
    assert found.link.extra_loss_db == pytest.approx(sums_db)
    assert found.sd_db == pytest.approx(math.hypot(sender.sd_db, receiver.sd_db, crossed.sd_db))
    assert found.link.receiver.gain_dbi == receiver.gain_dbi


def test_noise_of_a_place_raises_the_floor_and_the_doubt() -> None:
    low = replace(PICTURE, frequency_hz=433.92e6, bandwidth_hz=1e6, surroundings="city")
    raised_db, sd_db = noise_raise(2.0, "city", 433.92e6)
    loud, quiet = budget_of(low), budget_of(replace(low, surroundings="none"))
    assert noise_floor_dbm(loud.link) - noise_floor_dbm(quiet.link) == pytest.approx(raised_db)
    assert loud.sd_db == pytest.approx(sd_db)
    lost_db = largest_loss_db(quiet.link) - largest_loss_db(loud.link)
    assert lost_db == pytest.approx(raised_db)


def test_an_eirp_is_what_leaves_the_antenna() -> None:
    # 10 log 5000 mW
    told = replace(PICTURE, is_eirp=True, power_w=5.0, sender_gain_dbi=0.0)
    assert budget_of(told).link.sender.eirp_dbm == pytest.approx(36.99, abs=0.01)
    known = budget_of(replace(told, sender_end=HANGING)).link.sender
    assert known.eirp_dbm == pytest.approx(36.99, abs=0.01)
    assert known.gain_dbi == pytest.approx(2.15, abs=0.01)
    assert known.power_w == pytest.approx(5.0 / 10.0**0.215, rel=1e-3)


def test_a_range_walk_had_the_antennas_as_they_are_but_nothing_bent() -> None:
    walked = replace(
        PICTURE,
        noise_figure_db=None,
        needed_ratio_db=None,
        reached_m=60e3,
        sender_end=replace(HANGING, polarisation="linear upright", swing_deg=20.0),
        receiver_end=replace(HELIX, aim_spread_deg=8.0, polarisation="left circular"),
    )
    found = budget_of(walked)
    assert reach_m(found.link, -level_db(found)) == pytest.approx(60e3, rel=1e-6)
    bent = budget_of(replace(walked, sender_end=replace(walked.sender_end, damage_db=6.0206)))
    assert reach_m(bent.link, -level_db(found)) == pytest.approx(30e3, rel=1e-4)


@pytest.mark.parametrize(
    ("off_db", "counted_db"), [(-14.0, -14.0), (9.0, 9.0), (FAULT_DB + 4.0, 0.0)]
)
def test_a_ground_test_is_counted_unless_it_promises_too_much(
    off_db: float, counted_db: float
) -> None:
    expected_db = margin_db(budget_of(PICTURE).link, 1e3, 30.0)
    test = GroundTest(distance_m=1e3, attenuator_db=30.0, margin_db=expected_db + off_db)
    found = budget_of(replace(PICTURE, tested=test))
    assert found.test_offset_db == pytest.approx(off_db)
    assert found.link.offset_db == pytest.approx(counted_db)
    typed = budget_of(replace(PICTURE, offset_db=off_db))
    assert typed.test_offset_db == off_db
    assert typed.link.offset_db == counted_db


def test_rain_takes_by_elevation_what_its_law_says() -> None:
    wet = replace(PICTURE, frequency_hz=5.8e9, rain_mmph=25.0)
    table = budget_of(wet).rain_db
    for elevation_deg in (3.0, 20.0, 60.0):
        sine = math.sin(math.radians(elevation_deg))
        found = float(np.interp(sine, np.linspace(-1.0, 1.0, N_SINES), table))
        assert found == pytest.approx(rain_loss_db(5.8e9, Rain(mmph=25.0), elevation_deg), rel=0.01)
    low = budget_of(replace(wet, rain_depth_m=2500.0)).rain_db
    assert 0.4 * table[-1] < low[-1] < 0.6 * table[-1]  # straight up, half the way
    level = budget_of(replace(wet, receiver_end=End(polarisation="linear level")))
    assert level.rain_db[N_SINES // 2] > table[N_SINES // 2]  # flat drops take more of it


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"surroundings": "city"}, "Above it no figure is published"),
        ({"frequency_hz": 869.5e6, "rain_mmph": 5.0}, "rain takes nothing that counts"),
        ({"noise_figure_db": None, "needed_ratio_db": None, "reached_m": 2.0}, "sensitivity_dbm"),
        ({"tested": GroundTest(distance_m=1e3, attenuator_db=0.0, margin_db=-60.0)}, "offset_db"),
    ],
)
def test_what_the_laws_refuse_of_a_whole_link(wrong: dict[str, object], said: str) -> None:
    with pytest.raises(InputError, match=said):
        budget_of(replace(PICTURE, **wrong))  # type: ignore[arg-type]
