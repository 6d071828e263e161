"""Climb: the balloon upward from any state, as a track on an even clock, whole or leaking."""

from typing import Final, NamedTuple

import numpy as np

from farglide.air.between import AirAt, air_at, layer_air
from farglide.arrays import FloatArray
from farglide.balloon.bands import _band_ratio
from farglide.kernel import compiled, inner, merged
from farglide.sim.core.march import Velocity, carried, cell_above
from farglide.sim.core.scene import Balloon, Scene, Swarm, _errors_out, own_balloon
from farglide.sim.core.step import Errors, Masses, _leaked, _rise_mps
from farglide.sim.core.tracks import Burst, Point, Tracks, between, is_nowhere, point_of
from farglide.sim.core.wind import cell_at, wind_at
from farglide.sim.core.workers import Stretch, Workers, in_one_go

BRISK_MPS: Final = 0.3
"""Below this speed a climb is stepped in time: heights stop meaning times."""
_TIME_STEP_S: Final = 5.0
_NOW_S: Final = 1e-6
"""A moment this near counts as the same."""


class Rising(NamedTuple):
    """One balloon on its way: where it is, the gas left in it, and how wide it was last seen."""

    at: Point
    gas_kg: float
    diameter_m: float
    seen: Point  # where it had this diameter: in the middle of a layer, or as a step began


class Clock(NamedTuple):
    """The height at the launch, and the even moments after it at which a climb is told."""

    start_amsl_m: float
    step_s: float
    end_s: float


class Aloft(NamedTuple):
    """Balloons as they are now, first axis the draw."""

    states: FloatArray  # (n_draws, 4): time, height and offsets; NaN for none
    gas_kg: FloatArray  # left in each


class Climbed(NamedTuple):
    """The climbs of all draws as if no balloon burst, and where each does."""

    tracks: Tracks
    burst: Burst


@merged
def _rising_mps(
    balloon: Balloon, gas_kg: float, air: AirAt, amsl_m: float, guess_m: float
) -> tuple[float, float]:
    """Return a balloon's speed upward through the air at a height, and its diameter."""
    masses = Masses(gas_kg, balloon.hanging_kg)
    speed, diameter_m = _rise_mps(balloon.envelope, balloon.balance, masses, air, guess_m)
    return speed * _band_ratio(balloon.climb_factor, amsl_m), diameter_m


@inner
def rising_from(scene: Scene, balloon: Balloon, at: Point, gas_kg: float) -> Rising:
    """Return a balloon that goes on from a place with the gas it has left."""
    air, diameter_m = air_at(scene.layers, at.amsl_m), 1.5
    for _ in range(3):  # a tight film needs some looks to find its size
        _, diameter_m = _rising_mps(balloon, gas_kg, air, at.amsl_m, diameter_m)
    return Rising(at, gas_kg, diameter_m, at)


@merged
def is_aloft(scene: Scene, rising: Rising) -> bool:
    """Tell whether a balloon is inside the column and has gas left."""
    layers, z = scene.layers, rising.at.amsl_m
    top_m = layers.base_amsl_m + len(layers.rho_kgpm3) * layers.step_m
    return layers.base_amsl_m <= z < top_m and rising.gas_kg > 0.0


@merged
def layer_up(scene: Scene, errors: Errors, balloon: Balloon, rising: Rising) -> Rising:
    """Return the balloon at the top of its layer; on the way all changes evenly.

    Right for what neither leaks nor floats: ask `is_brisk`. No loops and no second way out stand in
    a march: the compiler would count the air's arrays in and out, six times as long as the march.
    """
    cell = cell_above(scene, rising.at)
    wind, air = wind_at(scene, errors, cell), layer_air(scene.layers, cell.layer)
    top_m = scene.layers.base_amsl_m + (cell.layer + 1) * scene.layers.step_m
    middle_m, guess_m = top_m - 0.5 * scene.layers.step_m, rising.diameter_m
    speed, diameter_m = _rising_mps(balloon, rising.gas_kg, air, middle_m, guess_m)
    seconds = (top_m - rising.at.amsl_m) / (speed + wind.up_mps)
    end = carried(scene, cell, rising.at, Velocity(wind.u_mps, wind.v_mps, 0.0), seconds)
    at = Point(end.t_s, top_m, end.north_rad, end.east_rad)
    return Rising(at, rising.gas_kg, diameter_m, between(rising.at, at, 0.5))


@merged
def is_brisk(balloon: Balloon, rising: Rising, above: Rising) -> bool:
    """Tell whether a balloon climbs a layer as a whole one does: without a leak, and not slowly."""
    seconds = above.at.t_s - rising.at.t_s
    climbs = seconds > 0.0 and above.at.amsl_m - rising.at.amsl_m >= BRISK_MPS * seconds
    return climbs and balloon.envelope.leak_ratio_ps <= 0.0


