"""What-ifs: each moves the odds the right way, and tells what really making the change would."""

import re
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from typing import Final

import numpy as np
import pytest

from farglide.air.column import Sounding
from farglide.atlas.fields import Field
from farglide.chances.advise import Advice, advise
from farglide.chances.decide import gaps_s
from farglide.chances.offsets import place_deg
from farglide.chances.stage import Stage, set_stage
from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.outlook import LaunchSpot
from farglide.plan.unknowns import UNKNOWNS, _shifted, unknowns
from farglide.plan.whatif import (
    _CHANGES,
    Small,
    added_field,
    best_odds,
    drift_axis_rad,
    gains,
    holds,
    latest_delay_s,
    launch_spots,
    median_burst_s,
    moments_of,
    small,
    small_asked,
    summed_up,
)
from farglide.sim.core.odds import weighted_medians
from farglide.sim.fly.passage import east_north_m
from farglide.sortie.grain import Asked
from farglide.sortie.spec import Sortie, Tag

ASKED: Final = small_asked(Asked(n_draws=100))


@pytest.fixture(scope="module")
def sortie(demo_flight: FlightFile) -> Sortie:
    return demo_flight.sortie


@pytest.fixture(scope="module")
def base(sortie: Sortie, demo_sounding: Sounding) -> Small:
    return summed_up(set_stage(sortie, demo_sounding, ASKED))


@pytest.fixture(scope="module")
def spots(base: Small) -> tuple[LaunchSpot, ...]:
    return launch_spots(base)


@pytest.fixture(scope="module")
def asked_gains(
    base: Small, demo_sounding: Sounding, spots: tuple[LaunchSpot, ...]
) -> dict[str, tuple[float, float, float]]:
    found = gains(base, demo_sounding, spots)
    assert [g.odds_ratio for g in found] == pytest.approx(
        sorted((g.odds_ratio for g in found), reverse=True), abs=0.011
    )
    return {g.what: (g.odds_ratio, g.shut_s, g.release_by_shift_s) for g in found}


def alike(a: Small, b: Small) -> bool:
    """Tell whether two answers agree in every bit."""
    for name in (one for one in Advice.__slots__ if one != "holding"):
        if getattr(a.advice, name).tobytes() != getattr(b.advice, name).tobytes():
            return False
    return (a.odds_ratio, a.shut_s, a.release_by_s) == (b.odds_ratio, b.shut_s, b.release_by_s)


# --- one change ----------------------------------------------------------------------------------


def test_a_better_glider_has_better_odds_and_shuts_home_for_less_time(
    base: Small, asked_gains: dict[str, tuple[float, float, float]]
) -> None:
    better, worse = asked_gains["L/D 10 % better"], asked_gains["L/D 10 % worse"]
    assert better[0] > base.odds_ratio + 0.02
    assert worse[0] < base.odds_ratio - 0.02
    assert better[1] < base.shut_s < worse[1]


def test_one_speed_at_every_height_never_brings_it_home_from_on_high(
    asked_gains: dict[str, tuple[float, float, float]],
) -> None:
    # an independent script found home shut from T+20 to T+80.5 at the one still-air speed
    odds, shut_s, _ = asked_gains["best-glide speed held at every height"]
    assert odds < 0.05
    assert shut_s > 3600.0


def test_more_gas_bursts_sooner_and_lower_and_drifts_less(
    sortie: Sortie, demo_sounding: Sounding, base: Small
) -> None:
    changes = dict(_CHANGES)
    found = []
    for what in ("100 g less neck lift", "", "100 g more neck lift"):
        changed = changes[what](sortie) if what else sortie
        stage = small(changed, demo_sounding, ASKED, base.stage).stage
        burst = stage.burst
        middle = (np.median(burst.north_rad), np.median(burst.east_rad))
        drift_m = np.hypot(*east_north_m(stage.scene, *map(float, middle)))
        found.append((np.median(burst.after_launch_s), np.median(burst.amsl_m), drift_m))
    for before, after in pairwise(found):
        assert after[0] < before[0] - 60.0
        assert after[1] < before[1] - 50.0
        assert after[2] < before[2] - 500.0


def test_less_gas_than_lifts_is_not_asked_for(sortie: Sortie) -> None:
    weak = replace(
        sortie,
        balloon=replace(
            sortie.balloon,
            neck_lift_kg=replace(sortie.balloon.neck_lift_kg, value=1.06 * sortie.hanging_kg),
        ),
    )
    changed = dict(_CHANGES)["100 g less neck lift"](weak)
    assert changed.balloon.neck_lift_kg.value == pytest.approx(1.05 * sortie.hanging_kg)


# --- what is taken over from the stage before ----------------------------------------------------

