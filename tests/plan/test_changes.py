"""Gains: each change moves the chance the right way, and tells what really making it would."""

import re
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.atlas.fields import Field
from farglide.chances.chances import Chances
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.chances.heights import chances_of_heights
from farglide.chances.spells import gaps_s
from farglide.chances.trial import Trial, best_chance, median_burst_s, summed_up
from farglide.earth.geodesy import destination
from farglide.earth.state import Place, place_deg
from farglide.plan.changes import (
    CHANGES,
    added_field,
    gains,
    latest_delay_s,
    waits,
    waits_from,
)
from farglide.sim.fly.passage import from_launch_m
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Sortie


@pytest.fixture(scope="module")
def sortie(base: Trial) -> Sortie:
    return base.ensemble.sortie


@pytest.fixture(scope="module")
def coarse(base: Trial) -> Grain:
    return base.ensemble.grain


Alike = Callable[[Trial, Trial], bool]


@pytest.fixture(scope="module")
def asked_gains(base: Trial) -> dict[str, tuple[float, float, float]]:
    found = gains(base, None)
    assert [g.chance_ratio for g in found] == pytest.approx(
        sorted((g.chance_ratio for g in found), reverse=True), abs=0.011
    )
    return {g.what: (g.chance_ratio, g.shut_s, g.release_by_shift_s) for g in found}


# --- one change ----------------------------------------------------------------------------------


def test_a_better_glider_has_better_odds_and_shuts_home_for_less_time(
    base: Trial, asked_gains: dict[str, tuple[float, float, float]]
) -> None:
    better, worse = (asked_gains[f"a glide ratio 10 % {what}"] for what in ("better", "worse"))
    assert better[0] > base.chance_ratio > worse[0]  # all of them near 1
    assert better[1] < base.shut_s - 120.0
    assert worse[1] > base.shut_s + 120.0


def test_a_home_at_the_edge_gains_and_loses_by_the_glide(
    sortie: Sortie, demo_sounding: Sounding, coarse: Grain
) -> None:
    # 30 km beyond the home of the demo, seen from the burst
    home = sortie.fields[0]
    at = Place(lat_deg=home.lat_deg, lon_deg=home.lon_deg, amsl_m=home.amsl_m)
    there = destination(at, 310.0, 30_000.0)
    far = replace(home, lat_deg=there.lat_deg, lon_deg=there.lon_deg)
    base = summed_up(drawn_ensemble(replace(sortie, fields=(far,)), demo_sounding, coarse))
    changes = dict(CHANGES)
    better, worse = (
        summed_up(changes[f"a glide ratio 10 % {what}"](base.ensemble))
        for what in ("better", "worse")
    )
    assert 0.5 < base.chance_ratio < 0.95
    assert better.chance_ratio > base.chance_ratio + 0.05
    assert worse.chance_ratio < base.chance_ratio - 0.05
    assert better.shut_s < base.shut_s < worse.shut_s


def test_one_speed_at_every_height_never_brings_it_home_from_on_high(
    asked_gains: dict[str, tuple[float, float, float]],
) -> None:
    # tests/by_hand finds home shut from T+20 to T+80.5 at the one still-air speed
    chance, shut_s, _ = asked_gains["the speed of best glide held at every height"]
    assert chance < 0.05
    assert shut_s > 3600.0


def test_more_gas_bursts_sooner_and_lower_and_drifts_less(base: Trial) -> None:
    changes = dict(CHANGES)
    found = []
    for what in ("100 g less neck lift", "", "100 g more neck lift"):
        ensemble = changes[what](base.ensemble) if what else base.ensemble
        burst = ensemble.climbs.burst
        middle = (np.median(burst.north_rad), np.median(burst.east_rad))
        drift_m = np.hypot(*from_launch_m(ensemble.air.scene, *map(float, middle)))
        found.append((np.median(burst.after_launch_s), np.median(burst.amsl_m), drift_m))
    for before, after in pairwise(found):
        assert after[0] < before[0] - 60.0
        assert after[1] < before[1] - 50.0
        assert after[2] < before[2] - 500.0


def test_less_gas_than_lifts_is_not_asked_for(base: Trial, sortie: Sortie) -> None:
    weak = replace(
        sortie,
        balloon=replace(
            sortie.balloon,
            neck_lift_kg=replace(sortie.balloon.neck_lift_kg, value=1.06 * sortie.hanging_kg),
        ),
    )
    changed = dict(CHANGES)["100 g less neck lift"](replace(base.ensemble, sortie=weak))
    assert changed.sortie.balloon.neck_lift_kg.value == pytest.approx(1.05 * sortie.hanging_kg)


@pytest.mark.parametrize("what", [what for what, _ in CHANGES])
def test_a_change_answers_as_the_changed_flight_drawn_afresh(
    demo_sounding: Sounding,
    loose: Trial,
    what: str,
    alike: Alike,
    keep_minutes: Callable[[Ensemble], None],
) -> None:
    keep_minutes(loose.ensemble)
    before, changed = loose.ensemble, dict(CHANGES)[what](loose.ensemble)
    assert (changed.sortie, changed.grain) != (before.sortie, before.grain)
    fresh = drawn_ensemble(changed.sortie, demo_sounding, changed.grain)
    assert alike(summed_up(changed), summed_up(fresh))