@inner
def step_up(
    scene: Scene, errors: Errors, balloon: Balloon, rising: Rising, until_s: float
) -> Rising:
    """Return the balloon after a step in time, by the midpoint rule: 5 s, or to `until_s`."""
    envelope, at, gas_kg = balloon.envelope, rising.at, rising.gas_kg
    leaks = envelope.leak_ratio_ps > 0.0
    leaking = leaks and at.t_s >= envelope.leak_from_s - _NOW_S
    step_s = min(_TIME_STEP_S, until_s - at.t_s)
    if leaks and not leaking:
        step_s = min(step_s, envelope.leak_from_s - at.t_s)
    air = air_at(scene.layers, at.amsl_m)
    speed, seen_m = _rising_mps(balloon, gas_kg, air, at.amsl_m, rising.diameter_m)
    up_mps = speed + wind_at(scene, errors, cell_at(scene, at)).up_mps
    half_m = at.amsl_m + 0.5 * step_s * up_mps
    half_kg = gas_kg - (_leaked(envelope, gas_kg, air.rho_kgpm3, 0.5 * step_s) if leaking else 0.0)
    air = air_at(scene.layers, half_m)
    speed, _ = _rising_mps(balloon, half_kg, air, half_m, seen_m)
    # the layer of most of the step, not of its beginning
    cell = cell_at(scene, Point(at.t_s, half_m, at.north_rad, at.east_rad))
    wind = wind_at(scene, errors, cell)
    sink_mps = -(speed + wind.up_mps)
    left_kg = gas_kg - (_leaked(envelope, half_kg, air.rho_kgpm3, step_s) if leaking else 0.0)
    end = carried(scene, cell, at, Velocity(wind.u_mps, wind.v_mps, sink_mps), step_s)
    return Rising(end, left_kg, seen_m, at)


@merged
def burst_between(balloon: Balloon, was: Rising, now: Rising) -> Point:
    """Return where a balloon has grown to its bursting diameter since it was last seen, or NaN."""
    widest_m = balloon.envelope.burst_diameter_m
    if now.diameter_m < widest_m:
        return Point(np.nan, np.nan, np.nan, np.nan)
    share = (widest_m - was.diameter_m) / max(now.diameter_m - was.diameter_m, 1e-12)
    return between(was.seen, now.seen, min(max(share, 0.0), 1.0))


@inner
def _climb_track(
    scene: Scene, errors: Errors, balloon: Balloon, begin: Rising, tracks: Tracks, i: int
) -> Point:
    """Fill row `i` of the tracks and return the burst.

    The climb goes on as if whole after the burst, so that chance can be formed for every moment.
    """
    n, clock_s = tracks.amsl_m.shape[1], tracks.step_s
    burst = Point(np.nan, np.nan, np.nan, np.nan)
    rising = begin
    j = int(np.ceil(begin.at.t_s / clock_s - 1e-9))
    while j < n and is_aloft(scene, rising):
        at = rising.at
        next_s = j * clock_s if j * clock_s > at.t_s + _NOW_S else (j + 1) * clock_s
        now = layer_up(scene, errors, balloon, rising)
        if not is_brisk(balloon, rising, now):
            now = step_up(scene, errors, balloon, rising, next_s)
        while j < n and j * clock_s <= now.at.t_s - _NOW_S:
            told = between(at, now.at, (j * clock_s - at.t_s) / (now.at.t_s - at.t_s))
            tracks.amsl_m[i, j], tracks.diameter_m[i, j] = told.amsl_m, now.diameter_m
            tracks.north_rad[i, j], tracks.east_rad[i, j] = told.north_rad, told.east_rad
            tracks.gas_kg[i, j] = rising.gas_kg
            j += 1
        if np.isnan(burst.t_s):
            burst = burst_between(balloon, rising, now)
        rising = now
    return burst


@compiled
def _climb_some(
    scene: Scene, swarm: Swarm, balloon: Balloon, aloft: Aloft, some: Stretch, out: Climbed
) -> None:
    """Fly the climbs of draws `some`."""
    bursts = out.burst
    for i in range(some.first, some.last):
        at = point_of(aloft.states, i)
        if is_nowhere(at):
            continue
        own, errors = own_balloon(swarm, balloon, i), _errors_out(swarm, i)
        begin = rising_from(scene, own, at, aloft.gas_kg[i])
        burst = _climb_track(scene, errors, own, begin, out.tracks, i)
        bursts.after_launch_s[i], bursts.amsl_m[i] = burst.t_s, burst.amsl_m
        bursts.north_rad[i], bursts.east_rad[i] = burst.north_rad, burst.east_rad


def from_hand(swarm: Swarm, start_amsl_m: float) -> Aloft:
    """Return every draw's balloon as it is let go."""
    states = np.zeros((len(swarm.gas_kg), 4))
    states[:, 1] = start_amsl_m
    return Aloft(states, swarm.gas_kg)


def climb(
    scene: Scene, swarm: Swarm, balloon: Balloon, clock: Clock, workers: Workers = in_one_go
) -> Climbed:
    """Return the climbs of all draws on an even clock, and where their balloons burst."""
    return climb_on(scene, swarm, balloon, from_hand(swarm, clock.start_amsl_m), clock, workers)


def climb_on(
    scene: Scene,
    swarm: Swarm,
    balloon: Balloon,
    aloft: Aloft,
    clock: Clock,
    workers: Workers = in_one_go,
) -> Climbed:
    """Return climbs that go on from a state of each draw: a balloon freed of its glider, say.

    The clock's height is not asked.
    """
    n, n_times = len(swarm.gas_kg), int(clock.end_s / clock.step_s) + 1
    tracks = Tracks(clock.step_s, *(np.full((n, n_times), np.nan) for _ in range(5)))
    out = Climbed(tracks, Burst(*(np.full(n, np.nan) for _ in range(4))))
    workers(lambda a, b: _climb_some(scene, swarm, balloon, aloft, Stretch(a, b), out), n)
    return out