SHIFTS: Final[list[tuple[str, Callable[[Sortie], Sortie]]]] = [
    *_CHANGES,
    *((f"{key} {sign:+g}", _shifted(section, name, sign))
      for key, _, section, name, _ in UNKNOWNS for sign in (1.0, -1.0)
      if key.rpartition(".")[2] not in ("reaction", "drag_coefficient", "drag_factor",
                                        "span_efficiency_ratio")),
]  # fmt: skip


def _loose(sortie: Sortie) -> Sortie:
    """Return a sortie with every number away from its bound, so that a shift can move it."""
    glider = replace(sortie.glider, span_efficiency=0.75, flown_ratio=0.85)
    heading = replace(sortie.drop.heading_s, value=30.0, sd=10.0)
    warm = replace(sortie.balloon.gas_warmer_k, value=5.0, sd=2.0)
    return replace(
        sortie,
        glider=glider,
        drop=replace(sortie.drop, heading_s=heading),
        balloon=replace(sortie.balloon, gas_warmer_k=warm),
    )


@pytest.fixture(scope="module")
def loose(sortie: Sortie, demo_sounding: Sounding) -> Small:
    return summed_up(set_stage(_loose(sortie), demo_sounding, ASKED))


@pytest.mark.parametrize(("what", "change"), SHIFTS, ids=[what for what, _ in SHIFTS])
def test_a_what_if_answers_as_if_nothing_was_taken_over(
    demo_sounding: Sounding, loose: Small, what: str, change: Callable[[Sortie], Sortie]
) -> None:
    changed = change(loose.stage.sortie)
    assert changed != loose.stage.sortie, what
    taken = small(changed, demo_sounding, ASKED, loose.stage)
    assert alike(taken, summed_up(set_stage(changed, demo_sounding, ASKED)))


def test_a_held_speed_answers_as_if_nothing_was_taken_over(
    sortie: Sortie, demo_sounding: Sounding, base: Small
) -> None:
    held = replace(ASKED, held_eas_mps=11.0)
    assert alike(
        small(sortie, demo_sounding, held, base.stage),
        summed_up(set_stage(sortie, demo_sounding, held)),
    )


def test_a_heavier_glider_takes_no_climb_over(
    sortie: Sortie, demo_sounding: Sounding, base: Small
) -> None:
    heavy = replace(sortie, glider=replace(sortie.glider, mass_kg=0.8))
    found = small(heavy, demo_sounding, ASKED, base.stage)
    assert alike(found, summed_up(set_stage(heavy, demo_sounding, ASKED)))
    assert np.median(found.stage.burst.after_launch_s) > np.median(
        base.stage.burst.after_launch_s
    )  # the same neck lift has to lift more: slower


# --- launching elsewhere -------------------------------------------------------------------------


def spot_at(spots: tuple[LaunchSpot, ...], up_m: float, across_m: float) -> LaunchSpot:
    return next(s for s in spots if (s.up_drift_m, s.across_m) == (up_m, across_m))


def test_the_spot_of_the_launch_itself_has_the_plan_s_odds(
    base: Small, spots: tuple[LaunchSpot, ...]
) -> None:
    here = spot_at(spots, 0.0, 0.0)
    every_second = advise(base.stage, moments_of(base.stage)[::2])
    assert here.odds_ratio == best_odds(base.stage, every_second, 0)
    assert here.odds_ratio == pytest.approx(base.odds_ratio, abs=0.01)
    assert here.shut_s == pytest.approx(base.shut_s, abs=120.0)


@pytest.mark.parametrize(
    ("up_m", "across_m"),
    [(10_000.0, 0.0), (-20_000.0, 0.0), (40_000.0, 0.0), (0.0, 20_000.0), (0.0, -20_000.0),
     (20_000.0, -20_000.0), (-10_000.0, 20_000.0)],
)  # fmt: skip
def test_a_spot_tells_what_really_moving_the_launch_gives(
    sortie: Sortie,
    demo_sounding: Sounding,
    base: Small,
    spots: tuple[LaunchSpot, ...],
    up_m: float,
    across_m: float,
) -> None:
    """Up-drift is against the drift, positive across is to the left of it."""
    axis, frame = drift_axis_rad(base.stage), base.stage.scene.frame
    north_m = -up_m * np.cos(axis) + across_m * np.sin(axis)
    east_m = -up_m * np.sin(axis) - across_m * np.cos(axis)
    lat_deg, lon_deg = place_deg(
        base.stage,
        float(north_m / frame.meridian_m),
        float(east_m / (frame.normal_m * frame.cosine)),
    )
    launch = replace(sortie.launch, lat_deg=lat_deg, lon_deg=lon_deg)
    moved = summed_up(set_stage(replace(sortie, launch=launch), demo_sounding, ASKED))
    spot = spot_at(spots, up_m, across_m)
    assert spot.odds_ratio == pytest.approx(moved.odds_ratio, abs=0.02)
    assert spot.shut_s == pytest.approx(moved.shut_s, abs=240.0)
    assert spot.release_by_after_launch_s == pytest.approx(moved.release_by_s, abs=180.0)


