"""Drifts: our climbs in 4-D winds beside a general particle-tracking library in the same field.

The library stands in an environment of its own, whose Python FARGLIDE_DRIFT_PYTHON names:
`python -m venv DIR && DIR/bin/pip install "parcels<4" "numpy<2.4"`; it needs a C compiler.
Run: python -m bench.beside.drifts
"""

import os
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any, Final

import numpy as np

from bench.scene import demo_ensemble
from bench.timing import Row, best_s
from farglide.arrays import FloatArray
from farglide.sim.core.cube import Cube
from farglide.sim.core.scene import Scene, Swarm
from farglide.sim.core.step import _metres_per_rad
from farglide.sim.fly.climb import Aloft, Clock, climb_on

NAMED: Final = "FARGLIDE_DRIFT_PYTHON"
_N: Final = 20_000
_END_S: Final = 3000.0
_CLOCK_S: Final = 60.0
_HALF_RAD: Final = 0.04
_N_SIDE: Final = 33
_HOUR_S: Final = 3600.0
_STEP_S: Final = 20.0


def drift_rows() -> list[Row]:
    """A million positions of balloons that climb alike from everywhere, one thread each."""
    ensemble = demo_ensemble(50, n_threads=1, prices_mps=(8.0,), slab=5)
    scene = ensemble.air.scene._replace(cube=_cube(len(ensemble.air.column.layers.p_pa)))
    swarm, begin = _alike(ensemble.draws.swarm), _begin(scene)
    aloft = Aloft(begin, np.ascontiguousarray(swarm.gas_kg))
    clock = Clock(float("nan"), _CLOCK_S, _END_S)

    def ours() -> Any:
        return climb_on(scene, swarm, ensemble.climbs.balloon, aloft, clock).tracks

    tracks, our_s = ours(), best_s(ours, 3)
    n_positions = int(np.isfinite(tracks.amsl_m).sum())
    name = f"{n_positions:,} positions of climbing balloons in 4-D wind, 1 thread"
    python = os.environ.get(NAMED)
    if not python:
        return [(name, f"{our_s:.2f} s", f"the library is not there: {NAMED} names no Python")]
    ends, their_s = _by_library(python, _case(scene, begin, tracks))
    apart_m = _apart_m(scene, tracks, ends)
    median_m, most_m = np.percentile(apart_m, [50, 99])
    return [
        (name, f"{our_s:.2f} s", ""),
        ("  against a particle-tracking library, Runge-Kutta 4 in 20 s", f"{their_s / our_s:.0f} x",
         "bar 10 x"),
        ("  end points apart", f"{median_m:.1f} m median, {most_m:.1f} m 99 %", "bar 20 m"),
    ]  # fmt: skip


def _cube(n_layers: int) -> Cube:
    """Return winds that grow to the east and turn with the hours."""
    t, y, x, k = np.meshgrid(np.arange(5.0), np.linspace(-1.0, 1.0, _N_SIDE),
                             np.linspace(-1.0, 1.0, _N_SIDE), np.arange(n_layers) / n_layers,
                             indexing="ij")  # fmt: skip
    apart = np.stack([k * (6.0 * x + 2.0 * t + 3.0 * np.sin(3.0 * y)),
                      k * (4.0 * y - 2.0 * t + 3.0 * np.cos(3.0 * x))], axis=-1)  # fmt: skip
    step_rad = 2.0 * _HALF_RAD / (_N_SIDE - 1)
    winds = np.ascontiguousarray(apart[None], dtype=np.float32)
    return Cube(0.0, _HOUR_S, -_HALF_RAD, step_rad, -_HALF_RAD, step_rad, winds)


def _alike(swarm: Swarm) -> Swarm:
    """Return as many balloons, all as the first and in air without errors."""
    rows = {name: np.repeat(one[:1], _N, axis=0) for name, one in swarm._asdict().items()}
    still = [name for name in Swarm._fields if name.endswith("_mps")]
    return Swarm(**(rows | {name: np.zeros_like(rows[name]) for name in still}))


def _begin(scene: Scene) -> FloatArray:
    """Return when and where each begins: at once and at one height, within 80 km."""
    rng = np.random.default_rng(3)
    low_m = scene.layers.base_amsl_m + 10.0 * scene.layers.step_m
    places = rng.uniform(-0.3 * _HALF_RAD, 0.3 * _HALF_RAD, (2, _N))
    return np.stack([np.zeros(_N), np.full(_N, low_m), *places], axis=1)


def _case(scene: Scene, begin: FloatArray, tracks: Any) -> dict[str, FloatArray | float]:
    """Return the field as radians a second of offset, and the climb as metres a second."""
    layers, cube = scene.layers, scene.cube
    middles_m = layers.base_amsl_m + layers.step_m * (np.arange(len(layers.p_pa)) + 0.5)
    axis_rad = -_HALF_RAD + cube.step_north_rad * np.arange(_N_SIDE)
    per_rad = np.array([_metres_per_rad(scene.frame, one) for one in axis_rad])
    winds = cube.apart_mps[0] + np.stack([layers.u_mps[0], layers.v_mps[0]], axis=-1)
    ground = winds * layers.shortening_ratio[:, None]
    z = tracks.amsl_m[0]
    rise_mps = np.interp(middles_m, 0.5 * (z[1:] + z[:-1]), np.diff(z) / _CLOCK_S)
    return {
        "begin": begin, "t_s": _HOUR_S * np.arange(5.0), "z_m": middles_m, "axis_rad": axis_rad,
        "east_radps": ground[..., 0] / per_rad[None, :, None, None, 1],
        "north_radps": ground[..., 1] / per_rad[None, :, None, None, 0],
        "rise_mps": rise_mps, "end_s": _END_S, "step_s": _STEP_S,
    }  # fmt: skip


def _by_library(python: str, case: dict[str, FloatArray | float]) -> tuple[FloatArray, float]:
    """Return heights and offsets at the end, (n, 3), and the seconds of the moves alone."""
    with tempfile.TemporaryDirectory() as folder:
        given, found = Path(folder) / "case.npz", Path(folder) / "ends.npz"
        np.savez(given, **case)  # type: ignore[arg-type]
        script = Path(__file__).with_name("trackinglibrary.py")
        env = {"PATH": os.environ["PATH"], "HOME": folder, "OMP_NUM_THREADS": "1"}
        subprocess.run([python, str(script), str(given), str(found)], check=True, env=env,
                       stdout=subprocess.DEVNULL)  # fmt: skip
        with np.load(found) as ends:
            return ends["ends"], float(ends["seconds"])


def _apart_m(scene: Scene, tracks: Any, ends: FloatArray) -> FloatArray:
    """Return how far over the ground the two are apart after the same time."""
    north, east = tracks.north_rad[:, -1], tracks.east_rad[:, -1]
    meridian, parallel = _metres_per_rad(scene.frame, 0.0)
    return np.asarray(np.hypot(meridian * (north - ends[:, 1]), parallel * (east - ends[:, 2])))


if __name__ == "__main__":
    for row in drift_rows():
        sys.stdout.write("  ".join(row) + "\n")