def test_the_held_speed_answers_as_the_flight_drawn_afresh_with_it(
    sortie: Sortie,
    demo_sounding: Sounding,
    base: Trial,
    coarse: Grain,
    asked_gains: dict[str, tuple[float, float, float]],
) -> None:
    held = replace(coarse, held_eas_mps=base.ensemble.craft.best_eas_mps)
    fresh = summed_up(drawn_ensemble(sortie, demo_sounding, held))
    found = asked_gains["the speed of best glide held at every height"]
    assert found[:2] == (fresh.chance_ratio, fresh.shut_s)


# --- one more field ------------------------------------------------------------------------------


def home_alone(
    sortie: Sortie, sounding: Sounding, coarse: Grain
) -> tuple[Ensemble, Chances, float]:
    ensemble = drawn_ensemble(replace(sortie, fields=sortie.fields[:1]), sounding, coarse)
    return ensemble, chances_of_heights(ensemble), median_burst_s(ensemble)


def test_the_added_field_closes_the_gap_it_says(
    sortie: Sortie, demo_sounding: Sounding, coarse: Grain
) -> None:
    ensemble, chances, burst_s = home_alone(sortie, demo_sounding, coarse)
    gaps = gaps_s(chances, sortie.wish, burst_s)
    (gain,) = added_field(summed_up(ensemble), chances, gaps)
    where = re.search(r"(\d+) km [-a-z]+ of the launch, at (\d+)°", gain.what)
    closes = re.search(r"closes (\d+) of the (\d+) min", gain.advice)
    assert where is not None
    assert closes is not None
    away_m, bearing = 1000.0 * float(where[1]), np.radians(float(where[2]))
    frame = ensemble.air.scene.frame
    lat_deg, lon_deg = place_deg(
        sortie.launch,
        float(away_m * np.cos(bearing) / frame.meridian_m),
        float(away_m * np.sin(bearing) / (frame.normal_m * frame.cosine)),
    )
    field = Field(name="new", lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=sortie.fields[0].amsl_m)
    prepared = replace(sortie, fields=(sortie.fields[0], field))
    after = drawn_ensemble(prepared, demo_sounding, coarse)
    left = gaps_s(chances_of_heights(after), sortie.wish, burst_s)
    before_min = sum(b - a for a, b in gaps) / 60.0
    left_min = sum(b - a for a, b in left) / 60.0
    assert before_min == pytest.approx(float(closes[2]), abs=1.0)
    assert before_min - left_min == pytest.approx(float(closes[1]), abs=4.0)
    assert float(closes[1]) > 0.5 * before_min


def test_no_gap_asks_for_no_field(base: Trial) -> None:
    assert added_field(base, base.chances, []) == ()
    assert added_field(base, base.chances, [(1000.0, 1050.0)]) == ()


# --- waiting -------------------------------------------------------------------------------------


def test_odds_fall_with_the_delay(base: Trial) -> None:
    found = waits(base)
    assert [w.delay_s for w in found] == [600.0 * i for i in range(len(found))]
    assert found[0].chance_ratio == base.chance_ratio
    for before, after in pairwise(found):
        assert after.chance_ratio <= before.chance_ratio + 1e-12
    # packs end at T+126.9: half an hour later the quickest way home (T+107) is just too late
    assert found[-1].chance_ratio < 0.05
    assert 1800.0 <= found[-1].delay_s <= 3600.0


def test_a_wait_is_what_a_later_launch_with_the_packs_on_gives(
    sortie: Sortie, demo_sounding: Sounding, coarse: Grain, base: Trial
) -> None:
    found = {w.delay_s: w.chance_ratio for w in waits(base)}
    late = summed_up(drawn_ensemble(sortie, demo_sounding, replace(coarse, delay_s=1800.0)))
    best = best_chance(late.ensemble, late.chances, 0)
    assert found[1800.0] == pytest.approx(best, abs=1e-12)


def test_waits_begin_with_the_chance_of_the_plan_itself(base: Trial) -> None:
    """Fewer draws are asked for them: beside the answer they would tell another number."""
    found = waits(base)
    low = found[1].chance_ratio - 0.01
    told = waits_from(found, low)
    assert [one.delay_s for one in told] == [one.delay_s for one in found]
    assert told[0].chance_ratio == told[1].chance_ratio == low
    assert told[-1] == found[-1]
    assert waits_from((), 0.9) == ()


def test_latest_delay_is_the_last_that_keeps_the_odds(base: Trial) -> None:
    found = waits(base)
    latest = latest_delay_s(found, 0.5)
    assert latest is not None
    for wait in found:
        assert (wait.chance_ratio >= 0.5 * found[0].chance_ratio) == (wait.delay_s <= latest)
    assert latest_delay_s(found[:1], 0.95) is None
    assert latest_delay_s((), 0.95) is None


def test_without_fields_nothing_is_asked(
    sortie: Sortie, demo_sounding: Sounding, coarse: Grain
) -> None:
    bare = summed_up(drawn_ensemble(replace(sortie, fields=()), demo_sounding, coarse))
    assert waits(bare) == gains(bare, None) == ()
    assert added_field(bare, bare.chances, [(0.0, 3000.0)]) == ()
