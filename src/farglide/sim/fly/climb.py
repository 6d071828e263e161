"""Climb: the balloon from the hand upward, as a track on an even clock, whole or leaking."""

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from farglide.air.between import air_at, layer_air
from farglide.air.doubt import _at_layer
from farglide.balloon.ascent import Balance, Envelope
from farglide.kernel import compiled, inner
from farglide.sim.core.scene import Scene, Swarm, _envelope, _errors
from farglide.sim.core.step import (
    Errors,
    _leaked,
    _moved,
    _rise_mps,
    _wind,
    layer_index,
)
from farglide.sim.core.tracks import Burst, Tracks
from farglide.sim.core.workers import Workers, in_one_go

FloatArray = NDArray[np.float64]

SLOWEST_MPS: Final = 0.3
"""Below this speed a climb is stepped in time: heights stop meaning times."""
_TIME_STEP_S: Final = 5.0


@inner
def _climb_layers(
    scene: Scene,
    flight: tuple[Envelope, Balance, Errors],
    start: tuple[float, float, float, float],
    hanging_kg: float,
    out: tuple[FloatArray, FloatArray, FloatArray, FloatArray, float],
) -> tuple[float, float, float, float]:
    """Fill a track layer by layer and return time, height and place of the burst.

    `start`: time, height, north, east; `out`: rows to fill on the even clock, and its step. The
    climb goes on as if whole after the burst, so that odds can be formed for every moment.
    """
    envelope, balance, errors = flight
    layers, frame = scene.layers, scene.frame
    t, z, north, east = start
    z_row, north_row, east_row, d_row, clock_s = out
    burst = (np.nan, np.nan, np.nan, np.nan)
    k = layer_index(layers, z)
    diameter, before_d = 1.5, 0.0
    before = (t, z, north, east)
    j = int(np.ceil(t / clock_s - 1e-9))
    while k < len(layers.rho_kgpm3) and j < len(z_row):
        top = layers.base_amsl_m + (k + 1) * layers.step_m
        if top - z < 1e-6:
            k += 1
            continue
        speed, diameter = _rise_mps(
            envelope, balance, (envelope.gas_kg, hanging_kg), layer_air(layers, k), diameter
        )
        speed += scene.up_sd_mps * _at_layer(scene.knots, errors.up, k)
        if speed < SLOWEST_MPS:
            later = _rise_in_time(scene, flight, (t, z, north, east), hanging_kg, out)
            return later if np.isnan(burst[0]) else burst
        u, v = _wind(layers, scene.knots, errors, (0, k))
        dt = (top - z) / speed
        ground = layers.shortening_ratio[k]
        n1, e1 = _moved(frame, (north, east), u * dt * ground, v * dt * ground)
        while j < len(z_row) and j * clock_s <= t + dt:
            w = (j * clock_s - t) / dt
            z_row[j] = z + w * (top - z)
            north_row[j], east_row[j] = north + w * (n1 - north), east + w * (e1 - east)
            d_row[j] = diameter
            j += 1
        middle = (t + 0.5 * dt, 0.5 * (z + top), 0.5 * (north + n1), 0.5 * (east + e1))
        if np.isnan(burst[0]) and diameter >= envelope.burst_diameter_m:
            w = (envelope.burst_diameter_m - before_d) / max(diameter - before_d, 1e-12)
            burst = _between(before, middle, min(max(w, 0.0), 1.0))
        before, before_d = middle, diameter
        t, z, north, east = t + dt, top, n1, e1
        k += 1
    return burst