def test_the_two_sides_of_the_drift_differ(spots: tuple[LaunchSpot, ...]) -> None:
    """Else a mirrored sign would not be seen by the test above."""
    left, right = spot_at(spots, 0.0, 20_000.0), spot_at(spots, 0.0, -20_000.0)
    assert right.odds_ratio - left.odds_ratio > 0.02


def test_the_best_spot_is_offered_with_the_odds_it_has(
    spots: tuple[LaunchSpot, ...], asked_gains: dict[str, tuple[float, float, float]]
) -> None:
    (what,) = [w for w in asked_gains if w.startswith("launch ")]
    found = re.fullmatch(
        r"launch (\d+) km( or more)? (up|down)-drift(?:, (\d+) km to its .*)?", what
    )
    assert found is not None
    up_m = 1000.0 * float(found[1]) * (1.0 if found[3] == "up" else -1.0)
    across_m = 1000.0 * float(found[4] or 0.0) * (1.0 if what.endswith("left") else -1.0)
    offered = spot_at(spots, up_m, across_m or 0.0)
    assert asked_gains[what][0] == offered.odds_ratio
    assert offered.odds_ratio >= max(s.odds_ratio for s in spots) - 0.011


# --- one more field ------------------------------------------------------------------------------


def home_alone(sortie: Sortie, sounding: Sounding) -> tuple[Stage, Advice, float]:
    stage = set_stage(replace(sortie, fields=sortie.fields[:1]), sounding, ASKED)
    return stage, advise(stage, moments_of(stage)), median_burst_s(stage)


def test_the_added_field_closes_the_gap_it_says(sortie: Sortie, demo_sounding: Sounding) -> None:
    stage, advice, burst_s = home_alone(sortie, demo_sounding)
    gaps = gaps_s(advice, sortie.wish, burst_s)
    (gain,) = added_field(summed_up(stage), advice, gaps)
    where = re.search(r"(\d+) km toward (\d+)°", gain.what)
    closes = re.search(r"closes (\d+) of the (\d+) min", gain.advice)
    assert where is not None
    assert closes is not None
    away_m, bearing = 1000.0 * float(where[1]), np.radians(float(where[2]))
    frame = stage.scene.frame
    lat_deg, lon_deg = place_deg(
        stage,
        float(away_m * np.cos(bearing) / frame.meridian_m),
        float(away_m * np.sin(bearing) / (frame.normal_m * frame.cosine)),
    )
    field = Field(name="new", lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=sortie.fields[0].amsl_m)
    prepared = replace(sortie, fields=(sortie.fields[0], field))
    after = set_stage(prepared, demo_sounding, ASKED)
    left = gaps_s(advise(after, moments_of(after)), sortie.wish, burst_s)
    before_min = sum(b - a for a, b in gaps) / 60.0
    left_min = sum(b - a for a, b in left) / 60.0
    assert before_min == pytest.approx(float(closes[2]), abs=1.0)
    assert before_min - left_min == pytest.approx(float(closes[1]), abs=4.0)
    assert float(closes[1]) > 0.5 * before_min


def test_no_gap_asks_for_no_field(base: Small) -> None:
    assert added_field(base, base.advice, []) == ()
    assert added_field(base, base.advice, [(1000.0, 1050.0)]) == ()


# --- waiting -------------------------------------------------------------------------------------


def test_holds_fall_with_the_delay(base: Small) -> None:
    found = holds(base)
    assert [h.delay_s for h in found] == [600.0 * i for i in range(len(found))]
    assert found[0].odds_ratio == base.odds_ratio
    for before, after in pairwise(found):
        assert after.odds_ratio <= before.odds_ratio + 1e-12
    # packs end at T+126.9: half an hour later the quickest way home (T+107) is just too late
    assert found[-1].odds_ratio < 0.05
    assert 1800.0 <= found[-1].delay_s <= 3600.0


def test_a_hold_is_what_a_later_launch_with_the_packs_on_gives(
    sortie: Sortie, demo_sounding: Sounding, base: Small
) -> None:
    found = {h.delay_s: h.odds_ratio for h in holds(base)}
    late = summed_up(set_stage(sortie, demo_sounding, replace(ASKED, delay_s=1800.0)))
    assert found[1800.0] == pytest.approx(late.odds_ratio, abs=1e-12)


