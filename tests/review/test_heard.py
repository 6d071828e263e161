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
    t_s = sortie.launch.t_s
    kept = tuple(one for one in as_told.flown.fixes if not 2000.0 < (one.t_s or 0.0) - t_s < 2600.0)
    flown = replace(as_told.flown, fixes=kept)
    spells = spells_of(ways_of(replace(planned, sortie=sortie), flown, whole))["picture"]
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


def positions(planned: Ensemble, flown: Flown, whole: Been) -> list[Spell]:
    """Return what is told of the picture's link if it were one for positions."""
    links = tuple(replace(one, purpose="position") if one.purpose == "picture" else one
                  for one in planned.sortie.links)  # fmt: skip
    sortie = replace(planned.sortie, links=links)
    return spells_of(ways_of(replace(planned, sortie=sortie), flown, whole))["picture"]


def told_at(made: Made, launch_t_s: float, at_s: list[float], feed: str) -> tuple[Fix, ...]:
    """Return the fixes of a flight that are nearest to some moments, as of a feed."""
    t_s = np.array([one.t_s for one in made.flown.fixes]) - launch_t_s
    rows = sorted({int(np.abs(t_s - at).argmin()) for at in at_s})
    return tuple(replace(made.flown.fixes[k], feed=feed) for k in rows)


def test_a_feed_that_tells_seldom_is_not_silent(planned: Ensemble, as_told: Made) -> None:
    """Fixes each 150 to 600 s, none missed."""
    launch = planned.sortie.launch
    whole = parted(as_told.flown, launch, planned.air.scene).whole
    for seed in range(5):
        steps = np.random.default_rng(seed).uniform(150.0, 600.0, 40)
        at_s = [one for one in np.cumsum(steps).tolist() if one < whole.t_s[-1]]
        fixes = told_at(as_told, launch.t_s, at_s, "tracker")
        spells = positions(planned, replace(as_told.flown, fixes=fixes), whole)
        assert len(spells) == len(fixes)
        assert {one.to_db for one in spells} == {math.inf}


def test_what_a_seldom_feed_owed_is_counted_once_each(planned: Ensemble, as_told: Made) -> None:
    launch = planned.sortie.launch
    whole = parted(as_told.flown, launch, planned.air.scene).whole
    at_s = [300.0 * k for k in range(1, 16) if not 6 <= k <= 10]  # five owed: 1800 to 3000 s
    fixes = told_at(as_told, launch.t_s, at_s, "tracker")
    spells = positions(planned, replace(as_told.flown, fixes=fixes), whole)
    # and once for the silence from 4500 s on, which does not end before it is down
    assert 5 <= sum(one.to_db == 0.0 for one in spells) <= 6
    assert sum(one.from_db == 0.0 for one in spells) == 10


def test_digits_off_the_picture_came_by_no_link_for_positions(
    planned: Ensemble, as_told: Made
) -> None:
    launch = planned.sortie.launch
    whole = parted(as_told.flown, launch, planned.air.scene).whole
    often = [10.0 * k for k in range(1, 60)]
    typed = told_at(as_told, launch.t_s, [*often, 1200.0, 2400.0], "typed")
    with pytest.raises(KeyError):
        positions(planned, replace(as_told.flown, fixes=typed), whole)
    heard = told_at(as_told, launch.t_s, [*often, 1200.0], "tracker")
    flown = replace(as_told.flown, fixes=(*heard, *typed[-1:]))
    silent = [one for one in positions(planned, flown, whole) if one.to_db == 0.0]
    # from 1.5 min after the last one before to 1 min before the next; once for all after 1200 s
    assert len(silent) == 8 + 1


def test_grades_that_alternate_count_once_a_minute(planned: Ensemble, as_told: Made) -> None:
    """Ten minutes are ten spells, however often the viewer changed his mind."""
    launch = planned.sortie.launch
    whole = parted(as_told.flown, launch, planned.air.scene).whole
    typed = tuple(Typed(t_s=launch.t_s + 1000.0 + 10.0 * k, entry=Grade(grade=3 + k % 2))
                  for k in range(60))  # fmt: skip
    flown = replace(as_told.flown, typed=typed, cars=())
    spells = spells_of(ways_of(planned, flown, whole))["picture"]
    assert len(spells) == 10
    found = offset_shown(spells, 0.0, 8.0)
    assert found is not None
    assert 0.9 < found.sd < 1.5
    middle = replace(flown, typed=typed[::6])  # 3 alone, on the whole minute
    low = offset_shown(spells_of(ways_of(planned, middle, whole))["picture"], 0.0, 8.0)
    assert low is not None
    assert found.value > low.value + 0.5  # between those of the two grades
