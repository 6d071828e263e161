"""Informed: the draws of a flight as its own climb so far has made them."""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.chances.ensemble import Ensemble, with_winds
from farglide.chances.leaking import Told, begun_s, holed_of, leaking_ahead, leaks_in
from farglide.chances.paths import Since, aloft_at_fix, aloft_by, paths_of
from farglide.chances.sighted import Aired, joined, lines_of, moved_by
from farglide.errors import InputError
from farglide.rig.airdoubts import air_doubts_of
from farglide.rig.doubts import doubts_of
from farglide.sim.core.airerrors import AirDoubts, AirErrors
from farglide.sim.core.draws import draw_air, normals
from farglide.sim.core.learnt import Learnt, Measured, learnt, scaled, with_learnt
from farglide.sim.core.scene import Swarm
from farglide.sim.core.spread import spread_ratios
from farglide.sim.fly.climb import Aloft
from farglide.track.climbfit import fitted, timed_climb
from farglide.track.drift import Been, measured_winds
from farglide.track.floating import floats_since_s
from farglide.track.leakfit import Leaks
from farglide.track.read import NOTHING, Read, with_heights

_WIND_SEED: Final = 1_000_003
_CLIMB_SEED: Final = 2_000_003
"""What is added to the seed of the draws for the errors of measuring: none is drawn twice."""
LIKELY_RATIO: Final = 0.5
"""From this chance on a leak is what the crew is told of."""
_WIDE_ALIKE: Final = 0.05
"""Deep errors as wide as told, within so much, are left as they were drawn."""


class Informed(NamedTuple):
    """An ensemble that agrees with what was seen, and what was learnt of its air.

    `from_s`: its climbs go on from then; `placed_s`, `height_s`: when place and height were told
    last. All after the launch.
    """

    ensemble: Ensemble
    measured: Measured
    air: Learnt
    spread_ratio: FloatArray  # (n_layers,): as wide as told times this the winds' errors look
    leaks: Leaks
    from_s: float
    placed_s: float
    height_s: float
    floats_since_s: float | None  # it climbs no more; None while it does


def informed(
    before: Ensemble, been: Been, place_sd_m: float, until_s: float, read: Read = NOTHING
) -> Informed:
    """Return the draws as a climb has made them: their air, their balloons, and where they are.

    `before`: as planned, its climbs from the hand; `been`: the balloon's own fixes, their times
    after the launch; `place_sd_m`: of a fix; `until_s`: the end of the climbs ahead, after the
    launch. The climbs go on from the last fix. The same numbers are drawn for the same stretches,
    so more fixes move each draw on. Raises InputError.
    """
    if not len(been.t_s):
        raise InputError("been", "no fix", "one fix or more", "Ask the plan until one comes.")
    climbed = with_heights(been, read.heights)
    leaks = leaks_in(before, climbed)
    fitted_by = _fitted(before, _sound(climbed, leaks))
    last = np.array([one[-1] for one in been])
    since = Since(before, fitted_by, last, read.after(float(last[0])))
    measured = measured_winds(before.air.scene, been, place_sd_m)
    found = _found(since, measured)
    swarm = fitted_by._replace(**found.errors._asdict())
    known = with_winds(before, before.air, before.draws._replace(swarm=swarm))
    holed = holed_of(before, swarm, climbed, leaks)
    widest_m = _widest_m(before, swarm.gas_kg, climbed)
    gone_on = leaking_ahead(known, found.now, widest_m, until_s, Told(leaks, holed))
    places_s, heights_s = since.read.place_times_s, since.read.heights.t_s
    return Informed(
        ensemble=gone_on,
        measured=found.measured,
        air=learnt(found.doubts, found.measured),
        spread_ratio=found.wide,
        leaks=leaks,
        from_s=float(found.now.states[0, 0]),
        placed_s=max([float(last[0]), *places_s]),
        floats_since_s=floats_since_s(climbed),
        height_s=max([float(last[0]), *heights_s.tolist()]),
    )


class _Found(NamedTuple):
    """What is known of the air by all that was measured, and the draws at the last of it."""

    measured: Measured
    wide: FloatArray
    doubts: AirDoubts  # as wide as that
    errors: AirErrors
    now: Aloft


def _found(since: Since, fixes: Measured) -> _Found:
    """Return what fixes, and what was read since the last one, make of air and places."""
    before, told = since.before, air_doubts_of(since.before.sortie, since.before.air.column)
    wide = spread_ratios(told, fixes)
    aired = _aired(before, fixes, told, wide)
    paths = paths_of(since) if since.read.times_s else None
    if paths is None or not len(paths.at):
        errors = with_learnt(aired.doubts, aired.errors, fixes, aired.own)
        now = aloft_at_fix(since) if paths is None else aloft_by(since, paths, errors)
        return _Found(fixes, wide, aired.doubts, errors, now)
    wide = spread_ratios(told, joined(fixes, lines_of(since, paths, aired).measured))
    aired = _aired(before, fixes, told, wide)
    lines = lines_of(since, paths, aired)
    errors = moved_by(since, paths, lines, aired)
    now = aloft_by(since, paths, errors)
    return _Found(joined(fixes, lines.measured), wide, aired.doubts, errors, now)


def _aired(before: Ensemble, fixes: Measured, told: AirDoubts, wide: FloatArray) -> Aired:
    """Return the draws' air as wide as it looks, and what fixes measured of it."""
    n_draws, seed = len(before.draws.swarm.gas_kg), before.grain.seed
    own = normals(n_draws, 2 * len(fixes.sd_mps), seed + _WIND_SEED)
    return Aired(scaled(told, wide), _errors(before, wide), fixes, own)


def _sound(been: Been, leaks: Leaks) -> Been:
    """Return the fixes that tell of gas and drag: those from before a leak that is likely."""
    if leaks.chance_ratio < LIKELY_RATIO:
        return been
    before = been.t_s <= max(begun_s(leaks), float(been.t_s[0]))
    return Been(*(one[before] for one in been))


def _errors(before: Ensemble, wide: FloatArray) -> AirErrors:
    """Return the draws' errors of the air as wide as they look, from the same numbers."""
    swarm, grain = before.draws.swarm, before.grain
    if (np.abs(wide - 1.0) <= _WIDE_ALIKE).all():
        return AirErrors(*(getattr(swarm, name) for name in AirErrors._fields))
    doubts = doubts_of(before.sortie, before.air.column, grain)
    air = scaled(air_doubts_of(before.sortie, before.air.column), wide)
    return draw_air(doubts, air, len(swarm.gas_kg), grain.seed)


def _fitted(before: Ensemble, been: Been) -> Swarm:
    swarm = before.draws.swarm
    timed = timed_climb(been)
    own = normals(len(swarm.gas_kg), len(timed.seconds), before.grain.seed + _CLIMB_SEED)
    return fitted(swarm, before.climbs.tracks, timed, own)


def _widest_m(before: Ensemble, gas_kg: FloatArray, been: Been) -> FloatArray:
    """Return how wide each draw's film has been: as its own climb has it there, by its gas."""
    tracks, top_m = before.climbs.tracks, float(been.amsl_m.max())
    found = np.empty(len(gas_kg))
    for i, (amsl_m, diameter_m) in enumerate(zip(tracks.amsl_m, tracks.diameter_m, strict=True)):
        known = np.isfinite(amsl_m)
        found[i] = np.interp(top_m, np.maximum.accumulate(amsl_m[known]), diameter_m[known])
    return np.asarray(found * np.cbrt(gas_kg / before.draws.swarm.gas_kg))
