"""Rose: a reach table asked in evenly spaced directions, and how far it reaches toward a place."""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray, SingleArray
from farglide.earth.geodesy import EastNorth
from farglide.sim.core.workers import Stretch, Workers, in_one_go
from farglide.sim.reach.reach import N_NODE, Descent, Reach


class Rose(NamedTuple):
    """Directions counted from east through north, and the terms of the series in each."""

    east: SingleArray
    north: SingleArray
    basis: SingleArray  # (N_TERM, n_directions): series times basis is the support function


def rose_of(n_directions: int) -> Rose:
    """Return a rose of evenly spaced directions."""
    angle = 2.0 * np.pi * np.arange(n_directions) / n_directions
    order = np.arange(1, N_NODE)[:, None]
    terms = [np.ones((1, n_directions)), np.cos(order * angle), np.sin(order * angle)]
    return Rose(
        np.cos(angle).astype(np.float32),
        np.sin(angle).astype(np.float32),
        np.ascontiguousarray(np.concatenate(terms)).astype(np.float32),
    )


FINE: Final = rose_of(72)
_FINEST: Final = rose_of(720)


def directions(reach: Reach, rose: Rose = FINE, workers: Workers = in_one_go) -> SingleArray:
    """Return the support function in each direction, shape (n_rows, n_edges, n_directions)."""
    n, n_edges, _ = reach.series.shape
    out = np.empty((n, n_edges, len(rose.east)), dtype=np.float32)

    def evaluate(first: int, last: int) -> None:
        some = Stretch(first, last)
        out[some.first : some.last] = reach.series[some.first : some.last] @ rose.basis

    workers(evaluate, n)
    return out


def support_between(reach: Reach, descent: Descent, rose: Rose = FINE) -> FloatArray:
    """Return draw 0's support function from the upper to the lower height, in each direction."""
    high, low = (_terms_at(reach, amsl_m) for amsl_m in descent)
    return (high - low) @ rose.basis.astype(np.float64)


def _terms_at(reach: Reach, amsl_m: float) -> FloatArray:
    """Return draw 0's series from the base up to a height."""
    x = (amsl_m - reach.base_amsl_m) / reach.step_m
    x = min(max(x, 0.0), reach.series.shape[1] - 1.000001)
    low, high = reach.series[0, int(x) : int(x) + 2].astype(np.float64)
    return np.asarray(low + (x - int(x)) * (high - low))


def farthest_m(reach: Reach, descent: Descent, away: EastNorth) -> float:
    """Return how far draw 0 gets toward a place on the best path of all, wherever that leads.

    A place at t times its direction e is in reach when t e.n is at most H(n) for every n.
    """
    support = support_between(reach, descent, _FINEST)
    along = _FINEST.east * away.east_m + _FINEST.north * away.north_m
    along = along / max(float(np.hypot(*away)), 1e-3)
    facing = along > 1e-3
    return float((support[facing] / along[facing]).min())
