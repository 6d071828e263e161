"""Lifted: the flight of which nobody lets go, up and down again with all tied on."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from farglide.arrays import FloatArray
from farglide.fall import THIN_EXPONENT, remains_story
from farglide.live.rehearse.trace import Trace, trace_of
from farglide.live.rehearse.truth import Truth
from farglide.rig.gear import launch_amsl_m
from farglide.sim.fly.climb import Clock, climb
from farglide.sim.fly.descend import Falls, Sinks, plunges

CLOCK_S: Final = 2.0
LONGEST_S: Final = 6.0 * 3600.0
"""A balloon that floats on for so long has no end that could be told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TiedOn:
    """A flight with all tied on."""

    path: Trace
    burst_s: float  # NaN: it never bursts
    burst_amsl_m: float
    tops_s: float  # when it is highest

    def is_fallen(self, t_s: float) -> bool:
        """Tell whether the balloon has burst by a moment."""
        return bool(t_s > self.burst_s)


def lifted(truth: Truth) -> TiedOn:
    """Return the flight of which nobody lets go.

    Told each 2 s, for six hours at most. A balloon that leaks sinks to the ground again.
    """
    swarm, column = truth.drawn.swarm, truth.air.column
    clock = Clock(launch_amsl_m(truth.sortie, column), CLOCK_S, LONGEST_S)
    tracks, burst = climb(truth.air.scene, swarm, truth.gear.balloon, clock)
    burst_s, burst_m = float(burst.after_launch_s[0]), float(burst.amsl_m[0])
    t_s = CLOCK_S * np.arange(tracks.amsl_m.shape[1])
    rows = np.stack([t_s, *(one[0] for one in tracks.places)], axis=1)
    flies = np.isfinite(rows[:, 1]) & ~(t_s > burst_s)
    top = int(np.argmax(np.where(flies, rows[:, 1], -np.inf)))
    flies &= (rows[:, 1] >= truth.sortie.launch.amsl_m) | (t_s <= t_s[top])
    path = trace_of(rows[flies])
    if np.isfinite(burst_s):
        at = np.array([[burst_s, burst_m, burst.north_rad[0], burst.east_rad[0]]])
        path = path.then(_remains(truth, at))
    return TiedOn(path=path, burst_s=burst_s, burst_amsl_m=burst_m, tops_s=float(t_s[top]))


def remains_area_m2(truth: Truth) -> float:
    """Return the drag area of what falls after a burst, as it is in this truth."""
    area = truth.sortie.train.remains_drag_area_m2
    return float(area.value * np.exp(area.spread_ratio * truth.drawn.story_normal[0, 1]))


def _remains(truth: Truth, at: FloatArray) -> Trace:
    """Return the fall of all tied together, from a burst to the ground."""
    mass_kg = truth.sortie.balloon.mass_kg + truth.sortie.hanging_kg
    eas_mps = remains_story(mass_kg, remains_area_m2(truth)).sink_eas_mps
    sinks = Sinks(np.array([eas_mps]), np.array([THIN_EXPONENT]), 1.0)
    ground_m = max(truth.sortie.launch.amsl_m, truth.air.scene.layers.base_amsl_m)
    after_s = np.arange(0.0, LONGEST_S, CLOCK_S)
    trail = plunges(truth.air.scene, truth.drawn.swarm, Falls(at, sinks, ground_m), after_s)
    rows = np.stack([at[0, 0] + after_s, *(one[0] for one in trail)], axis=1)
    return trace_of(rows[np.isfinite(rows[:, 1])])
