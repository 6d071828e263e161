"""Shifts: what is moved is off by what it is doubted, and the same flight drawn afresh agrees."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.chances.case import median_offset
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.chances.trial import Trial, summed_up
from farglide.flightfile.flightfile import FlightFile
from farglide.plan.shifts import (
    has_old_winds,
    link_off,
    manned_otherwise,
    moved,
    number_off,
    pack_off,
    reading_off,
    winds_off,
)
from farglide.rig.listening import listening_of
from farglide.sortie.known import Known

from ..conftest import BOX

Alike = Callable[[Trial, Trial], bool]


def test_a_number_moves_by_its_deviation_or_by_a_tenth() -> None:
    assert moved(5.0, 2.0, -1.0) == 3.0
    assert moved(-5.0, 0.0, 1.0) == -4.5


def test_no_share_is_flown_better_than_whole(base: Trial) -> None:
    glider = replace(base.ensemble.sortie.glider, flown_ratio=1.0)
    whole = replace(base.ensemble, sortie=replace(base.ensemble.sortie, glider=glider))
    assert number_off(whole, "glider", "flown_ratio", 1.0).sortie.glider.flown_ratio == 1.0
    assert number_off(whole, "glider", "flown_ratio", -1.0).sortie.glider.flown_ratio == 0.9


@pytest.mark.parametrize("name", ["energy_wh", "cold_ratio", "insulation_wpk"])
def test_a_pack_off_is_the_flight_with_that_pack_drawn_afresh(
    base: Trial,
    demo_sounding: Sounding,
    alike: Alike,
    keep_minutes: Callable[[Ensemble], None],
    name: str,
) -> None:
    ensemble = base.ensemble
    if name == "insulation_wpk":
        (pack,) = ensemble.sortie.packs
        boxed = replace(ensemble.sortie, packs=(replace(pack, cold_ratio=None, box=BOX),))
        ensemble = drawn_ensemble(boxed, demo_sounding, ensemble.grain)
    less = pack_off(ensemble, 0, name, -1.0)
    assert less.sortie != ensemble.sortie
    # fewer watts through the walls of a box keep its cells warm for longer
    sign = 1.0 if name == "insulation_wpk" else -1.0
    later_s = less.reach.haste.end_s - ensemble.reach.haste.end_s
    assert (sign * later_s > 0.0).all()
    keep_minutes(ensemble)  # the air stays what it was, though such a flight ends sooner
    fresh = drawn_ensemble(less.sortie, demo_sounding, ensemble.grain)
    assert alike(summed_up(less), summed_up(fresh))


@pytest.fixture(scope="module")
def heard(demo_flight: FlightFile, base: Trial) -> Ensemble:
    return replace(base.ensemble, listening=listening_of(demo_flight.sortie, terrain=None))


def test_a_link_off_is_stronger_or_weaker_by_its_spread(heard: Ensemble) -> None:
    assert heard.listening is not None
    spreads_db = [link.spread_db for link in heard.sortie.links]
    for row, spread_db in enumerate(spreads_db):
        for sign in (1.0, -1.0):
            other = link_off(heard, row, sign).listening
            assert other is not None
            off_db = other.waves.near_db - heard.listening.waves.near_db
            assert off_db[row] == pytest.approx(sign * spread_db)
            assert not np.delete(off_db, row).any()


def test_without_ears_no_link_moves(base: Trial) -> None:
    assert link_off(base.ensemble, 0, 1.0) is base.ensemble
    other = replace(base.ensemble.sortie, set_up_s=1.0)
    assert manned_otherwise(base.ensemble, other).sortie is other


def test_stands_are_manned_by_the_other_drives(heard: Ensemble) -> None:
    slow = replace(heard.sortie, set_up_s=heard.sortie.set_up_s + 60.0)
    before, after = heard.listening, manned_otherwise(heard, slow).listening
    assert before is not None
    assert after is not None
    later_s = after.ready_s - before.ready_s
    assert set(later_s[before.ready_s > 0.0]) == {60.0}
    assert not later_s[before.ready_s == 0.0].any()


def test_a_reading_off_is_off_for_every_draw(base: Trial) -> None:
    off = reading_off(base.ensemble, -1.0).draws.seen_normal - base.ensemble.draws.seen_normal
    assert off == pytest.approx(-1.0)


def median_drift_rad(ensemble: Ensemble) -> float:
    """Return how far the median balloon is from the launch after an hour."""
    return float(np.hypot(*median_offset(ensemble, 60)))


def test_winds_off_carry_the_balloons_farther_along_the_drift_or_less_far(base: Trial) -> None:
    far, near = (median_drift_rad(winds_off(base.ensemble, sign)) for sign in (1.0, -1.0))
    assert near < median_drift_rad(base.ensemble) < far
    # the error of a whole climb is less than that of one height
    swarm, old = winds_off(base.ensemble, 1.0).draws.swarm, base.ensemble.draws.swarm
    off = np.hypot(swarm.out_east_mps - old.out_east_mps, swarm.out_north_mps - old.out_north_mps)
    assert off.max() - off.min() < 1e-4
    assert 0.2 < off.mean() < np.hypot(old.out_east_mps.std(), old.out_north_mps.std())


def test_winds_of_this_hour_are_not_old(base: Trial, demo_sounding: Sounding) -> None:
    assert not has_old_winds(base.ensemble)
    old = replace(demo_sounding, t_s=demo_sounding.t_s - 6.0 * 3600.0)
    few = replace(base.ensemble.grain, n_draws=50)
    assert has_old_winds(drawn_ensemble(base.ensemble.sortie, old, few))


def test_a_known_without_a_deviation_moves_by_a_tenth(base: Trial) -> None:
    drop = replace(base.ensemble.sortie.drop, heading_s=Known(value=30.0))
    ensemble = replace(base.ensemble, sortie=replace(base.ensemble.sortie, drop=drop))
    assert number_off(ensemble, "drop", "heading_s", 1.0).sortie.drop.heading_s.value == 33.0
