"""Flight: whole flights from the hand to the ground, one drawn flight after the other."""

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from farglide.air.doubt import _at_layer
from farglide.balloon.ascent import Envelope
from farglide.errors import InputError
from farglide.fall import _fall_speed_mps
from farglide.glider.polar import Polar
from farglide.glider.release import Drop, _pull_out
from farglide.kernel import compiled, inner
from farglide.sim.core.scene import (
    Scene,
    Swarm,
    _envelope,
    _errors,
)
from farglide.sim.core.step import Errors, _moved, _wind, apart_m, layer_index
from farglide.sim.core.workers import Workers, in_one_go
from farglide.sim.fly.climb import SLOWEST_MPS, Balloon
from farglide.sim.fly.prepass import (
    N_TAIL,
    WIDEST_EAS_MPS,
    Glide,
    Rise,
    _glide_fast,
    _rise_fast,
)

FloatArray = NDArray[np.float64]

_SUBSTEPS: Final = 8
_NEAR_SIDEWAYS: Final = 0.7
"""Where the cross wind passes this share of the airspeed, a layer is flown in eight steps."""


class Orders(NamedTuple):
    """What the crew does, the same in every draw."""

    release_s: float  # after the launch; a burst before sends the release at once
    north_rad: float  # the field flown to
    east_rad: float
    ground_amsl_m: float
    circle_load: float  # load factor of the spiral over the field
    circle_eas_mps: float
    top_eas_mps: float
    best_eas_mps: float  # at which the glide begins
    remains_area_m2: float  # C_d A of balloon remains and glider, tied together


class Craft(NamedTuple):
    """The glider of all draws, and what each draw makes of it."""

    polar: Polar
    drop: Drop
    glide_factor: FloatArray
    drop_drag: FloatArray
    reaction_s: FloatArray


class Ends(NamedTuple):
    """How each flight went, shape (n_draws,)."""

    burst: NDArray[np.bool_]  # before the release
    release_s: FloatArray
    release_amsl_m: FloatArray
    level_amsl_m: FloatArray
    peak_mach: FloatArray
    over_field_amsl_m: FloatArray  # NaN where it never came over the field
    landed_s: FloatArray
    north_rad: FloatArray
    east_rad: FloatArray


@inner
def _climb_to(
    scene: Scene,
    rise: Rise,
    flight: tuple[Envelope, Errors, float],
    start_amsl_m: float,
    until_s: float,
) -> tuple[bool, float, float, float, float]:
    """Return whether it burst, and time, height and place at the burst or the ordered release."""
    envelope, errors, load_kg = flight
    layers = scene.layers
    t, z, north, east, diameter = 0.0, start_amsl_m, 0.0, 0.0, 0.0
    n = len(layers.rho_kgpm3)
    for k in range(layer_index(layers, z), n):
        top = layers.base_amsl_m + (k + 1) * layers.step_m
        before_m = diameter
        speed, diameter = _rise_fast(rise, envelope, load_kg, k, before_m)
        speed += scene.up_sd_mps * _at_layer(scene.knots, errors.up, k)
        u, v = _wind(layers, scene.knots, errors, (0, k))
        if speed < SLOWEST_MPS:  # no climb to speak of: it floats until the order comes
            ground = layers.shortening_ratio[k] * (until_s - t)
            north, east = _moved(scene.frame, (north, east), u * ground, v * ground)
            return False, until_s, z, north, east
        dt = (top - z) / speed
        part, burst = 1.0, False
        # Diameters hold at the middles of layers; at the top it is half a layer's growth larger.
        widest_m = envelope.burst_diameter_m
        if before_m > 0.0 and diameter * diameter * diameter > widest_m * widest_m * before_m:
            middle = np.log(widest_m / before_m) / np.log(diameter / before_m)
            part, burst = min(max(middle - 0.5, 0.0), 1.0), True
        if t + part * dt > until_s:
            part, burst = (until_s - t) / dt, False
        ground = layers.shortening_ratio[k] * dt * part
        north, east = _moved(scene.frame, (north, east), u * ground, v * ground)
        t, z = t + dt * part, z + part * (top - z)
        if burst or t >= until_s - 1e-9:
            return burst, t, z, north, east
    return True, t, z, north, east


