"""Climb: injected drag and fill come back, and too little of a climb tells nothing."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.chances.ensemble import Ensemble
from farglide.live.rehearse.surprises import Changes
from farglide.review.climb import LEAST_STRETCHES, climb_shown, drag_sd, with_climb
from farglide.review.parted import parted
from farglide.sortie.known import Known
from farglide.track.drift import Been

from .made import Made, been, fixes_of, flight


def carried(planned: Ensemble, made: Made) -> Been:
    return parted(made.flown, planned.sortie.launch, planned.air.scene).carried


def test_a_climb_as_planned_shows_the_drag_of_the_plan(
    planned: Ensemble, demo_sounding: Sounding, as_told: Made
) -> None:
    found = climb_shown(planned.sortie, demo_sounding, carried(planned, as_told))
    assert found.drag is not None
    assert found.drag.value == pytest.approx(1.0, abs=0.02)
    assert 0.009 < found.drag.sd < 0.05


@pytest.mark.parametrize("factor", [0.8, 1.15])
def test_injected_drag_comes_back_within_5_percent(
    planned: Ensemble, demo_sounding: Sounding, factor: float
) -> None:
    balloon = planned.sortie.balloon
    other = replace(balloon, drag_factor=Known(value=factor))
    true = replace(planned, sortie=replace(planned.sortie, balloon=other))
    made = flight(true, Changes(), 0, 4500.0)
    found = climb_shown(planned.sortie, demo_sounding, carried(planned, made))
    assert found.drag is not None
    assert found.drag.value == pytest.approx(factor, rel=0.02)


def test_drawn_drag_comes_back_within_5_percent_and_within_its_error(
    planned: Ensemble, demo_sounding: Sounding, drawn: Callable[[int], Made]
) -> None:
    off, scores = [], []
    for seed in range(1, 9):
        made = drawn(seed)
        # one factor for the whole climb here: its drag is that of the speed squared
        true = made.truth.drawn.swarm.climb_factor[0, 0] ** -2.0
        found = climb_shown(planned.sortie, demo_sounding, carried(planned, made)).drag
        assert found is not None
        off.append(found.value / true - 1.0)
        scores.append((found.value - true) / found.sd)
    assert np.abs(off).max() < 0.05
    assert np.sqrt(np.mean(np.square(scores))) < 1.6


@pytest.mark.parametrize("seed", [0, 1, 2, 3])
def test_a_fill_200_g_too_strong_is_found_in_five_minutes(
    planned: Ensemble, demo_sounding: Sounding, seed: int
) -> None:
    """Of a crew that did not weigh it; in the case of one drag that figures elsewhere have."""
    balloon = planned.sortie.balloon
    lift = Known(value=balloon.neck_lift_kg.value, sd=0.3)
    doubt = replace(planned.sortie.doubt, ascent_ratio=0.03)
    unsure = replace(planned.sortie, balloon=replace(balloon, neck_lift_kg=lift), doubt=doubt)
    made = flight(planned, Changes(less_neck_kg=-0.2), 0, None)
    heard = replace(made.flown, fixes=fixes_of(planned.sortie.launch, made.path, seed, 400.0))
    rows = carried(planned, made._replace(flown=heard))
    early = Been(*(one[rows.t_s <= 300.0] for one in rows))
    found = climb_shown(unsure, demo_sounding, early)
    assert found.neck_lift.value == pytest.approx(lift.value + 0.2, abs=0.15)
    assert found.neck_lift.sd < 0.25


def test_two_minutes_tell_nothing(planned: Ensemble, demo_sounding: Sounding) -> None:
    few = been([0.0, 60.0, 120.0, 200.0], [240.0, 540.0, 840.0, 1240.0])
    found = climb_shown(planned.sortie, demo_sounding, few)
    assert found.drag is None
    assert found.n_stretches < LEAST_STRETCHES
    assert found.neck_lift.value == planned.sortie.balloon.neck_lift_kg.value


def test_a_doubt_about_the_climb_counts_twice_for_the_drag(planned: Ensemble) -> None:
    sortie = planned.sortie
    assert drag_sd(sortie) == pytest.approx(0.1)
    plain = replace(sortie, doubt=replace(sortie.doubt, ascent_ratio=None))
    assert drag_sd(plain) == plain.balloon.drag_factor.sd


def test_a_balloon_always_lifts_what_hangs_below(planned: Ensemble) -> None:
    moved = with_climb(planned.sortie, 0.1, -0.9, 2.0)
    assert moved.balloon.neck_lift_kg.value == pytest.approx(1.02 * moved.hanging_kg)
    assert moved.balloon.drag_factor.value == pytest.approx(np.exp(0.1))
    before = planned.sortie.balloon.gas_warmer_k.value
    assert moved.balloon.gas_warmer_k.value == before + 2.0
