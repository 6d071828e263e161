"""Trials: coarser flights are the first draws of the plan's own, summed up for one field."""

from dataclasses import replace
from typing import Final

import numpy as np
import pytest

from farglide.air.column import Sounding
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.chances.heights import chances_by, chances_of_heights, rules_like
from farglide.chances.trial import (
    ALONG_M,
    Trial,
    best_chance,
    coarse_trial,
    drift_axis_rad,
    launch_spots,
    median_burst_s,
    moments_of,
    summed_up,
    tried,
)
from farglide.chances.window import decide
from farglide.earth.state import place_deg
from farglide.errors import ContradictionError, InputError
from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.changes import LaunchSpot
from farglide.sim.core.shares import weighted_medians
from farglide.sim.fly.passage import from_launch_m
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Sortie

COARSE: Final = Grain(
    n_draws=100, clock_s=60.0, prices_mps=(4.0, 12.0, 30.0, 100.0, 1000.0), slab=5
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


@pytest.fixture(scope="module")
def spots(base: Trial) -> tuple[LaunchSpot, ...]:
    return launch_spots(base)


def spot_at(spots: tuple[LaunchSpot, ...], up_m: float, across_m: float) -> LaunchSpot:
    return next(s for s in spots if (s.up_drift_m, s.across_m) == (up_m, across_m))


def test_the_spot_of_the_launch_itself_has_the_plan_s_odds(
    base: Trial, spots: tuple[LaunchSpot, ...]
) -> None:
    here = spot_at(spots, 0.0, 0.0)
    every = np.arange(0, len(base.chances.amsl_m), 2)
    every_second = chances_by(base.ensemble, rules_like(base.chances, every))
    assert here.chance_ratio == best_chance(base.ensemble, every_second, 0)
    # the best of half the moments, of a hundred draws
    assert here.chance_ratio == pytest.approx(base.chance_ratio, abs=0.02)
    assert here.shut_s == pytest.approx(base.shut_s, abs=120.0)


@pytest.mark.parametrize(
    ("up_m", "across_m"),
    [(10_000.0, 0.0), (-20_000.0, 0.0), (40_000.0, 0.0), (0.0, 20_000.0), (0.0, -20_000.0),
     (20_000.0, -20_000.0), (-10_000.0, 20_000.0), (40_000.0, -20_000.0)],
)  # fmt: skip
def test_a_spot_tells_what_really_moving_the_launch_gives(
    sortie: Sortie,
    demo_sounding: Sounding,
    base: Trial,
    spots: tuple[LaunchSpot, ...],
    up_m: float,
    across_m: float,
) -> None:
    """Up-drift is against the drift, positive across is to the left of it."""
    axis, frame = drift_axis_rad(base.ensemble), base.ensemble.air.scene.frame
    north_m = -up_m * np.cos(axis) + across_m * np.sin(axis)
    east_m = -up_m * np.sin(axis) - across_m * np.cos(axis)
    lat_deg, lon_deg = place_deg(
        sortie.launch,
        float(north_m / frame.meridian_m),
        float(east_m / (frame.normal_m * frame.cosine)),
    )
    launch = replace(sortie.launch, lat_deg=lat_deg, lon_deg=lon_deg)
    moved = summed_up(drawn_ensemble(replace(sortie, launch=launch), demo_sounding, COARSE))
    spot = spot_at(spots, up_m, across_m)
    assert spot.chance_ratio == pytest.approx(moved.chance_ratio, abs=0.02)
    assert spot.shut_s == pytest.approx(moved.shut_s, abs=240.0)
    assert spot.release_by_after_launch_s == pytest.approx(moved.release_by_s, abs=180.0)


def test_a_launch_on_the_field_s_side_of_the_drift_is_the_better_one(
    sortie: Sortie, demo_sounding: Sounding, base: Trial
) -> None:
    """A home 20 km to the left of the drift: launched from there, it is as good as home was."""
    axis, frame = drift_axis_rad(base.ensemble), base.ensemble.air.scene.frame
    lat_deg, lon_deg = place_deg(
        sortie.launch,
        float(20_000.0 * np.sin(axis) / frame.meridian_m),
        float(-20_000.0 * np.cos(axis) / (frame.normal_m * frame.cosine)),
    )
    home = replace(sortie.fields[0], lat_deg=lat_deg, lon_deg=lon_deg)
    aside = summed_up(drawn_ensemble(replace(sortie, fields=(home,)), demo_sounding, COARSE))
    spots = launch_spots(aside)
    left, right = spot_at(spots, 0.0, 20_000.0), spot_at(spots, 0.0, -20_000.0)
    assert left.chance_ratio == pytest.approx(base.chance_ratio, abs=0.02)
    assert right.shut_s - left.shut_s > 600.0


def test_the_drift_axis_points_to_where_the_balloons_are(base: Trial) -> None:
    ensemble = base.ensemble
    j = round(median_burst_s(ensemble) / ensemble.climbs.tracks.step_s)
    at = np.stack(
        [ensemble.climbs.tracks.north_rad[:, j], ensemble.climbs.tracks.east_rad[:, j]], axis=1
    )
    north, east = weighted_medians(at, np.ones_like(at))
    east_m, north_m = from_launch_m(ensemble.air.scene, float(north), float(east))
    assert drift_axis_rad(ensemble) == pytest.approx(np.arctan2(east_m, north_m), abs=0.01)


def test_spots_lie_on_a_grid_around_the_launch(spots: tuple[LaunchSpot, ...]) -> None:
    assert {s.up_drift_m for s in spots} == set(ALONG_M)
    assert len({(s.up_drift_m, s.across_m) for s in spots}) == len(spots) == 5 * len(ALONG_M)


def test_without_fields_there_is_nowhere_to_launch(sortie: Sortie, demo_sounding: Sounding) -> None:
    bare = drawn_ensemble(replace(sortie, fields=()), demo_sounding, COARSE)
    assert launch_spots(summed_up(bare)) == ()