@compiled
def _speed_at(glide: Glide, k: int, tail_eas: float) -> float:
    """Return the EAS to fly for a tail wind scaled to EAS."""
    x = (tail_eas + WIDEST_EAS_MPS) * ((N_TAIL - 1) / (2.0 * WIDEST_EAS_MPS))
    x = min(max(x, 0.0), N_TAIL - 1.000001)
    i = int(x)
    w = x - i
    return (1.0 - w) * glide.eas_mps[k, i] + w * glide.eas_mps[k, i + 1]


@compiled
def _toward(
    wind: tuple[float, float], unit: tuple[float, float], level: float
) -> tuple[float, float, float]:
    """Return east and north ground speed on a straight track along `unit`, and the speed along it.

    Where the cross wind beats the airspeed the glider heads straight into it and is set down.
    """
    along = wind[0] * unit[0] + wind[1] * unit[1]
    across = -wind[0] * unit[1] + wind[1] * unit[0]
    left = level * level - across * across
    if left > 0.0:
        made = along + np.sqrt(left)
        return made * unit[0], made * unit[1], made
    drift = across - level if across > 0.0 else across + level
    return along * unit[0] - drift * unit[1], along * unit[1] + drift * unit[0], along


@compiled
def _hold(orders: Orders, wind_eas: float) -> tuple[float, float]:
    """Return EAS and load factor over the field: circling, or facing a wind that is faster."""
    if wind_eas < 0.95 * orders.circle_eas_mps:
        return orders.circle_eas_mps, orders.circle_load
    return min(max(1.03 * wind_eas, orders.circle_eas_mps), orders.top_eas_mps), 1.0


@inner
def _glide_home(
    scene: Scene,
    glide: Glide,
    flight: tuple[Polar, float, Errors],
    orders: Orders,
    state: tuple[float, float, float, float],
) -> tuple[float, float, float, float]:
    """Return landing time and place, and the height at which the field was first reached."""
    polar, factor, errors = flight
    layers = scene.layers
    t, z, north, east = state
    over = np.nan
    goal = (orders.north_rad, orders.east_rad)
    k = layer_index(layers, z - 1e-9)
    while z > orders.ground_amsl_m:
        low = max(layers.base_amsl_m + k * layers.step_m, orders.ground_amsl_m)
        u, v = _wind(layers, scene.knots, errors, (0, k))
        up = scene.up_sd_mps * _at_layer(scene.knots, errors.up, k)
        ground = layers.shortening_ratio[k]
        left_m = z - low
        east_m, north_m = apart_m(scene.frame, (north, east), goal)
        away = np.sqrt(east_m * east_m + north_m * north_m)
        if np.isnan(over):
            inverse = 1.0 / max(away, 1e-3)
            unit = (east_m * inverse, north_m * inverse)
            tail = (u * unit[0] + v * unit[1]) / layers.tas_per_eas[k]
            level, sink = _glide_fast(
                glide, layers, (polar, factor), k, _speed_at(glide, k, tail), 1.0
            )
            sink = max(sink - up, 0.05)
            across = -u * unit[1] + v * unit[0]
            n_steps = _SUBSTEPS if abs(across) > _NEAR_SIDEWAYS * level else 1
            dt = left_m / sink / n_steps
            arrived = False
            for i in range(n_steps):
                if i > 0:
                    east_m, north_m = apart_m(scene.frame, (north, east), goal)
                    away = np.sqrt(east_m * east_m + north_m * north_m)
                    inverse = 1.0 / max(away, 1e-3)
                    unit = (east_m * inverse, north_m * inverse)
                v_east, v_north, made = _toward((u, v), unit, level)
                if made * dt * ground >= away:
                    used = away / (made * ground)
                    north, east = goal
                    t, left_m = t + used, left_m - used * sink
                    arrived = True
                    break
                north, east = _moved(
                    scene.frame, (north, east), v_east * dt * ground, v_north * dt * ground
                )
                t, left_m = t + dt, left_m - dt * sink
            if arrived and np.isnan(over):
                over = low + left_m
        if left_m > 1e-6:
            wind = np.sqrt(u * u + v * v)
            eas, load = _hold(orders, wind / layers.tas_per_eas[k])
            level, sink = _glide_fast(glide, layers, (polar, factor), k, eas, load)
            if load == 1.0 and level < wind:  # a steep path needs more speed to face the wind
                eas = min(eas * 1.002 * wind / level, orders.top_eas_mps)
                level, sink = _glide_fast(glide, layers, (polar, factor), k, eas, load)
            dt = left_m / max(sink - up, 0.05)
            if wind > level:
                slip = (1.0 - level / wind) * dt * ground
                north, east = _moved(scene.frame, (north, east), u * slip, v * slip)
            t += dt
        z = low
        k -= 1
    return t, north, east, over


