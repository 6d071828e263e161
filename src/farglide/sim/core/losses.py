"""Losses: what the drop and the pull-out cost each draw, by the height of the release."""

from typing import Final, NamedTuple

import numpy as np

from farglide.air.layers import Layers
from farglide.arrays import FloatArray
from farglide.glider.release import Drop, Dropped, Start, _pull_out
from farglide.glider.wing import Polar
from farglide.kernel import compiled, inner
from farglide.sim.core.workers import Stretch, Workers, in_one_go

LOSS_STEP_M: Final = 5000.0
N_LOSS: Final = 9
_N_FACTOR: Final = 9
_N_DRAG: Final = 5


class Fleet(NamedTuple):
    """The glider of all draws, and what each draw makes of it."""

    polar: Polar
    drop: Drop
    glide_factor: FloatArray  # (n_draws,)
    drop_drag: FloatArray  # C_D of the falling glider


class Losses(NamedTuple):
    """What the drop costs each draw, every 5 km from the base, shape (n_draws, N_LOSS)."""

    lost_m: FloatArray
    elapsed_s: FloatArray


class Peaks(NamedTuple):
    """The fastest of the pull-out by height of the release, every LOSS_STEP_M from the base."""

    eas_mps: FloatArray
    mach: FloatArray


@compiled
def _node(layers: Layers, j: int) -> Start:
    """Return a drop at rest from one of the heights of the tables."""
    return Start(layers.base_amsl_m + max(j * LOSS_STEP_M, 400.0), 0.0)


@inner
def _dropped(fleet: Fleet, i: int) -> Dropped:
    """Return the glider of one draw."""
    drop = fleet.drop
    own = Drop(fleet.drop_drag[i], drop.pull_eas_mps, drop.pull_load, drop.level_angle_rad)
    return Dropped(fleet.polar, own, fleet.glide_factor[i])


def pullout_peaks(layers: Layers, dropped: Dropped, glide_eas_mps: float) -> Peaks:
    """Return peak EAS and Mach number of pull-outs from N_LOSS heights; NaN if never level."""
    found = [_pull_out(dropped, layers, _node(layers, j), glide_eas_mps) for j in range(N_LOSS)]
    return Peaks(
        np.array([one.peak_eas_mps for one in found]), np.array([one.peak_mach for one in found])
    )


@compiled
def _loss_some(
    layers: Layers, fleet: Fleet, glide_eas_mps: float, some: Stretch, out: Losses
) -> None:
    for i in range(some.first, some.last):
        own = _dropped(fleet, i)
        for j in range(N_LOSS):
            result = _pull_out(own, layers, _node(layers, j), glide_eas_mps)
            out.lost_m[i, j], out.elapsed_s[i, j] = result.level_lost_m, result.level_s


def drop_losses(
    layers: Layers, fleet: Fleet, glide_eas_mps: float, workers: Workers = in_one_go
) -> Losses:
    """Return height and time from the drop to level flight for all draws."""
    n = len(fleet.glide_factor)
    out = Losses(np.empty((n, N_LOSS)), np.empty((n, N_LOSS)))
    workers(lambda a, b: _loss_some(layers, fleet, glide_eas_mps, Stretch(a, b), out), n)
    return out


def drawn_losses(
    layers: Layers, fleet: Fleet, glide_eas_mps: float, workers: Workers = in_one_go
) -> Losses:
    """Return the losses of many draws, looked up in a grid of glide factors and drag coefficients.

    The grid spans the draws; between its nodes losses are linear in both: within 0.3 % of
    `drop_losses`, which pulls every draw out by itself, up to a spread of the glide factor of 15 %,
    and within 1.3 % at 20 %.
    """
    factor, drag = fleet.glide_factor, fleet.drop_drag
    factors = np.linspace(factor.min(), factor.max() + 1e-9, _N_FACTOR)
    drags = np.linspace(drag.min(), drag.max() + 1e-9, _N_DRAG)
    nodes = fleet._replace(
        glide_factor=np.repeat(factors, _N_DRAG), drop_drag=np.tile(drags, _N_FACTOR)
    )
    grid = drop_losses(layers, nodes, glide_eas_mps, workers)
    shape = (_N_FACTOR, _N_DRAG, N_LOSS)
    return Losses(*(_bilinear(values.reshape(shape), factors, drags, fleet) for values in grid))


def _bilinear(grid: FloatArray, factors: FloatArray, drags: FloatArray, fleet: Fleet) -> FloatArray:
    x = (fleet.glide_factor - factors[0]) / (factors[1] - factors[0])
    y = (fleet.drop_drag - drags[0]) / (drags[1] - drags[0])
    i = np.clip(x.astype(np.int64), 0, _N_FACTOR - 2)
    j = np.clip(y.astype(np.int64), 0, _N_DRAG - 2)
    u, v = (x - i)[:, None], (y - j)[:, None]
    low = (1.0 - v) * grid[i, j] + v * grid[i, j + 1]
    high = (1.0 - v) * grid[i + 1, j] + v * grid[i + 1, j + 1]
    values: FloatArray = (1.0 - u) * low + u * high
    return values


@inner
def _loss_at(losses: Losses, i: int, above_m: float) -> tuple[float, float]:
    """Return height and time lost; both grow about as the inverse density, so by equal shares."""
    x = min(max(above_m / LOSS_STEP_M, 0.0), N_LOSS - 1.000001)
    j = int(x)
    w = x - j
    lost_m, elapsed_s = losses.lost_m, losses.elapsed_s
    return (
        lost_m[i, j] * (lost_m[i, j + 1] / lost_m[i, j]) ** w,
        elapsed_s[i, j] * (elapsed_s[i, j + 1] / elapsed_s[i, j]) ** w,
    )
