"""Filters: our step beside a general particle-filter library on the same falls and draws.

The library stands in an environment of its own, whose Python FARGLIDE_FILTER_PYTHON names:
`python -m venv DIR && DIR/bin/pip install particles`. Run: python -m bench.beside.filters
"""

import math
import os
import subprocess
import sys
import tempfile
import time
from functools import cache
from pathlib import Path
from typing import Final, NamedTuple

import numpy as np

from bench.timing import Row
from farglide.arrays import FloatArray
from farglide.chances.after.storylaws import laws_of
from farglide.chances.ensemble import drawn_ensemble
from farglide.cli.inputs import Wanted, flight_and_pack
from farglide.cli.plan import DEMO
from farglide.sim.core.step import _metres_per_rad
from farglide.sim.fly.particles import SETTLED_MPS
from farglide.sim.fly.stories import moved
from farglide.sortie.grain import Grain
from farglide.track.filter.begun import Last, begun
from farglide.track.filter.observed import Observed, Placed
from farglide.track.filter.particles import Laws, Particles, Story
from farglide.track.filter.step import step

NAMED: Final = "FARGLIDE_FILTER_PYTHON"
N: Final = 500
RUNS: Final = ((N, 12), (5_000, 12), (50_000, 6), (200_000, 4))
"""By how many particles the library follows, and how often, until its mean differs from run to run
no more than ours."""
_INNER: Final = 16
"""Parts of a step that the library takes one by one: in one go it passes a layer's wind unseen, and
its mean is 1.6 m off to the east, in four parts of it 1.0 m to the north."""
_N_FIXES: Final = 10
_TRUE: Final = 200  # which particle the fixes are of
_TIMES: Final = 12
_STEP_S: Final = 2.0
_SD_M: Final = 10.0
_LAST: Final = Last(4560.0, 20_000.0, -0.005, 0.008, 10.0, 10.0)


class Found(NamedTuple):
    """What one filter came to: means and deviations of place and speed, (6,), and its step."""

    mean: FloatArray
    sd: FloatArray
    step_s: float
    spread: FloatArray  # of the means from run to run, (6,)
    sd_spread: FloatArray  # of the deviations, likewise


@cache
def laws() -> Laws:
    """Return by what the demo's particles move, 300 draws."""
    flight, pack = flight_and_pack(Wanted(file=DEMO, winds=None, pack=None, out=None))
    grain = Grain(n_draws=300, prices_mps=(8.0,), slab=5)
    return laws_of(drawn_ensemble(flight.sortie, pack.sounding, grain))


def fresh() -> Particles:
    """Return falls that have gathered their speed."""
    found = begun(laws(), _LAST, {Story.TANGLED: 1.0}, n=N)
    return found._replace(cloud=found.cloud._replace(speed_mps=np.full(N, SETTLED_MPS)))


def fixes() -> list[Placed]:
    """Return the fixes of one fall whose speed wanders as its story says, each with its error."""
    frame, noise, code = laws().movers.scene.frame, laws().movers.noise, Story.TANGLED.code
    cloud, kept = fresh().cloud, math.exp(-_STEP_S / float(noise.holds_s[code]))
    z = np.random.Generator(np.random.Philox(key=1)).standard_normal((_N_FIXES, 2, 3))
    wander = math.sqrt(1.0 - kept * kept) * np.array([1.0, 1.0, 0.5])
    meridian, parallel = _metres_per_rad(frame, _LAST.north_rad)
    found = []
    for k in range(_N_FIXES):
        cloud = cloud._replace(off_mps=cloud.off_mps + wander * z[k, 0])
        cloud = moved(laws().movers, cloud, _LAST.after_launch_s + k * _STEP_S, _STEP_S)
        off = _SD_M * z[k, 1]
        lat_rad = frame.lat_rad + cloud.north_rad[_TRUE] + off[1] / meridian
        lon_rad = frame.lon_rad + cloud.east_rad[_TRUE] + off[0] / parallel
        found.append(Placed(
            lat_deg=math.degrees(lat_rad), lon_deg=math.degrees(lon_rad), sd_m=_SD_M,
            amsl_m=float(cloud.amsl_m[_TRUE] + off[2]), amsl_sd_m=_SD_M,
        ))  # fmt: skip
    return found


def ours(told: list[Placed]) -> Found:
    """Return what our filter comes to, some times over with other seeds."""
    means, sds, took = [], [], []
    for seed in range(_TIMES):
        own, particles = laws()._replace(seed=seed), fresh()
        began = time.perf_counter()
        for k, fix in enumerate(told):
            at_s = _LAST.after_launch_s + (k + 1) * _STEP_S
            particles = step(own, particles, Observed(k, at_s, fix)).particles
        took.append((time.perf_counter() - began) / len(told))
        mean, sd = _moments(particles)
        means.append(mean)
        sds.append(sd)
    return _found(np.array(means), np.array(sds), float(np.median(took)))


def theirs(told: list[Placed], python: str, near_m: FloatArray) -> dict[int, Found]:
    """Return what the library comes to by its numbers of particles; raises where it cannot run.

    The last of them comes as near to the truth as ours (`near_m`), or is the most that is tried.
    """
    with tempfile.TemporaryDirectory() as folder:
        case, out = Path(folder) / "case.npz", Path(folder) / "out.npz"
        np.savez(case, near_m=near_m, **_case(told))  # type: ignore[arg-type]
        script = Path(__file__).with_name("library.py")
        subprocess.run([python, str(script), str(case), str(out)], check=True)
        with np.load(out) as found:
            return {
                n: _found(found[f"means_{n}"], found[f"sds_{n}"], float(found[f"step_s_{n}"]))
                for n, _ in RUNS
                if f"means_{n}" in found
            }


