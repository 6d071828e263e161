"""Glide: how flat a glider flew against the learnt winds, and how it sank when left to itself."""

from itertools import pairwise
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.errors import InputError
from farglide.glider.polar import steady_glide
from farglide.glider.wing import Polar
from farglide.review.pooled import Shown
from farglide.sim.core.learnt import Known
from farglide.sim.core.scene import Scene
from farglide.sim.core.step import Offset, apart_m
from farglide.track.drift import Been
from farglide.track.glideair import glide_air_at

STRETCH_S: Final = 30.0
LEAST: Final = 5
"""Fewer straight stretches tell no glide ratio: the belief is kept."""
_SETTLES_S: Final = 90.0
"""After the release: the pull-out, and the turn to the way home."""
_STRAIGHT_DEG: Final = 12.0
_STEADY_RATIO: Final = 0.15
_DEPTH_M: Final = 3000.0
"""Over so much height what is left of the winds' error hangs together, as `rig.airdoubts`."""
_SINK_SD_RATIO: Final = 0.05
_POLAR_RATIO: Final = 0.02
"""What the shape of the polar leaves: a choice, no source."""


class Stretches(NamedTuple):
    """Parts of a glide, arrays (n,): where, how fast through the air, how fast down."""

    amsl_m: FloatArray
    level_mps: FloatArray
    heading_deg: FloatArray
    sink_mps: FloatArray
    wind_sd_mps: FloatArray


def stretches_of(scene: Scene, home: Known, freed: Been) -> Stretches:
    """Return a glide in stretches of half a minute: its way over the ground less the wind's.

    `home`: what is known of the winds' error on the way home (`sim.core.learnt`).
    """
    ends = _ends(freed.t_s)
    z, t = freed.amsl_m[ends], freed.t_s[ends]
    middles_m, seconds = 0.5 * (z[1:] + z[:-1]), np.diff(t)
    layers = scene.layers
    heights_m = _heights_m(scene)
    told = np.stack([layers.u_mps[0], layers.v_mps[0]], axis=1)
    wind: FloatArray = np.asarray(told + home.mean_mps, np.float64)
    drift = np.stack([_mean_over(heights_m, wind[:, k], z) for k in (0, 1)], axis=1)
    shortening = np.interp(middles_m, heights_m, layers.shortening_ratio)
    moved = np.array([_moved_m(scene, freed, a, b) for a, b in pairwise(ends)])
    air = moved.reshape(-1, 2) / (seconds * shortening)[:, None] - drift
    return Stretches(
        middles_m,
        np.hypot(*air.T),
        np.degrees(np.arctan2(air[:, 0], air[:, 1])),
        -np.diff(z) / seconds,
        np.interp(middles_m, heights_m, home.sd_mps),
    )


def glide_shown(polar: Polar, scene: Scene, some: Stretches) -> Shown | None:
    """Return what the glide ratio was, over that of the polar; None with too few straight parts.

    Of each straight and steady stretch the factor with which the polar sinks as it did at that
    speed in that air. Their logarithms are averaged by least squares, with the errors that the
    wind's own error makes of them, which hang together over height and on like headings.
    Source: generalised least squares (Aitken), any textbook.
    """
    rows = [(k, log) for k in _straight(some)
            if (log := _log_factor(polar, scene, some, k)) is not None]  # fmt: skip
    if len(rows) < LEAST:
        return None
    at, logs = np.array([k for k, _ in rows]), np.array([log for _, log in rows])
    slope = np.array([_slope(polar, scene, some, k) for k in at.tolist()])
    felt = slope * some.wind_sd_mps[at] / some.level_mps[at]
    near = np.exp(-np.abs(np.subtract.outer(some.amsl_m[at], some.amsl_m[at])) / _DEPTH_M)
    turn = np.cos(np.radians(np.subtract.outer(some.heading_deg[at], some.heading_deg[at])))
    noise = near * turn * np.outer(felt, felt) + _SINK_SD_RATIO**2 * np.eye(len(at))
    weight = np.linalg.solve(noise, np.ones(len(at)))
    mean = float(weight @ logs / weight.sum())
    factor, sd = float(np.exp(mean)), float(np.hypot(1.0 / np.sqrt(weight.sum()), _POLAR_RATIO))
    return Shown(factor, factor * sd)


