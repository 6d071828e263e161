"""Reach tables and one state's doors, beside brute force over the airspeeds."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from bench.scene import demo_ensemble
from bench.timing import Row, best_s
from farglide.compute import on_threads
from farglide.glider.polar import EasBand, GlideAir, _fastest_eas, _slowest_eas, _steady
from farglide.kernel import roomy
from farglide.sim.core.states import states_of_climbs
from farglide.sim.core.workers import Stretch
from farglide.sim.reach.bearings import N_BEARING
from farglide.sim.reach.doors import doors, floors_of
from farglide.sim.reach.glides import Slabs, glides_of
from farglide.sim.reach.spares import spares
from farglide.sim.reach.speeds import kept_track, speeds_of
from farglide.sim.reach.straight import sum_straight
from farglide.sim.reach.support import FactorRange

FloatArray = NDArray[np.float64]
_N_LAYERS, _N_SPEED = 330, 40


@roomy
def _brute_some(
    scene: Any, craft: Any, swarm: Any, some: tuple[int, int], n_speed: int, out: Any
) -> None:
    """The same table by trying every airspeed in every layer and bearing, anew for each draw."""
    polar, limits, believed, factor = craft
    layers = scene.layers
    n_dir = out.shape[2]
    east = np.cos(2.0 * np.pi * np.arange(n_dir) / n_dir)
    north = np.sin(2.0 * np.pi * np.arange(n_dir) / n_dir)
    for i in range(some[0], some[1]):
        total = np.zeros(n_dir)
        for k in range(out.shape[1] - 1):
            air = GlideAir(
                layers.rho_kgpm3[k],
                layers.viscosity_pas[k],
                layers.tas_per_eas[k],
                layers.slowing_s2pm2[k],
                layers.gravity_mps2[k] / 9.80665,
            )
            low = _slowest_eas(polar)
            high = _fastest_eas(limits[0], limits[1], layers.sound_mps[k], layers.tas_per_eas[k])
            up = swarm.rise_mps[i, k]
            known_u, known_v = layers.u_mps[0, k], layers.v_mps[0, k]
            u = known_u + swarm.home_east_mps[i, k]
            v = known_v + swarm.home_north_mps[i, k]
            metres = layers.step_m * layers.shortening_ratio[k]
            for n in range(n_dir):
                along, across = u * east[n] + v * north[n], v * east[n] - u * north[n]
                side, ahead = known_v * east[n] - known_u * north[n], known_u * east[n]
                ahead += known_v * north[n]
                best, wanted = -1e30, high
                for j in range(n_speed):
                    eas = low + (high - low) * j / (n_speed - 1)
                    level, sink = _steady(polar, eas, air, believed, 1.0)
                    left = level * level - side * side
                    value = (np.sqrt(max(left, 0.0)) + ahead) / sink
                    if value > best and left > 0.0:
                        best, wanted = value, eas
                kept = kept_track(polar, air, factor[i], across, EasBand(wanted, high))
                left = max(kept.level_mps * kept.level_mps - across * across, 0.0)
                found = (np.sqrt(left) + along) / (kept.sink_mps - up)
                total[n] += metres * found
                out[i, k + 1, n] = total[n]


def _cut(ensemble: Any) -> Any:
    """The scene with 330 layers."""
    layers = ensemble.air.scene.layers
    short = [a[..., :_N_LAYERS] if isinstance(a, np.ndarray) else a for a in layers]
    short = [np.ascontiguousarray(a) if isinstance(a, np.ndarray) else a for a in short]
    return ensemble.air.scene._replace(layers=type(layers)(*short))


def reach_rows() -> list[Row]:
    """1 000 draws x 330 layers x 32 bearings."""
    ensemble = demo_ensemble(1000, prices_mps=(8.0,), slab=5)
    scene, two = _cut(ensemble), on_threads(2)
    drawn, reaches = ensemble.draws, ensemble.reach.reaches
    factors = drawn.glide_factor
    between = FactorRange(float(factors.min()), float(factors.max()))

    def table() -> Any:
        speeds = speeds_of(scene, reaches.craft, np.zeros(1), two)
        slabs, rows = Slabs(1, 1), Stretch(0, 1)
        glides = glides_of(scene, reaches.craft, speeds, slabs, rows, between, two)
        return sum_straight(scene, glides, drawn, two).made_m

    table_s = best_s(table)
    dense = table()
    few = 10
    polar, limits, believed = reaches.craft
    craft = (polar, limits, believed, factors)

    def brute(n_speed: int = _N_SPEED) -> Any:
        out = np.zeros((few, _N_LAYERS + 1, N_BEARING))
        _brute_some(scene, craft, drawn.swarm, (0, few), n_speed, out)
        return out

    brute_s = best_s(brute, 1) * 1000.0 / few / 2.0
    exact = brute(400)
    off = float(np.abs(dense[:few] - exact).max() / np.abs(exact).max())
    return [
        ("reach table 1 000 x 330 x 32, 2 threads", f"{1e3 * table_s:.0f} ms", "bar 100 ms"),
        ("  memory of the table, each layer", f"{dense.nbytes / 1e6:.0f} MB", "bar 50 MB"),
        ("  against brute force over 40 airspeeds", f"{brute_s / table_s:.0f} x", "bar 4 x"),
        ("  error against 400 airspeeds", f"{off:.1e}", "bar 5e-4"),
    ]


def state_rows() -> list[Row]:
    """One state against 6 fields and 1 000 draws, with spare height."""
    ensemble = demo_ensemble(1000)
    goals = type(ensemble.goals)(*(np.resize(a, 6).copy() for a in ensemble.goals))
    climbs = ensemble.climbs
    states = states_of_climbs(climbs.tracks, climbs.burst_share, np.array([150]))
    releases = ensemble.released
    two = on_threads(2)

    floors = floors_of(ensemble.air.scene, releases, ensemble.reach.reaches, goals, two)

    def ask() -> Any:
        found = doors(ensemble.air.scene, releases, states, ensemble.reach.reaches, floors, two)
        high = spares(ensemble.air.scene, releases, states, ensemble.reach.reaches, floors, two)
        return found, high

    return [
        ("one state, 6 fields, 1 000 draws, spare", f"{1e3 * best_s(ask, 100):.1f} ms", "bar 6 ms")
    ]
