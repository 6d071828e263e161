"""Heights: the chance of a release by the height that the crew sees, rule by rule."""

from dataclasses import replace
from typing import Final

import numpy as np

from farglide.air.gauge import gauge_errors_m
from farglide.arrays import BoolArray, FloatArray, IntArray
from farglide.chances.ahead import let_go_after_bursts
from farglide.chances.chances import (
    LAST_BURST_RATIO,
    NOTHING_KNOWN,
    AfterBurst,
    Beforehand,
    Chances,
    chances_in,
    floors_under,
    opened_of,
    states_of_climb,
)
from farglide.chances.ensemble import Ensemble
from farglide.sim.core.release import Goals
from farglide.sim.core.rule import Readings, Rules, passages_s, states_by_rules, values_at
from farglide.sim.core.shares import weighted_points
from farglide.sim.core.states import States
from farglide.sim.reach.doors import Floors

STEP_M: Final = 250.0
"""Between heights of release: about 40 s of a usual climb."""
_NEARLY_ALL_RATIO: Final = 39.0 / 40.0
_FEWEST_RATIO: Final = 0.25
"""A height to which fewer would get, bursts left out, is no order: they top out below it."""
_MINUTE_S: Final = 60.0


def chances_of_heights(
    ensemble: Ensemble, step_m: float = STEP_M, goals: Goals | None = None
) -> Chances:
    """Return the chances of releases by heights all the way up; without goals, of the fields."""
    return chances_by(ensemble, rules_of(ensemble, step_m), goals)


def chances_by(
    ensemble: Ensemble, rules: Rules, goals: Goals | None = None, known: Beforehand = NOTHING_KNOWN
) -> Chances:
    """Return the chances of releases by some rules; without goals, of the fields."""
    goals = ensemble.goals if goals is None else goals
    known = known_of(ensemble, goals, known)
    found = chances_in(ensemble, let_go(ensemble, rules), goals, known)
    return replace(
        found,
        after_launch_s=np.maximum.accumulate(found.after_launch_s),
        amsl_m=rules.amsl_m,
        until_s=rules.until_s,
        by_height=rules.by_height,
    )


def chances_by_clock(
    ensemble: Ensemble,
    moments: IntArray,
    goals: Goals | None = None,
    known: Beforehand = NOTHING_KNOWN,
) -> Chances:
    """Return the chances of releases at moments of the climb alone, as `chances_by` counts them."""
    goals = ensemble.goals if goals is None else goals
    states = states_of_climb(ensemble, moments)
    return chances_in(ensemble, states, goals, known_of(ensemble, goals, known))


def known_of(ensemble: Ensemble, goals: Goals, known: Beforehand = NOTHING_KNOWN) -> Beforehand:
    """Return what all questions of the climb to some goals have in common, with what is known."""
    floors = floors_under(ensemble, goals) if known.floors is None else known.floors
    after = after_bursts(ensemble, goals, floors) if known.after is None else known.after
    return known._replace(after=after, floors=floors)


def let_go(ensemble: Ensemble, rules: Rules) -> States:
    """Return where each draw is when each rule lets it go."""
    climbs = ensemble.climbs
    return states_by_rules(climbs.tracks, climbs.burst_share, seen_of(ensemble), rules)


def rules_like(chances: Chances, moments: IntArray) -> Rules:
    """Return the rules that some of the chances were asked for."""
    return Rules(chances.amsl_m[moments], chances.until_s[moments], chances.by_height[moments])


def rules_of(ensemble: Ensemble, step_m: float = STEP_M) -> Rules:
    """Return a rule for each height of the climb, up to where hardly a balloon gets.

    The clock time of a rule is the minute by which 39 in 40 of the whole balloons that pass the
    height have passed it: nearly all are released by height, and a slow one not much later. Where
    no height is seen, every balloon is released when half of them have passed.
    """
    climbs, seen = ensemble.climbs, seen_of(ensemble)
    tracks = climbs.tracks
    heights_m = _heights_m(ensemble, step_m)
    passed_s = passages_s(seen.amsl_m, tracks.step_s, heights_m)
    burst = values_at(climbs.burst_share, np.nan_to_num(passed_s / tracks.step_s))
    whole = np.where(np.isnan(passed_s), 0.0, 1.0 - burst)
    kept = whole.mean(axis=0) > 1.0 - LAST_BURST_RATIO
    kept &= (~np.isnan(passed_s)).mean(axis=0) >= _FEWEST_RATIO
    kept[0] = True
    heights_m, passed_s, whole = heights_m[kept], passed_s[:, kept], whole[:, kept]
    by_height = heights_m <= seen.valid_to_m
    nearly_s = weighted_points(passed_s, whole, _NEARLY_ALL_RATIO)
    minute_s = _MINUTE_S * np.ceil(nearly_s / _MINUTE_S)
    half_s = np.maximum.accumulate(weighted_points(passed_s, whole, 0.5))
    until_s = np.where(by_height, np.maximum.accumulate(minute_s), half_s)
    return Rules(heights_m, until_s, by_height)


def _heights_m(ensemble: Ensemble, step_m: float) -> FloatArray:
    """Return the height at which the climb begins, and round heights above it to its top."""
    amsl_m = ensemble.climbs.tracks.amsl_m
    flying = ~np.isnan(amsl_m)
    begins_m = float(np.median(amsl_m[flying[:, _first(flying)], _first(flying)]))
    first_m = step_m * np.ceil(begins_m / step_m + 0.5)
    return np.append(begins_m, np.arange(first_m, float(np.nanmax(amsl_m)), step_m))


def _first(flying: BoolArray) -> int:
    return int(np.argmax(flying.any(axis=0)))


def seen_of(ensemble: Ensemble) -> Readings:
    """Return the height that the crew of each draw reads along its climb.

    One error a flight, as many deviations at every height: metres, and with a pressure gauge what
    its error in pascals is worth there.
    """
    spec, layers = ensemble.sortie.release, ensemble.air.column.layers
    amsl_m = ensemble.climbs.tracks.amsl_m
    sd_m = np.full(len(layers.rho_kgpm3), spec.seen_error_m)
    if spec.seen_by == "pressure":
        sd_m = np.hypot(sd_m, gauge_errors_m(layers, spec.gauge_error_pa))
    middles_m = ensemble.air.column.middles_amsl_m
    off_m = ensemble.draws.seen_normal[:, None] * np.interp(amsl_m, middles_m, sd_m)
    return Readings(amsl_m + off_m, spec.valid_to_amsl_m)


def after_bursts(ensemble: Ensemble, goals: Goals, floors: Floors | None = None) -> AfterBurst:
    """Return when each draw bursts, and the chance of what its crew lets go after that.

    It comes free of the remains in the stated share of bursts alone.
    """
    burst_s = ensemble.climbs.burst.after_launch_s
    if np.isnan(burst_s).all():
        return AfterBurst(burst_s, np.zeros((len(burst_s), len(goals.north_rad))))
    states = let_go_after_bursts(ensemble)
    free = ensemble.sortie.release.free_after_burst_ratio
    opened = opened_of(ensemble, states, goals, Beforehand(floors=floors))
    return AfterBurst(burst_s, free * opened.ratio[:, 0, :])