def sink_shown(scene: Scene, some: Been) -> Shown | None:
    """Return the sink of a glider left to itself, as at sea level; None with too few fixes.

    The way down is that of one equivalent sink: each metre takes as long as the air lets it.
    """
    if len(some.t_s) < LEAST or some.amsl_m[0] - some.amsl_m[-1] < 200.0:
        return None
    layers = scene.layers
    ratio = np.interp(some.amsl_m, _heights_m(scene), layers.tas_per_eas)
    middle = 0.5 * (ratio[1:] + ratio[:-1])
    equivalent_m = float((-np.diff(some.amsl_m) / middle).sum())
    sink_mps = equivalent_m / float(some.t_s[-1] - some.t_s[0])
    return Shown(sink_mps, _SINK_SD_RATIO * abs(sink_mps)) if sink_mps > 0.0 else None


def _ends(t_s: FloatArray) -> list[int]:
    """Return the fixes at which a stretch ends, from when the glide is steady on."""
    ends = list[int]()
    for k, at_s in enumerate(t_s.tolist()):
        if at_s >= (t_s[ends[-1]] + STRETCH_S if ends else t_s[0] + _SETTLES_S):
            ends.append(k)
    return ends


def _heights_m(scene: Scene) -> FloatArray:
    """Return the middles of the layers."""
    layers = scene.layers
    k = np.arange(len(layers.p_pa))
    return np.asarray(layers.base_amsl_m + layers.step_m * (k + 0.5), np.float64)


def _mean_over(heights_m: FloatArray, wind: FloatArray, z: FloatArray) -> FloatArray:
    """Return the mean of a wind between each two heights, passed evenly."""
    shares = (np.arange(8) + 0.5) / 8.0
    inside = z[:-1, None] + shares * np.diff(z)[:, None]
    return np.asarray(np.interp(inside, heights_m, wind).mean(axis=1))


def _moved_m(scene: Scene, been: Been, a: int, b: int) -> tuple[float, float]:
    at, to = (Offset(float(been.north_rad[k]), float(been.east_rad[k])) for k in (a, b))
    away = apart_m(scene.frame, at, to)
    return float(away.east_m), float(away.north_m)


def _straight(some: Stretches) -> list[int]:
    """Return the stretches that go straight on at one speed, with their neighbours."""
    n = len(some.level_mps)
    return [k for k in range(1, n - 1) if _is_like(some, k, k - 1) and _is_like(some, k, k + 1)]


def _is_like(some: Stretches, k: int, j: int) -> bool:
    turned = (some.heading_deg[k] - some.heading_deg[j] + 180.0) % 360.0 - 180.0
    faster = some.level_mps[j] / max(float(some.level_mps[k]), 1.0) - 1.0
    return bool(abs(turned) < _STRAIGHT_DEG and abs(faster) < _STEADY_RATIO)


def _log_factor(
    polar: Polar, scene: Scene, some: Stretches, k: int, scale: float = 1.0
) -> float | None:
    """Return the logarithm of the factor that makes the polar sink so; None outside its speeds."""
    level_mps, sink_mps = scale * float(some.level_mps[k]), float(some.sink_mps[k])
    air = glide_air_at(scene, float(some.amsl_m[k]))
    eas_mps = float(np.hypot(level_mps, sink_mps)) / air.tas_per_eas
    factor = 1.0
    try:
        for _ in range(6):
            glide = steady_glide(polar, eas_mps, air, factor)
            factor = min(max(factor * glide.sink_mps / max(sink_mps, 0.05), 0.05), 4.0)
    except InputError:
        return None
    return float(np.log(factor)) if 0.1 < factor < 3.9 else None


def _slope(polar: Polar, scene: Scene, some: Stretches, k: int) -> float:
    """Return by how much the logarithm moves with that of the speed."""
    low, high = (_log_factor(polar, scene, some, k, scale) for scale in (0.98, 1.02))
    return 1.0 if low is None or high is None else (high - low) / (2.0 * 0.02)
