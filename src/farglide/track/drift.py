"""Drift: the winds that a balloon's own movement tells, beside those that were told."""

from itertools import pairwise
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.errors import InputError
from farglide.sim.core.cube import Lines, apart_along
from farglide.sim.core.learnt import Measured
from farglide.sim.core.scene import Scene
from farglide.sim.core.step import Offset, apart_m

LEAST_M: Final = 100.0
LEAST_S: Final = 15.0
"""A stretch is at least so high, or so long where the balloon hardly climbs: shorter ones tell more
of the swing on the line and of the receiver than of the wind."""
_HANGING_S: Final = 120.0
_SWING_MPS: Final = 0.3
"""What the swing of the load leaves in the mean of a stretch. Common practice, no source."""


class Been(NamedTuple):
    """Where one balloon has been, arrays (n_fixes,), times rising; offsets from the launch."""

    t_s: FloatArray
    amsl_m: FloatArray
    north_rad: FloatArray
    east_rad: FloatArray


def measured_winds(scene: Scene, been: Been, place_sd_m: float) -> Measured:
    """Return the mean wind over each stretch of a drift, less the wind told there.

    A stretch ends with the first fix that is `LEAST_M` above or below its first one and `LEAST_S`
    later, or two minutes later at any height: what is left over at the end is not told yet. A gap
    between fixes is one stretch through all layers passed, at an even speed. A balloon moves with
    the air. `place_sd_m`: of a fix, each component. Valid: fixes inside the column. Raises
    InputError.
    Source: Dabberdt & Turtiainen, Radiosondes, Encyclopedia of Atmospheric Sciences: winds from the
    change of place; from memory.
    """
    _check(scene, been, place_sd_m)
    ends = _ends(been)
    n_layers = len(scene.layers.rho_kgpm3)
    rows = [_stretch(scene, been, a, b) for a, b in pairwise(ends)]
    share = np.array([one.share_ratio for one in rows]).reshape(-1, n_layers)
    wind = np.array([one.wind_mps for one in rows]).reshape(-1, 2)
    seconds = np.diff(been.t_s[ends])
    told = np.einsum("ij,kij->ik", share, _told_mps(scene, been, ends))
    sd_mps = np.hypot(np.sqrt(2.0) * place_sd_m / seconds, _SWING_MPS)
    return Measured(share, wind - told, np.asarray(sd_mps))


def _told_mps(scene: Scene, been: Been, ends: list[int]) -> FloatArray:
    """Return the winds told east and north, (2, n_stretches, n_layers), where each stretch was."""
    n_layers = len(scene.layers.rho_kgpm3)
    middles = (0.5 * (one[ends][1:] + one[ends][:-1]) for one in
               (been.t_s, been.north_rad, been.east_rad))  # fmt: skip
    lines = Lines(*(np.repeat(one[:, None], n_layers, axis=1) for one in middles))
    apart = apart_along(scene.cube, np.zeros(len(lines.t_s), np.int64), lines)
    column = np.stack([scene.layers.u_mps[0], scene.layers.v_mps[0]])
    return np.asarray(column[:, None, :] + apart)


class _Told(NamedTuple):
    share_ratio: FloatArray  # (n_layers,), of the stretch's time
    wind_mps: FloatArray  # to east and north


def _check(scene: Scene, been: Been, place_sd_m: float) -> None:
    if not 0.0 < place_sd_m < 100_000.0:
        raise InputError("place_sd_m", f"{place_sd_m:g} m", "more than 0 and less than 100 000 m")
    if len({one.shape for one in been}) != 1 or been.t_s.ndim != 1:
        raise InputError("been", [one.shape for one in been], "four arrays (n_fixes,)")
    if not all(np.isfinite(one).all() for one in been):
        raise InputError("been", "not finite", "numbers", "Leave out fixes without a height.")
    if (np.diff(been.t_s) <= 0.0).any():
        raise InputError("t_s", "not rising", "times that rise", "Sort the fixes, one a moment.")
    layers = scene.layers
    top_m = layers.base_amsl_m + layers.step_m * len(layers.rho_kgpm3)
    for height_m in (been.amsl_m.min(initial=np.inf), been.amsl_m.max(initial=-np.inf)):
        if np.isfinite(height_m) and not layers.base_amsl_m <= height_m <= top_m:
            allowed = f"{layers.base_amsl_m:.0f} to {top_m:.0f} m, where the winds are told"
            raise InputError("amsl_m", f"{height_m:.0f} m", allowed)


def _ends(been: Been) -> list[int]:
    """Return the fixes at which stretches begin and end, none for fewer than two fixes."""
    ends = [0] if len(been.t_s) else []
    for k in range(1, len(been.t_s)):
        seconds = been.t_s[k] - been.t_s[ends[-1]]
        moved = abs(been.amsl_m[k] - been.amsl_m[ends[-1]]) >= LEAST_M
        if (moved and seconds >= LEAST_S) or seconds >= _HANGING_S:
            ends.append(k)
    return ends


def _stretch(scene: Scene, been: Been, a: int, b: int) -> _Told:
    """Return how long a stretch was in each layer, and the mean wind along it."""
    share = np.zeros(len(scene.layers.rho_kgpm3))
    for k in range(a, b):
        add_passage(scene, been, k, share)
    share /= share.sum()
    at, to = (Offset(float(been.north_rad[k]), float(been.east_rad[k])) for k in (a, b))
    away = apart_m(scene.frame, at, to)
    # over the ground a balloon high up moves less than its air does
    lengthened = 1.0 / float(share @ scene.layers.shortening_ratio)
    seconds = been.t_s[b] - been.t_s[a]
    return _Told(share, lengthened * np.array([away.east_m, away.north_m]) / seconds)


def add_passage(scene: Scene, been: Been, k: int, share: FloatArray) -> None:
    """Add the seconds from one fix to the next to the layers passed at an even speed."""
    layers = scene.layers
    low_m, high_m = sorted((been.amsl_m[k], been.amsl_m[k + 1]))
    first, last = ((z - layers.base_amsl_m) / layers.step_m for z in (low_m, high_m))
    edges = np.arange(len(share) + 1.0)
    inside = np.clip(np.minimum(edges[1:], last) - np.maximum(edges[:-1], first), 0.0, None)
    if not inside.sum() > 0.0:  # level flight
        inside[min(int(first), len(share) - 1)] = 1.0
    share += (been.t_s[k + 1] - been.t_s[k]) * inside / inside.sum()