def filter_rows() -> list[Row]:
    """Our step beside the library's; a row that says so where there is none."""
    python = os.environ.get(NAMED, "")
    if not python or not Path(python).exists():
        return [("particle step beside a general library", "not measured", f"{NAMED} names none")]
    told = fixes()
    one = ours(told)
    others = theirs(told, python, one.spread[:3])
    rows = [(
        f"particle step, {N} particles, a fix", f"{1e6 * one.step_s:.0f} us",
        f"from run to run {_three(one.spread)} m apart",
    )]  # fmt: skip
    for n, other in others.items():
        rows.append((
            f"  general library, vectorised, {n} particles", f"{1e6 * other.step_s:.0f} us",
            f"{other.step_s / one.step_s:.1f} x; from run to run {_three(other.spread)} m apart",
        ))  # fmt: skip
    n, best = max(others.items(), key=lambda each: each[0])
    is_near = bool((best.spread[:3] <= one.spread[:3]).all())
    own_runs, runs = math.sqrt(_TIMES), math.sqrt(dict(RUNS)[n])
    sampling = np.hypot(one.spread / own_runs, best.spread / runs)
    sd_sampling = np.hypot(one.sd_spread / own_runs, best.sd_spread / runs) / best.sd
    apart = np.abs(one.mean - best.mean)
    rows += [
        (f"  as near as ours by {n}" if is_near else f"  not as near as ours by {n}",
         f"{best.step_s / one.step_s:.0f} x", "bar 20 x its speed"),
        ("  means apart, to east, north and up", f"{_three(apart)} m",
         f"sampling {_three(sampling)} m"),
        ("  spread beside the library's", _three(one.sd / best.sd),
         f"ratio; sampling {_three(sd_sampling)}"),
    ]  # fmt: skip
    return rows


def _three(values: FloatArray) -> str:
    return " ".join(f"{one:.2f}" for one in values[:3])


def _found(means: FloatArray, sds: FloatArray, step_s: float) -> Found:
    return Found(means.mean(axis=0), sds.mean(axis=0), step_s, means.std(axis=0), sds.std(axis=0))


def _moments(particles: Particles) -> tuple[FloatArray, FloatArray]:
    """Return means and deviations of place from the launch and of speeds' errors."""
    cloud, weight = particles.cloud, particles.weight
    meridian, parallel = _metres_per_rad(laws().movers.scene.frame, _LAST.north_rad)
    rows = np.column_stack([
        parallel * cloud.east_rad, meridian * cloud.north_rad, cloud.amsl_m, cloud.off_mps,
    ])  # fmt: skip
    own = np.column_stack([cloud.spread[:, k, j] for j in (0, 2) for k in (0, 0, 1)])
    mean = weight @ rows
    return mean, np.sqrt(weight @ ((rows - mean) ** 2 + own))


def _case(told: list[Placed]) -> dict[str, FloatArray | float]:
    """Return the same falls in metres, as the library takes them."""
    movers, cloud = laws().movers, fresh().cloud
    frame, layers, swarm = movers.scene.frame, movers.scene.layers, movers.swarm
    meridian, parallel = _metres_per_rad(frame, _LAST.north_rad)
    noise, code = movers.noise, Story.TANGLED.code
    kind = code - Story.HANDS_OFF.code
    places = [
        (parallel * (math.radians(one.lon_deg) - frame.lon_rad),
         meridian * (math.radians(one.lat_deg) - frame.lat_rad), one.amsl_m or 0.0)
        for one in told
    ]  # fmt: skip
    return {
        "n": np.array(RUNS), "step_s": _STEP_S, "n_inner": _INNER,
        "fix_m": np.array(places),
        "fix_sd_m": np.full(3, _SD_M),
        "begin_m": np.array([parallel * _LAST.east_rad, meridian * _LAST.north_rad, _LAST.amsl_m]),
        "begin_sd_m": np.array([_LAST.sd_m, _LAST.sd_m, _LAST.amsl_sd_m]),
        "begin_sd_mps": np.sqrt(cloud.spread[0, [0, 0, 1], 2]),
        "base_m": layers.base_amsl_m, "layer_m": layers.step_m, "tas_per_eas": layers.tas_per_eas,
        "shortening": layers.shortening_ratio, "u_mps": layers.u_mps[0], "v_mps": layers.v_mps[0],
        "east_mps": swarm.home_east_mps, "north_mps": swarm.home_north_mps,
        "rise_mps": swarm.rise_mps, "sink_mps": movers.sink_eas_mps[kind],
        "thin": -2.0 * movers.thin_exponent[kind], "level_mps": float(noise.level_mps[code]),
        "up_mps": float(noise.up_mps[code]), "up_ratio": float(noise.up_ratio[code]),
        "holds_s": float(noise.holds_s[code]),
    }  # fmt: skip


if __name__ == "__main__":
    for row in filter_rows():
        sys.stdout.write("  ".join(row) + "\n")
