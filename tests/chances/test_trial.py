"""Trials: coarser flights are the first draws of the plan's own, summed up for one field."""

from dataclasses import replace
from typing import Final

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.chances.decision import decide
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.chances.heights import chances_of_heights
from farglide.chances.trial import (
    Trial,
    coarse_trial,
    drift_axis_rad,
    median_burst_s,
    moments_of,
    summed_up,
    tried,
)
from farglide.errors import ContradictionError, InputError
from farglide.flightfile.flightfile import FlightFile
from farglide.sim.core.shares import weighted_medians
from farglide.sim.fly.passage import from_launch_m
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Sortie

COARSE: Final = Grain(
    n_draws=100, clock_s=60.0, prices_mps=(4.0, 12.0, 30.0, 100.0, 1000.0), slab=5, most_flown=8_000
)


@pytest.fixture(scope="module")
def sortie(demo_flight: FlightFile) -> Sortie:
    return demo_flight.sortie


@pytest.fixture(scope="module")
def full(sortie: Sortie, demo_sounding: Sounding) -> Ensemble:
    return drawn_ensemble(sortie, demo_sounding, replace(COARSE, n_draws=250))


def test_small_questions_are_the_first_of_the_plan_s_own(
    full: Ensemble, sortie: Sortie, demo_sounding: Sounding
) -> None:
    first = drawn_ensemble(sortie, demo_sounding, COARSE)
    amsl_m = first.climbs.tracks.amsl_m
    assert full.climbs.tracks.amsl_m[:100, : amsl_m.shape[1]].tobytes() == amsl_m.tobytes()
    assert coarse_trial(full, None).ensemble.grain == replace(COARSE, n_draws=200)
    fine = drawn_ensemble(sortie, demo_sounding, Grain(n_draws=60, prices_mps=(8.0,)))
    assert coarse_trial(fine, None).ensemble.grain == replace(COARSE, n_draws=60)


def test_only_the_chosen_field_is_tried(full: Ensemble) -> None:
    decision = decide(full, chances_of_heights(full))
    assert decision is not None
    other = replace(decision, field=1, above_wanted=False)
    above, low = coarse_trial(full, decision).ensemble, coarse_trial(full, other).ensemble
    assert above.sortie.fields == (full.sortie.fields[decision.field],)
    assert above.sortie.wish == full.sortie.wish
    assert low.sortie.fields == (full.sortie.fields[1],)
    # where nothing above the wanted height is worth it the whole climb is looked at
    assert low.sortie.wish == replace(full.sortie.wish, wanted_amsl_m=0.0)
    assert len(coarse_trial(full, None).ensemble.sortie.fields) == 4


def test_without_fields_nothing_is_summed_up(sortie: Sortie, demo_sounding: Sounding) -> None:
    bare = summed_up(drawn_ensemble(replace(sortie, fields=()), demo_sounding, COARSE))
    assert (bare.chance_ratio, bare.shut_s) == (0.0, 0.0)
    assert np.isnan(bare.release_by_s)


def test_a_change_that_leaves_what_is_possible_has_no_trial(full: Ensemble) -> None:
    def refused() -> Ensemble:
        raise InputError("n_draws", 0, "1 to 1 000 000")

    def contradicted() -> Ensemble:
        raise ContradictionError("The neck lift is less than what hangs below.", "Fill more.")

    assert tried(refused) is None
    assert tried(contradicted) is None
    found = tried(lambda: full)
    assert found is not None
    assert found.ensemble is full


def test_moments_end_where_hardly_a_balloon_is_left(full: Ensemble) -> None:
    moments, share = moments_of(full), full.climbs.burst_share.mean(axis=0)
    assert moments.tolist() == list(range(len(moments)))
    assert share[moments[-1]] < 0.995
    assert (share[moments[-1] + 1 :] >= 0.995).all()


def test_half_the_balloons_have_burst_by_the_median(full: Ensemble) -> None:
    j = round(median_burst_s(full) / full.climbs.tracks.step_s)
    share = full.climbs.burst_share.mean(axis=0)
    assert share[j - 1] < 0.5 <= share[j]


def test_where_none_bursts_the_climb_ends_when_the_middle_balloon_is_highest(
    full: Ensemble,
) -> None:
    whole = np.zeros_like(full.climbs.burst_share)
    never = replace(full, climbs=replace(full.climbs, burst_share=whole))
    tracks = full.climbs.tracks
    flying = (~np.isnan(tracks.amsl_m)).mean(axis=0) > 0.5
    middle = np.nanmedian(tracks.amsl_m[:, : int(flying.sum())], axis=0)
    assert median_burst_s(never) == np.argmax(middle) * tracks.step_s


@pytest.fixture(scope="module")
def base(sortie: Sortie, demo_sounding: Sounding) -> Trial:
    return summed_up(drawn_ensemble(sortie, demo_sounding, COARSE))


def test_the_drift_axis_points_to_where_the_balloons_are(base: Trial) -> None:
    ensemble = base.ensemble
    j = round(median_burst_s(ensemble) / ensemble.climbs.tracks.step_s)
    at = np.stack(
        [ensemble.climbs.tracks.north_rad[:, j], ensemble.climbs.tracks.east_rad[:, j]], axis=1
    )
    north, east = weighted_medians(at, np.ones_like(at))
    east_m, north_m = from_launch_m(ensemble.air.scene, float(north), float(east))
    assert drift_axis_rad(ensemble) == pytest.approx(np.arctan2(east_m, north_m), abs=0.01)
