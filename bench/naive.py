"""The same laws without layers: stepped in time, every law evaluated at every step."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from farglide.air.between import air_at
from farglide.balloon.bands import _band_ratio
from farglide.constants import SEA_LEVEL_DENSITY_KGPM3, STANDARD_GRAVITY_MPS2
from farglide.fall import THIN_EXPONENT, _fall_speed_mps
from farglide.glider.polar import EasBand, GlideAir
from farglide.glider.release import Drop, Dropped, Start, _pull_out
from farglide.kernel import door, roomy
from farglide.sim.core.march import drifted
from farglide.sim.core.scene import _envelope, _errors_home, _errors_out
from farglide.sim.core.step import (
    Errors,
    Masses,
    Offset,
    _metres_per_rad,
    _rise_mps,
    apart_m,
    layer_index,
)
from farglide.sim.core.tracks import Point
from farglide.sim.core.wind import Wind
from farglide.sim.core.workers import Stretch
from farglide.sim.fly.homing import toward
from farglide.sim.fly.orders import Ends, Orders
from farglide.sim.fly.over import LayerGlider, Turn, circle_of, held_in
from farglide.sim.reach.bearings import line_to
from farglide.sim.reach.speeds import kept_track, speed_on

ask_rise_mps = door(_rise_mps)
ask_drifted = door(drifted)

FloatArray = NDArray[np.float64]


@roomy
def _wind_between(scene: Any, errors: Any, z: float) -> tuple[float, float, float, float, float]:
    """Wind, upward air, shortening and TAS per EAS, straight lines between layer middles."""
    layers = scene.layers
    x = (z - layers.base_amsl_m) / layers.step_m - 0.5
    x = min(max(x, 0.0), len(layers.rho_kgpm3) - 1.000001)
    k = int(x)
    w = x - k
    out = np.zeros(5)
    for j, share in ((k, 1.0 - w), (k + 1, w)):
        out[0] += share * (layers.u_mps[0, j] + errors.east_mps[j])
        out[1] += share * (layers.v_mps[0, j] + errors.north_mps[j])
        out[2] += share * errors.up_mps[j]
        out[3] += share * layers.shortening_ratio[j]
        out[4] += share * layers.slowing_s2pm2[j]
    return out[0], out[1], out[2], out[3], out[4]


@roomy
def climb_rates(
    scene: Any, balance: Any, flight: Any, hanging_kg: float, y: FloatArray
) -> tuple[float, float, float]:
    """Rates of height, north and east (radians) of a climb."""
    envelope, errors, factors = flight
    air = air_at(scene.layers, y[0])
    speed, _ = _rise_mps(envelope, balance, Masses(envelope.gas_kg, hanging_kg), air, 2.0)
    u, v, up, ground, _ = _wind_between(scene, errors, y[0])
    meridian, parallel = _metres_per_rad(scene.frame, y[1])
    speed *= _band_ratio(factors, y[0])
    return speed + up, v * ground / meridian, u * ground / parallel


@roomy
def glide_rates(
    scene: Any, speeds: Any, flight: Any, orders: Orders, y: FloatArray
) -> tuple[float, float, float, float]:
    """Rates of height, north, east, and the distance left to the field."""
    polar, factor, errors = flight
    layers = scene.layers
    _, _, rho, mu, _, g = air_at(layers, y[0])
    u, v, up, ground, slowing = _wind_between(scene, errors, y[0])
    ratio = np.sqrt(1.225 / rho)
    air = GlideAir(rho, mu, ratio, slowing, g / STANDARD_GRAVITY_MPS2)
    goal = Offset(orders.goal.north_rad, orders.goal.east_rad)
    east_m, north_m = apart_m(scene.frame, Offset(y[1], y[2]), goal)
    line = line_to(east_m, north_m)
    k = layer_index(layers, y[0])
    band = EasBand(speed_on(speeds, 0, k, line), speeds.fastest_mps[k])
    kept = kept_track(polar, air, factor, v * line.east - u * line.north, band)
    east_v, north_v, _ = toward(Wind(u, v, up), line, kept)
    meridian, parallel = _metres_per_rad(scene.frame, y[1])
    return (
        -max(kept.sink_mps - up, 0.2 * kept.sink_mps),
        north_v * ground / meridian,
        east_v * ground / parallel,
        line.away_m,
    )


@roomy
def circle_rates(
    scene: Any, speeds: Any, flight: Any, orders: Orders, y: FloatArray
) -> tuple[float, float, float]:
    """Rates of height, north and east while staying over the field."""
    polar, factor, errors = flight
    _, _, rho, mu, _, g = air_at(scene.layers, y[0])
    u, v, up, ground, slowing = _wind_between(scene, errors, y[0])
    air = GlideAir(rho, mu, np.sqrt(1.225 / rho), slowing, g / STANDARD_GRAVITY_MPS2)
    wind = np.sqrt(u * u + v * v)
    fastest, goal = speeds.fastest_mps[layer_index(scene.layers, y[0])], orders.goal
    glider, turn = LayerGlider(polar, air, factor), Turn(goal.circle_eas_mps, goal.circle_load, 0.0)
    sink, back = held_in(glider, circle_of(glider, turn), wind, fastest)
    slip = back / max(wind, 1e-6) * ground
    meridian, parallel = _metres_per_rad(scene.frame, y[1])
    return -max(sink - up, 0.2 * sink), v * slip / meridian, u * slip / parallel


@roomy
def fallen(
    scene: Any, balloon: Any, orders: Orders, waits: Any, y: FloatArray
) -> tuple[float, float, float, float, float]:
    """Time, place and speed after falling from rest for a time, in steps of 0.1 s."""
    errors, seconds = waits
    mass_kg = balloon.envelope.balloon_kg + balloon.hanging_kg
    at, speed, left = Point(y[0], y[1], y[2], y[3]), 0.0, seconds
    while left > 1e-9:
        h = min(left, 0.1)
        rho = air_at(scene.layers, at.amsl_m).rho_kgpm3
        settled = _fall_speed_mps(mass_kg, orders.remains_area_m2, rho, STANDARD_GRAVITY_MPS2)
        settled *= (rho / SEA_LEVEL_DENSITY_KGPM3) ** THIN_EXPONENT
        after = speed + h * STANDARD_GRAVITY_MPS2 * (1.0 - (speed / settled) ** 2)
        on = drifted(scene, errors, at, h)
        at = Point(on.t_s, at.amsl_m - 0.5 * h * (speed + after), on.north_rad, on.east_rad)
        speed, left = after, left - h
    return at.t_s, at.amsl_m, at.north_rad, at.east_rad, speed


@roomy
def step_some(
    scene: Any,
    swarm: Any,
    gear: Any,
    orders: Orders,
    some: Stretch,
    step_s: float,
    start_m: float,
    ends: Ends,
) -> None:
    """Whole flights in fixed time steps, Heun."""
    balloon, craft, speeds, reaction_s = gear
    balance = balloon.balance
    for i in range(some.first, some.last):
        envelope, errors = _envelope(swarm, balloon.envelope, i), _errors_home(swarm, i)
        flight = (envelope, _errors_out(swarm, i), swarm.climb_factor[i])
        y = np.array([start_m, 0.0, 0.0])
        t, burst = 0.0, False
        while t < orders.release_s - 1e-9 and not burst:
            h = min(step_s, orders.release_s - t)
            a = climb_rates(scene, balance, flight, balloon.hanging_kg, y)
            mid = np.array([y[0] + h * a[0], y[1] + h * a[1], y[2] + h * a[2]])
            b = climb_rates(scene, balance, flight, balloon.hanging_kg, mid)
            new = np.array([y[j] + 0.5 * h * (a[j] + b[j]) for j in range(3)])
            air0, air1 = air_at(scene.layers, y[0]), air_at(scene.layers, new[0])
            d0 = _rise_mps(
                envelope, balance, Masses(envelope.gas_kg, balloon.hanging_kg), air0, 2.0
            )[1]
            d1 = _rise_mps(
                envelope, balance, Masses(envelope.gas_kg, balloon.hanging_kg), air1, 2.0
            )[1]
            w = 1.0
            if d1 > envelope.burst_diameter_m:
                burst, w = True, min(max((envelope.burst_diameter_m - d0) / (d1 - d0), 0.0), 1.0)
            y = y + w * (new - y)
            t += w * h
        z, north, east, speed = y[0], y[1], y[2], 0.0
        if burst:
            t, z, north, east, speed = fallen(
                scene, balloon, orders, (errors, reaction_s[i]), np.array([t, z, north, east])
            )
        drop = Drop(
            craft.drop_drag[i],
            craft.drop.pull_eas_mps,
            craft.drop.pull_load,
            craft.drop.level_angle_rad,
        )
        factor = craft.glide_factor[i]
        own = Dropped(craft.polar, drop, factor)
        pull = _pull_out(own, scene.layers, Start(z, speed), orders.best_eas_mps)
        low = Point(t, z - pull.level_lost_m, north, east)
        t, _, north, east = drifted(scene, errors, low, pull.steady_s)
        z -= pull.steady_lost_m
        y = np.array([z, north, east])
        glider = (craft.polar, factor, errors)
        over = np.nan
        while y[0] > orders.goal.ground_amsl_m:
            h = step_s
            over_before = over
            if np.isnan(over):
                a4 = glide_rates(scene, speeds, glider, orders, y)
                mid = np.array([y[0] + h * a4[0], y[1] + h * a4[1], y[2] + h * a4[2]])
                b4 = glide_rates(scene, speeds, glider, orders, mid)
                rates = (0.5 * (a4[0] + b4[0]), 0.5 * (a4[1] + b4[1]), 0.5 * (a4[2] + b4[2]))
                meridian, parallel = _metres_per_rad(scene.frame, y[1])
                gone = h * np.sqrt((rates[1] * meridian) ** 2 + (rates[2] * parallel) ** 2)
                if gone >= a4[3]:
                    h = h * a4[3] / gone
                    over = y[0] + h * rates[0]
            else:
                a = circle_rates(scene, speeds, glider, orders, y)
                mid = np.array([y[0] + h * a[0], y[1] + h * a[1], y[2] + h * a[2]])
                b = circle_rates(scene, speeds, glider, orders, mid)
                rates = (0.5 * (a[0] + b[0]), 0.5 * (a[1] + b[1]), 0.5 * (a[2] + b[2]))
            if y[0] + h * rates[0] < orders.goal.ground_amsl_m:
                h = (y[0] - orders.goal.ground_amsl_m) / -rates[0]
                y = np.array([orders.goal.ground_amsl_m, y[1] + h * rates[1], y[2] + h * rates[2]])
                t += h
                break
            arriving = np.isnan(over_before) and not np.isnan(over)
            y = np.array([y[0] + h * rates[0], y[1] + h * rates[1], y[2] + h * rates[2]])
            if arriving:
                y[1], y[2] = orders.goal.north_rad, orders.goal.east_rad
            t += h
        ends.burst[i] = burst
        ends.landed_s[i], ends.north_rad[i], ends.east_rad[i] = t, y[1], y[2]
        ends.over_field_amsl_m[i] = over


def adaptive(scene: Any, swarm: Any, gear: Any, orders: Orders, start_m: float, i: int) -> Any:
    """One whole flight by scipy's adaptive Runge-Kutta over the same compiled laws."""
    from scipy.integrate import solve_ivp

    balloon, craft, speeds, reaction_s = gear
    balance = balloon.balance
    envelope = _envelope(swarm, balloon.envelope, i)
    out, errors = (
        Errors(getattr(swarm, f"{way}_east_mps")[i], getattr(swarm, f"{way}_north_mps")[i], rise)
        for way, rise in (("out", swarm.rise_mps[i]), ("home", swarm.rise_mps[i]))
    )

    factors = swarm.climb_factor[i]

    def climbing(_: float, y: FloatArray) -> Any:
        return climb_rates(scene, balance, (envelope, out, factors), balloon.hanging_kg, y)

    def size(_: float, y: FloatArray) -> float:
        air = air_at(scene.layers, y[0])
        load = Masses(envelope.gas_kg, balloon.hanging_kg)
        return float(ask_rise_mps(envelope, balance, load, air, 2.0)[1] - envelope.burst_diameter_m)

    size.terminal = True  # type: ignore[attr-defined]
    up = solve_ivp(climbing, (0.0, orders.release_s), [start_m, 0.0, 0.0], rtol=1e-6, events=size)
    z, north, east = up.y[:, -1]
    speed = 0.0
    t = float(up.t[-1])
    if up.status == 1:
        t, z, north, east, speed = fallen(
            scene, balloon, orders, (errors, reaction_s[i]), np.array([t, z, north, east])
        )
    drop = craft.drop._replace(drop_drag=craft.drop_drag[i])
    factor = craft.glide_factor[i]
    own = Dropped(craft.polar, drop, factor)
    pull = _pull_out(own, scene.layers, Start(z, speed), orders.best_eas_mps)
    low = Point(t, z - pull.level_lost_m, north, east)
    t, _, north, east = ask_drifted(scene, errors, low, pull.steady_s)
    z -= pull.steady_lost_m
    glider = (craft.polar, factor, errors)

    def gliding(_: float, y: FloatArray) -> Any:
        return glide_rates(scene, speeds, glider, orders, y)[:3]

    def there(_: float, y: FloatArray) -> float:
        return float(glide_rates(scene, speeds, glider, orders, y)[3] - 20.0)

    def down(_: float, y: FloatArray) -> float:
        return float(y[0] - orders.goal.ground_amsl_m)

    there.terminal = down.terminal = True  # type: ignore[attr-defined]
    home = solve_ivp(gliding, (t, t + 40_000.0), [z, north, east], rtol=1e-6, events=(there, down))
    y, t = home.y[:, -1], float(home.t[-1])
    if len(home.t_events[0]):
        y = np.array([y[0], orders.goal.north_rad, orders.goal.east_rad])

        def circling(_: float, y: FloatArray) -> Any:
            return circle_rates(scene, speeds, glider, orders, y)

        last = solve_ivp(circling, (t, t + 40_000.0), y, rtol=1e-6, events=down)
        y, t = last.y[:, -1], float(last.t[-1])
    return t, y[1], y[2]
