"""Profile: height and airspeed against time, of the reference flight and of the flight as planned.

The reference flight is there before anything is decided: the climb without errors to its burst,
then the best glide in still air down to the height of the launch, then the ground. It is a little
longer aloft than a flight released before the burst.
"""

from typing import Final, NamedTuple

import numpy as np

from farglide.air.column import AirColumn
from farglide.arrays import FloatArray
from farglide.power.heat import Around
from farglide.rig.gear import balloon_of, best_glide_eas_mps, craft_of, launch_amsl_m, launch_fill
from farglide.sim.core.airerrors import no_air_errors
from farglide.sim.core.cube import no_cube
from farglide.sim.core.scene import Balloon, Scene, Swarm
from farglide.sim.core.step import frame_of
from farglide.sim.fly.climb import Climbed, Clock, climb
from farglide.sim.fly.passage import Passage
from farglide.sim.reach.drawnglider import sinks_mps
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Sortie

LONGEST_S: Final = 5.0 * 3600.0
"""Climbs are followed no longer than this."""
_STEP_S: Final = 30.0
_AFTERWARDS_S: Final = 2.0 * 3600.0  # on the ground


class FlightProfile(NamedTuple):
    """A flight or a part of one, told as a whole on an even clock of 30 s."""

    after_launch_s: FloatArray
    amsl_m: FloatArray
    speed_mps: FloatArray  # through the air; 0 on the ground

    def then(self, more: "FlightProfile") -> "FlightProfile":
        """Return it with another part at its end."""
        return FlightProfile(*map(np.concatenate, zip(self, more, strict=True)))


def scene_of(sortie: Sortie, column: AirColumn) -> Scene:
    """Return the air of a sortie as the kernels read it."""
    frame = frame_of(sortie.launch.lat_deg, sortie.launch.lon_deg)
    return Scene(column.layers, frame, no_cube())


def mean_climb(scene: Scene, balloon: Balloon, start_m: float, step_s: float) -> Climbed:
    """Return the one climb without errors, from the height of the launch."""
    envelope = balloon.envelope
    swarm = Swarm(
        gas_kg=np.array([envelope.gas_kg]),
        drag_factor=np.array([envelope.drag_factor]),
        burst_diameter_m=np.array([envelope.burst_diameter_m]),
        gas_warmer_k=np.array([envelope.gas_warmer_k]),
        climb_factor=balloon.climb_factor[None, :],
        **no_air_errors(1, len(scene.layers.rho_kgpm3))._asdict(),
        number=np.zeros(1, np.int64),
    )
    return climb(scene, swarm, balloon, Clock(start_m, step_s, LONGEST_S))


def reference_profile(sortie: Sortie, column: AirColumn, from_s: float) -> FlightProfile:
    """Return the reference flight from a moment before the launch on."""
    balloon = balloon_of(sortie, launch_fill(sortie, column))
    scene, start_m = scene_of(sortie, column), launch_amsl_m(sortie, column)
    tracks, burst = mean_climb(scene, balloon, start_m, _STEP_S)
    burst_s = float(burst.after_launch_s[0])  # tracks go on behind it, for chance of later bursts
    n_whole = len(tracks.amsl_m[0]) if np.isnan(burst_s) else int(burst_s / _STEP_S) + 1
    amsl_m = tracks.amsl_m[0, :n_whole]
    climb_up = _climb(amsl_m[~np.isnan(amsl_m)], _STEP_S)
    return _with_descent(sortie, column, climb_up, from_s, _AFTERWARDS_S)


def planned_profile(
    sortie: Sortie, column: AirColumn, climbed_m: FloatArray, step_s: float, glide: Passage | None
) -> FlightProfile:
    """Return the flight as planned: the climb to the release, a glide, and down from its end.

    `climbed_m`: heights of the climb, `step_s` apart.
    """
    flown = _climb(climbed_m, step_s)
    if glide is not None:
        ratio = _at(column, column.layers.tas_per_eas, glide.amsl_m)
        flown = flown.then(FlightProfile(glide.after_s, glide.amsl_m, glide.eas_mps * ratio))
    return _with_descent(sortie, column, flown, first_on_s(sortie), 0.0)


def first_on_s(sortie: Sortie) -> float:
    """Return when the first pack is switched on, counted from the launch; 0 without one."""
    return min([pack.on_after_launch_s for pack in sortie.packs] + [0.0])


def _with_descent(
    sortie: Sortie, column: AirColumn, flown: FlightProfile, from_s: float, lies_s: float
) -> FlightProfile:
    """Return a flight with the ground before it, the best glide down behind it, and the ground.

    `from_s`: when it begins; `lies_s`: how long it lies at the end.
    """
    flown = flown.then(_best_glide(sortie, column, flown))
    after_s = flown.after_launch_s
    clock = np.arange(from_s, after_s[-1] + lies_s, _STEP_S)
    aloft = (clock >= 0.0) & (clock <= after_s[-1])
    return FlightProfile(
        clock,
        np.interp(clock, after_s, flown.amsl_m),
        np.where(aloft, np.interp(clock, after_s, flown.speed_mps), 0.0),
    )


def around_of(
    column: AirColumn, profile: FlightProfile, heat_w: FloatArray, flow_ratio: float
) -> Around:
    """Return what a body meets along a flight: it radiates to walls at the air's temperature."""
    layers = column.layers
    air_k = _at(column, layers.t_k, profile.amsl_m)[None, :]
    return Around(
        float(profile.after_launch_s[1] - profile.after_launch_s[0]),
        air_k,
        _at(column, layers.rho_kgpm3, profile.amsl_m)[None, :],
        flow_ratio * profile.speed_mps[None, :],
        air_k,
        heat_w[None, :],
    )


def _climb(amsl_m: FloatArray, step_s: float) -> FlightProfile:
    """Return a climb through its heights: what hangs below a balloon meets no wind but its rise."""
    after_s = np.arange(len(amsl_m), dtype=np.float64) * step_s
    is_short = len(amsl_m) < 2
    rise_mps = np.zeros(len(amsl_m)) if is_short else np.abs(np.gradient(amsl_m, step_s))
    return FlightProfile(after_s, amsl_m, rise_mps)


def _best_glide(sortie: Sortie, column: AirColumn, flown: FlightProfile) -> FlightProfile:
    """Return the best glide from the end of a flight down to the height of the launch."""
    layers, from_amsl_m = column.layers, float(flown.amsl_m[-1])
    polar, limits, _ = craft_of(sortie, Grain())
    eas_mps = best_glide_eas_mps(polar, limits)
    factor = sortie.glider.glide_factor.value * sortie.glider.flown_ratio
    to_m = min(launch_amsl_m(sortie, column), from_amsl_m)
    heights = np.append(np.arange(from_amsl_m, to_m, -layers.step_m), to_m)
    sink_mps = _at(column, sinks_mps(layers, polar, eas_mps), heights) / factor
    pace = 0.5 * (1.0 / sink_mps[1:] + 1.0 / sink_mps[:-1])
    seconds = np.concatenate([[0.0], np.cumsum(-np.diff(heights) * pace)])
    speeds_mps = eas_mps * _at(column, layers.tas_per_eas, heights)
    return FlightProfile(flown.after_launch_s[-1] + seconds, heights, speeds_mps)


def _at(column: AirColumn, values: FloatArray, amsl_m: FloatArray) -> FloatArray:
    """Return the values of layers at heights, by straight lines between their middles."""
    return np.interp(amsl_m, column.middles_amsl_m, values)