def test_latest_delay_is_the_last_that_keeps_the_odds(base: Small) -> None:
    found = holds(base)
    latest = latest_delay_s(found, 0.5)
    assert latest is not None
    for hold in found:
        assert (hold.odds_ratio >= 0.5 * found[0].odds_ratio) == (hold.delay_s <= latest)
    assert latest_delay_s(found[:1], 0.95) is None
    assert latest_delay_s((), 0.95) is None


# --- what is not known ---------------------------------------------------------------------------


def tagged(sortie: Sortie, **tags: Tag) -> Sortie:
    known = dict.fromkeys(sortie.tags, Tag.MEASURED)
    return replace(sortie, tags=known | {k.replace("__", "."): t for k, t in tags.items()})


def test_only_guessed_and_typical_numbers_are_asked_about(
    sortie: Sortie, demo_sounding: Sounding, base: Small
) -> None:
    assert {u.what for u in unknowns(base, demo_sounding)} == {"balloon drag", "bursting diameter"}
    for tags, expected in (
        ({}, set()),
        ({"balloon__neck_lift_kg": Tag.GUESS}, {"neck lift"}),
        # a second more or less of reaction time moves nothing that a reader could see
        ({"crew__reaction_s": Tag.TYPICAL, "glider__glide_factor": Tag.GUESS}, {"L/D"}),
        ({"launch__amsl_m": Tag.GUESS, "train__line_kg": Tag.GUESS}, set()),
    ):  # fmt: skip
        stage = replace(base.stage, sortie=tagged(sortie, **tags))
        found = unknowns(replace(base, stage=stage), demo_sounding)
        assert {u.what for u in found} == expected


def test_unknowns_stand_dearest_first_and_tell_the_worse_side(
    demo_sounding: Sounding, loose: Small
) -> None:
    every = {key.replace(".", "__"): Tag.GUESS for key, *_ in UNKNOWNS}
    stage = replace(loose.stage, sortie=tagged(loose.stage.sortie, **every))
    found = unknowns(replace(loose, stage=stage), demo_sounding)
    assert len({u.what for u in found}) == len(found) >= 8
    shifts = [abs(u.release_by_shift_s) for u in found]
    assert shifts == sorted(shifts, reverse=True)
    for unknown in found:
        assert unknown.advice
        assert unknown.odds_ratio <= loose.odds_ratio + 0.02
    diameter = next(u for u in found if u.what == "bursting diameter")
    small_one = small(
        _shifted("balloon", "burst_diameter_m", -1.0)(loose.stage.sortie),
        demo_sounding,
        ASKED,
        loose.stage,
    )
    assert diameter.odds_ratio == small_one.odds_ratio


# --- summaries -----------------------------------------------------------------------------------


def test_the_drift_axis_points_to_where_the_balloons_are(base: Small) -> None:
    stage = base.stage
    j = round(median_burst_s(stage) / stage.tracks.step_s)
    at = np.stack([stage.tracks.north_rad[:, j], stage.tracks.east_rad[:, j]], axis=1)
    north, east = weighted_medians(at, np.ones_like(at))
    east_m, north_m = east_north_m(stage.scene, float(north), float(east))
    assert drift_axis_rad(stage) == pytest.approx(np.arctan2(east_m, north_m), abs=0.01)


def test_small_questions_are_the_first_of_the_plan_s_own(
    sortie: Sortie, demo_sounding: Sounding
) -> None:
    large = replace(ASKED, n_draws=150)
    full, first = (set_stage(sortie, demo_sounding, asked) for asked in (large, ASKED))
    assert full.tracks.amsl_m[:100].tobytes() == first.tracks.amsl_m.tobytes()
    assert small_asked(Asked(n_draws=60)).n_draws == 60
    assert small_asked(Asked(n_draws=5000)).n_draws == 200


def test_without_fields_nothing_is_asked(sortie: Sortie, demo_sounding: Sounding) -> None:
    bare = summed_up(set_stage(replace(sortie, fields=()), demo_sounding, ASKED))
    assert (bare.odds_ratio, bare.shut_s) == (0.0, 0.0)
    assert np.isnan(bare.release_by_s)
    assert launch_spots(bare) == holds(bare) == gains(bare, demo_sounding, ()) == ()
    assert added_field(bare, bare.advice, [(0.0, 3000.0)]) == ()


def test_in_other_air_nothing_is_taken_over(
    sortie: Sortie, demo_sounding: Sounding, base: Small
) -> None:
    """A stage of yesterday's winds lends nothing, neither its climbs nor its reach."""
    still = replace(
        demo_sounding,
        u_mps=np.zeros_like(demo_sounding.u_mps),
        v_mps=np.zeros_like(demo_sounding.v_mps),
    )
    lent = summed_up(set_stage(base.stage.sortie, still, ASKED, like=base.stage))
    fresh = summed_up(set_stage(base.stage.sortie, still, ASKED))
    assert alike(lent, fresh)
    assert lent.shut_s < base.shut_s