@inner
def _rise_in_time(
    scene: Scene,
    flight: tuple[Envelope, Balance, Errors],
    start: tuple[float, float, float, float],
    hanging_kg: float,
    out: tuple[FloatArray, FloatArray, FloatArray, FloatArray, float],
) -> tuple[float, float, float, float]:
    """Fill a track in even time steps and return the burst: for leaks, floats and sinking."""
    envelope, balance, errors = flight
    layers, frame = scene.layers, scene.frame
    t, z, north, east = start
    z_row, north_row, east_row, d_row, clock_s = out
    gas_kg, diameter, before_d = envelope.gas_kg, 1.5, 0.0
    burst = (np.nan, np.nan, np.nan, np.nan)
    before = (t, z, north, east)
    j = int(np.ceil(t / clock_s - 1e-9))
    top = layers.base_amsl_m + len(layers.rho_kgpm3) * layers.step_m
    while j < len(z_row) and layers.base_amsl_m <= z < top and gas_kg > 0.0:
        k = layer_index(layers, z)
        air = air_at(layers, z)
        speed, diameter = _rise_mps(envelope, balance, (gas_kg, hanging_kg), air, diameter)
        here = (t, z, north, east)
        if np.isnan(burst[0]) and diameter >= envelope.burst_diameter_m:
            w = (envelope.burst_diameter_m - before_d) / max(diameter - before_d, 1e-12)
            burst = _between(before, here, min(max(w, 0.0), 1.0))
        before, before_d = here, diameter
        if j * clock_s <= t + 1e-6:
            z_row[j], north_row[j], east_row[j], d_row[j] = z, north, east, diameter
            j += 1
        leaking = t >= envelope.leak_from_s - 1e-6 and envelope.leak_ratio_ps > 0.0
        step = min(_TIME_STEP_S, j * clock_s - t)
        if not leaking and envelope.leak_ratio_ps > 0.0:
            step = min(step, envelope.leak_from_s - t)
        up = scene.up_sd_mps * _at_layer(scene.knots, errors.up, k)
        half_kg = gas_kg - (
            _leaked(envelope, gas_kg, air.rho_kgpm3, 0.5 * step) if leaking else 0.0
        )
        half_z = z + 0.5 * step * (speed + up)
        middle = air_at(layers, half_z)
        speed, diameter = _rise_mps(envelope, balance, (half_kg, hanging_kg), middle, diameter)
        gas_kg -= _leaked(envelope, half_kg, middle.rho_kgpm3, step) if leaking else 0.0
        k = layer_index(layers, half_z)  # the layer of most of the step, not of its beginning
        up = scene.up_sd_mps * _at_layer(scene.knots, errors.up, k)
        u, v = _wind(layers, scene.knots, errors, (0, k))
        ground = layers.shortening_ratio[k]
        north, east = _moved(frame, (north, east), u * step * ground, v * step * ground)
        z += step * (speed + up)
        t += step
    return burst


@compiled
def _between(
    a: tuple[float, float, float, float], b: tuple[float, float, float, float], w: float
) -> tuple[float, float, float, float]:
    return (
        a[0] + w * (b[0] - a[0]),
        a[1] + w * (b[1] - a[1]),
        a[2] + w * (b[2] - a[2]),
        a[3] + w * (b[3] - a[3]),
    )


@compiled
def _climb_some(
    scene: Scene,
    swarm: Swarm,
    balloon: tuple[Envelope, Balance, float],
    some: tuple[int, int],
    starts: FloatArray,
    out: Tracks,
    burst: Burst,
) -> None:
    """Fly the climbs of draws `some[0]` to `some[1]` into `out` and `burst`."""
    common, balance, hanging_kg = balloon
    for i in range(some[0], some[1]):
        flight = (_envelope(swarm, common, i), balance, _errors(swarm, i))
        rows = (
            out.amsl_m[i],
            out.north_rad[i],
            out.east_rad[i],
            out.diameter_m[i],
            out.step_s,
        )
        begin = (starts[i, 0], starts[i, 1], starts[i, 2], starts[i, 3])
        if np.isnan(begin[1]):
            continue
        if common.leak_ratio_ps > 0.0:
            end = _rise_in_time(scene, flight, begin, hanging_kg, rows)
        else:
            end = _climb_layers(scene, flight, begin, hanging_kg, rows)
        burst.after_launch_s[i], burst.amsl_m[i] = end[0], end[1]
        burst.north_rad[i], burst.east_rad[i] = end[2], end[3]


class Balloon(NamedTuple):
    """What all draws share of the balloon, and what hangs below it."""

    envelope: Envelope
    balance: Balance
    hanging_kg: float


def climb(
    scene: Scene,
    swarm: Swarm,
    balloon: Balloon,
    clock: tuple[float, float, float],
    workers: Workers = in_one_go,
) -> tuple[Tracks, Burst]:
    """Return the climbs of all draws on an even clock, and where their balloons burst.

    `clock`: height at the launch, seconds between the track's moments, and their end.
    """
    starts = np.zeros((len(swarm.gas_kg), 4))
    starts[:, 1] = clock[0]
    return climb_on(scene, swarm, balloon, (starts, clock[1], clock[2]), workers)


def climb_on(
    scene: Scene,
    swarm: Swarm,
    balloon: Balloon,
    begun: tuple[FloatArray, float, float],
    workers: Workers = in_one_go,
) -> tuple[Tracks, Burst]:
    """Return climbs that go on from a state of each draw: a balloon freed of its glider, say.

    `begun`: states (n_draws, 4) as time, height and offsets north and east in radians, NaN for
    none; seconds between the tracks' moments, and their end, all after the launch.
    """
    starts, step_s, end_s = begun
    n, n_times = len(swarm.gas_kg), int(end_s / step_s) + 1
    tracks = Tracks(step_s, *(np.full((n, n_times), np.nan) for _ in range(4)))
    burst = Burst(*(np.full(n, np.nan) for _ in range(4)))
    plain = (balloon.envelope, balloon.balance, balloon.hanging_kg)

    def some(first: int, last: int) -> None:
        _climb_some(scene, swarm, plain, (first, last), starts, tracks, burst)

    workers(some, n)
    return tracks, burst
