"""Heard: a picture link some decibels off its budget is found by its grades, and by silence."""

import math
from dataclasses import replace

import numpy as np
import pytest

from farglide.chances.ensemble import Ensemble
from farglide.earth.state import place_deg
from farglide.radio.picture import grade_of
from farglide.review.flown import Flown, Marked, Typed, What
from farglide.review.heard import FADING_DB, Spell, Ways, offset_shown, spells_of
from farglide.review.parted import parted
from farglide.sim.core.tracks import Trails
from farglide.sim.hear.hearing import margins_db
from farglide.track.drift import Been
from farglide.track.reports import Fix
from farglide.track.typed.entries import Grade

from .made import Made

WETHER = 1


def ways_of(planned: Ensemble, flown: Flown, whole: Been) -> Ways:
    assert planned.listening is not None
    return Ways(planned.sortie, planned.listening, planned.air.scene, flown, whole)


def graded(planned: Ensemble, made: Made, off_db: float, seed: int) -> tuple[Flown, Been]:
    """Return a flight whose picture was graded each two minutes, the car standing at one stand."""
    launch, stand = planned.sortie.launch, planned.sortie.stands[WETHER]
    whole = parted(made.flown, launch, planned.air.scene).whole
    at_s = np.arange(300.0, float(whole.t_s[-1]) - 60.0, 120.0)
    rows = (np.interp(at_s, whole.t_s, one)[None, :] for one in whole[1:])
    assert planned.listening is not None
    listeners = planned.listening.listeners
    margins = margins_db(listeners, planned.air.scene.frame, Trails(*rows))[0, WETHER, 0]
    fading = np.random.default_rng(seed).normal(0.0, FADING_DB, len(at_s))
    typed = tuple(
        Typed(t_s=launch.t_s + t_s, entry=Grade(grade=grade_of(float(m), False)))
        for t_s, m in zip(at_s.tolist(), margins + off_db + fading, strict=True)
    )
    cars = tuple(Fix(feed="car", lat_deg=stand.lat_deg, lon_deg=stand.lon_deg, t_s=launch.t_s + t_s)
                 for t_s in np.arange(0.0, 9000.0, 60.0).tolist())  # fmt: skip
    return replace(made.flown, typed=typed, cars=cars), whole


@pytest.mark.parametrize("off_db", [-6.0, -3.0, 0.0, 3.0])
def test_an_injected_offset_is_found_within_1_5_db(
    planned: Ensemble, as_told: Made, off_db: float
) -> None:
    for seed in (1, 2, 3):
        flown, whole = graded(planned, as_told, off_db, seed)
        spells = spells_of(ways_of(planned, flown, whole))
        assert list(spells) == ["picture", "command"]
        found = offset_shown(spells["picture"], 0.0, 8.0)
        assert found is not None
        assert found.value == pytest.approx(off_db, abs=1.5)
        assert 0.2 < found.sd < 1.5


def test_a_car_on_the_road_tells_nothing(planned: Ensemble, as_told: Made) -> None:
    flown, whole = graded(planned, as_told, 0.0, 1)
    lat_deg, lon_deg = place_deg(planned.sortie.launch, 0.01, 0.01)
    away = tuple(replace(one, lat_deg=lat_deg, lon_deg=lon_deg) for one in flown.cars)
    assert spells_of(ways_of(planned, replace(flown, cars=away), whole)) == {}
    silent = (replace(flown.cars[0], t_s=0.0),)  # not heard for hours
    assert spells_of(ways_of(planned, replace(flown, cars=silent), whole)) == {}


def test_without_the_car_the_best_stand_is_taken(planned: Ensemble, as_told: Made) -> None:
    flown, whole = graded(planned, as_told, 0.0, 1)
    spells = spells_of(ways_of(planned, replace(flown, cars=()), whole))["picture"]
    at_stand = spells_of(ways_of(planned, flown, whole))["picture"]
    assert all(a.margin_db >= b.margin_db for a, b in zip(spells, at_stand, strict=True))


def test_silence_of_a_link_for_positions_counts_by_the_minute(
    planned: Ensemble, as_told: Made
) -> None:
    links = tuple(replace(one, purpose="position") if one.purpose == "picture" else one
                  for one in planned.sortie.links)  # fmt: skip
    sortie = replace(planned.sortie, links=links)
    whole = parted(as_told.flown, sortie.launch, planned.air.scene).whole
    gone = (whole.t_s > 2000.0) & (whole.t_s < 2600.0)
    been = Been(*(one[~gone] for one in whole))
    assert planned.listening is not None
    ways = Ways(sortie, planned.listening, planned.air.scene, as_told.flown, been)
    spells = spells_of(ways)["picture"]
    silent = [one for one in spells if one.to_db == 0.0]
    heard = [one for one in spells if one.from_db == 0.0]
    assert 7 <= len(silent) <= 10
    assert len(heard) == pytest.approx((whole.t_s[-1] - 600.0) / 60.0, rel=0.1)


def test_a_command_that_was_followed_was_heard(planned: Ensemble, as_told: Made) -> None:
    whole = parted(as_told.flown, planned.sortie.launch, planned.air.scene).whole
    spells = spells_of(ways_of(planned, as_told.flown, whole))
    assert [(one.from_db, one.to_db) for one in spells["command"]] == [(0.0, math.inf)]
    stuck = Marked(t_s=planned.sortie.launch.t_s + 4495.0, what=What.STUCK)
    flown = replace(as_told.flown, marked=(*as_told.flown.marked, stuck))
    assert "command" not in spells_of(ways_of(planned, flown, whole))


def test_what_bounds_one_side_moves_a_belief_to_that_side() -> None:
    clear = [Spell(-4.0, 0.0, math.inf)] * 5  # heard though the budget says it is 4 dB short
    found = offset_shown(clear, 0.0, 4.0)
    assert found is not None
    assert found.value > 2.0
    assert offset_shown([Spell(40.0, 0.0, math.inf)], 0.0, 4.0) is None  # as anybody expects
    assert offset_shown(clear, 0.0, 0.0) is None  # taken as exact


def test_moments_on_a_grid_are_those_of_a_normal_law() -> None:
    """Spans so narrow that each is a measured margin: mean, and fading over the root of n."""
    rng = np.random.default_rng(2)
    seen = 5.0 + rng.normal(0.0, FADING_DB, 400)
    found = offset_shown([Spell(3.0, x - 0.05, x + 0.05) for x in seen], 0.0, 8.0)
    assert found is not None
    assert found.value == pytest.approx(seen.mean() - 3.0, abs=0.05)
    assert found.sd == pytest.approx(FADING_DB / 20.0, rel=0.1)