@compiled
def _drifted(
    scene: Scene, errors: Errors, state: tuple[float, float, float], seconds: float
) -> tuple[float, float]:
    """Return the place after drifting with the wind at one height."""
    z, north, east = state
    k = layer_index(scene.layers, z)
    u, v = _wind(scene.layers, scene.knots, errors, (0, k))
    ground = scene.layers.shortening_ratio[k] * seconds
    return _moved(scene.frame, (north, east), u * ground, v * ground)


@compiled
def _fly_some(
    scene: Scene,
    prepass: tuple[Rise, Glide],
    swarm: Swarm,
    gear: tuple[Balloon, Craft, float],
    orders: Orders,
    some: tuple[int, int],
    ends: Ends,
) -> None:
    """Fly draws `some` from the hand to the ground. `gear`: and the height of the launch."""
    rise, glide = prepass
    balloon, craft, start_amsl_m = gear
    load_kg = 0.0
    for i in range(some[0], some[1]):
        envelope, errors = _envelope(swarm, balloon.envelope, i), _errors(swarm, i)
        load_kg = envelope.gas_kg + envelope.balloon_kg + balloon.hanging_kg
        burst, t, z, north, east = _climb_to(
            scene, rise, (envelope, errors, load_kg), start_amsl_m, orders.release_s
        )
        if burst:  # tied to the remains until somebody has seen it and the release has gone out
            k = layer_index(scene.layers, z)
            fall = _fall_speed_mps(
                envelope.balloon_kg + balloon.hanging_kg,
                orders.remains_area_m2,
                scene.layers.rho_kgpm3[k],
                scene.layers.gravity_mps2[k],
            )
            seconds = craft.reaction_s[i]
            north, east = _drifted(scene, errors, (z, north, east), seconds)
            t, z = t + seconds, z - min(fall * seconds, 0.5 * 9.8 * seconds * seconds)
        ends.burst[i], ends.release_s[i], ends.release_amsl_m[i] = burst, t, z
        drop = Drop(
            craft.drop_drag[i],
            craft.drop.pull_eas_mps,
            craft.drop.pull_load,
            craft.drop.level_angle_rad,
        )
        factor = craft.glide_factor[i]
        pull = _pull_out((craft.polar, drop, factor), scene.layers, z, orders.best_eas_mps)
        ends.peak_mach[i] = pull.peak_mach
        if np.isnan(pull.steady_s):
            ends.landed_s[i], ends.north_rad[i], ends.east_rad[i] = np.nan, north, east
            ends.over_field_amsl_m[i], ends.level_amsl_m[i] = np.nan, np.nan
            continue
        north, east = _drifted(scene, errors, (z - pull.level_lost_m, north, east), pull.steady_s)
        t, z = t + pull.steady_s, z - pull.steady_lost_m
        ends.level_amsl_m[i] = z
        t, north, east, over = _glide_home(
            scene, glide, (craft.polar, factor, errors), orders, (t, z, north, east)
        )
        ends.landed_s[i], ends.north_rad[i], ends.east_rad[i] = t, north, east
        ends.over_field_amsl_m[i] = over


def fly(
    scene: Scene,
    prepass: tuple[Rise, Glide],
    swarm: Swarm,
    gear: tuple[Balloon, Craft, float],
    orders: Orders,
    workers: Workers = in_one_go,
) -> Ends:
    """Return how every draw's whole flight goes under the same orders.

    `gear`: balloon, glider and the height of the launch. Valid: balloons that do not leak.
    """
    leak_ratio_ps = gear[0].envelope.leak_ratio_ps
    if leak_ratio_ps != 0.0:
        raise InputError(
            "leak_ratio_ps", f"{leak_ratio_ps} 1/s", "0", "Ask the climb of a leaking balloon."
        )
    n = len(swarm.gas_kg)
    ends = Ends(np.zeros(n, np.bool_), *(np.full(n, np.nan) for _ in range(8)))
    workers(lambda a, b: _fly_some(scene, prepass, swarm, gear, orders, (a, b), ends), n)
    return ends
