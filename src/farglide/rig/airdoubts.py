"""Air doubts: how far the air of a sortie may be off in each layer, on the way up and home."""

from typing import Final

import numpy as np

from farglide.air.column import AirColumn
from farglide.air.layerdoubt import Passed, deep_change, kept_ratio
from farglide.arrays import FloatArray
from farglide.rig.doubts import pack_end
from farglide.rig.gear import balloon_of, best_glide_eas_mps, craft_of, launch_amsl_m, launch_fill
from farglide.rig.profile import mean_climb, scene_of
from farglide.sim.core.airerrors import AirDoubts, Along
from farglide.sim.reach.drawnglider import sinks_mps
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Sortie

_VERTICAL_DEPTH_M: Final = 1000.0
_STEP_S: Final = 30.0
_CALM_MPS: Final = 1e-6


def air_doubts_of(sortie: Sortie, column: AirColumn) -> AirDoubts:
    """Return how far the air may be off, and what changes of it before the way home."""
    doubt, by_layer, layers = column.doubt, column.doubt_by_layer, column.layers
    elapsed_s = between_passages_s(sortie, column)
    speed_mps = np.hypot(layers.u_mps[0], layers.v_mps[0])
    passed = Passed(column.middles_amsl_m, speed_mps, elapsed_s)
    change = deep_change(doubt, by_layer, passed)
    calm = np.maximum(speed_mps, _CALM_MPS)
    return AirDoubts(
        shallow_mps=by_layer.shallow_mps,
        deep_mps=by_layer.deep_mps,
        deep_along_mps=by_layer.deep_along_mps,
        slower_mps=by_layer.slower_ratio * speed_mps,
        along=Along(layers.u_mps[0] / calm, layers.v_mps[0] / calm),
        shallow_kept_ratio=kept_ratio(doubt, elapsed_s),
        deep_kept_ratio=change.kept_ratio,
        grown_mps=change.grown_mps,
        grown_along_mps=change.grown_along_mps,
        vertical_mps=sortie.doubt.vertical_mps,
        deep_depth_m=by_layer.deep_depth_m,
        grown_depth_m=change.depth_m,
        shallow_depth_m=doubt.shallow_depth_m,
        vertical_depth_m=_VERTICAL_DEPTH_M,
        step_m=layers.step_m,
    )


def between_passages_s(sortie: Sortie, column: AirColumn) -> FloatArray:
    """Return the time between the two passages of each layer, shape (n_layers,).

    That of the flight without errors that turns at the height from which releases count, or at its
    burst where that is lower: none there and above, most near the ground. It comes down at best
    glide, or so much faster that it is down when the packs end. A release from higher up has a
    little more, one from lower down is told more than it has.
    """
    balloon = balloon_of(sortie, launch_fill(sortie, column))
    start_m = launch_amsl_m(sortie, column)
    tracks, burst = mean_climb(scene_of(sortie, column), balloon, start_m, _STEP_S)
    climbed_m = tracks.amsl_m[0, : int(np.nanargmax(tracks.amsl_m[0])) + 1]
    turn_m = min(sortie.wish.wanted_amsl_m, float(np.fmin(burst.amsl_m[0], climbed_m[-1])))
    edges_m = np.minimum(column.edges_amsl_m, turn_m)
    rise_s = np.interp(edges_m, climbed_m, _STEP_S * np.arange(len(climbed_m)))
    down_s = np.append(np.cumsum((np.diff(edges_m) * _paces_spm(sortie, column))[::-1])[::-1], 0.0)
    down_s *= min(1.0, _left_s(sortie, column, float(rise_s[-1])) / max(float(down_s[0]), 1.0))
    both_s = rise_s[-1] - rise_s + down_s
    middles_s: FloatArray = 0.5 * (both_s[1:] + both_s[:-1])
    return middles_s


def _left_s(sortie: Sortie, column: AirColumn, turns_s: float) -> float:
    """Return how long a flight that turns at a time has before the first pack ends."""
    ends_s = [pack_end(sortie, column, pack).mean for pack in sortie.packs]
    return max(min(ends_s, default=np.inf) - turns_s, 0.0)


def _paces_spm(sortie: Sortie, column: AirColumn) -> FloatArray:
    """Return how long the best glide takes for each metre of height in each layer."""
    polar, limits, _ = craft_of(sortie, Grain())
    factor = sortie.glider.glide_factor.value * sortie.glider.flown_ratio
    return factor / sinks_mps(column.layers, polar, best_glide_eas_mps(polar, limits))
