"""Notes: what a reader of the plan must know about its inputs and limits."""

import math
from typing import Final

import numpy as np

from farglide.sortie.pack import Pack
from farglide.sortie.stage import Stage

_NEAR_GROUND_M: Final = 50.0


def plan_notes(stage: Stage, pack: Pack) -> tuple[str, ...]:
    """Return what was assumed about the air, and the limits that the plan ran into."""
    found = list(pack.sounding.notes)
    if pack.widening_ratio > 1.0:
        found.append(
            f"the wind is old, far or a long forecast: its doubt is taken "
            f"{pack.widening_ratio:.1f} times as wide"
        )
    wind_mps, limit_mps = ground_wind_mps(stage), stage.sortie.wish.ground_wind_limit_mps
    if wind_mps > limit_mps:
        found.append(
            f"wind at the fill {wind_mps:.0f} m/s, above the {limit_mps:g} m/s that you set: wait, "
            "or fill in shelter"
        )
    if math.isfinite(stage.ceiling_amsl_m):
        found.append(
            f"above {stage.ceiling_amsl_m / 1000.0:.1f} km no speed fits between the stall and the "
            "Mach limit: releases there count as shut"
        )
    never = float(np.isnan(stage.burst.after_launch_s).mean())
    if never > 0.02:
        found.append(
            f"{never * 10.0:.0f} in 10 of the drawn balloons never burst: they top out and sink"
        )
    return tuple(found)


def ground_wind_mps(stage: Stage) -> float:
    """Return the wind speed just above the launch."""
    layers = stage.column.layers
    k = int((stage.sortie.launch.amsl_m + _NEAR_GROUND_M - layers.base_amsl_m) / layers.step_m)
    return float(np.hypot(layers.u_mps[0, k], layers.v_mps[0, k]))
