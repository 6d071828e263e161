"""Condition: what a climb so far makes of balloon and air: fill, leak, burst, and the winds."""

import numpy as np

from farglide.chances.ensemble import Ensemble
from farglide.chances.informed import LIKELY_RATIO, Informed
from farglide.chances.leaking import begun_s
from farglide.outlook.advice import AirNow, BurstAhead, FillNow, LeakNow
from farglide.outlook.ascent import Spread
from farglide.sim.core.shares import quantile_moment_s


def burst_ahead(ensemble: Ensemble) -> BurstAhead:
    """Return when it bursts, of the balloons whole now; NaN where so many never do."""
    climbs = ensemble.climbs
    since = climbs.burst_share.mean(axis=0)
    t = [quantile_moment_s(since, climbs.tracks.step_s, q) for q in (0.1, 0.5, 0.9)]
    known = np.flatnonzero(np.isfinite(climbs.tracks.amsl_m).any(axis=0))
    height = np.nanmedian(climbs.tracks.amsl_m[:, known], axis=0)
    z = [float(np.interp(one, climbs.tracks.step_s * known, height)) for one in t]
    return BurstAhead(after_launch_s=_spread(t), amsl_m=_spread(z))


def leak_now(known: Informed) -> LeakNow:
    """Return what is believed of a leak, and how high the balloons get, burst or not."""
    leaks, tracks = known.leaks, known.ensemble.climbs.tracks
    likely = leaks.chance_ratio >= LIKELY_RATIO
    tops_m = np.nanmax(tracks.amsl_m, axis=1)
    return LeakNow(
        chance_ratio=leaks.chance_ratio,
        since_after_launch_s=begun_s(leaks) if likely else None,
        top_amsl_m=_spread([float(one) for one in np.quantile(tops_m, [0.1, 0.5, 0.9])]),
        floats_since_after_launch_s=known.floats_since_s,
    )


def fill_now(ensemble: Ensemble) -> FillNow:
    """Return what the balloon lifts by its gas: as told, and as its climb has it in the draws."""
    balloon, fill = ensemble.sortie.balloon, ensemble.climbs.fill
    told = balloon.neck_lift_kg
    per_gas = (told.value + balloon.mass_kg) / fill.gas_kg
    lifts = per_gas * np.quantile(ensemble.draws.swarm.gas_kg, [0.1, 0.5, 0.9]) - balloon.mass_kg
    return FillNow(
        told_kg=told.value, told_sd_kg=told.sd, neck_lift_kg=_spread([float(one) for one in lifts])
    )


def air_now(known: Informed, here_m: float) -> AirNow:
    """Return what is known of the air below and above; weighed by layers alike."""
    sortie = known.ensemble.sortie
    middle_m = known.ensemble.air.column.middles_amsl_m
    below = (middle_m > sortie.launch.amsl_m) & (middle_m <= here_m)
    above = (middle_m > here_m) & (middle_m <= max(sortie.wish.wanted_amsl_m, here_m + 1000.0))
    ratio = known.air.home.known_ratio
    means = (float(ratio[some].mean()) if some.any() else 0.0 for some in (below, above))
    measured, ahead = means
    return AirNow(
        measured_ratio=measured, ahead_ratio=ahead, spread_ratio=float(known.spread_ratio.max())
    )


def _spread(points: list[float]) -> Spread:
    return Spread(p10=points[0], p50=points[1], p90=points[2])
