"""Rose: a reach table asked in evenly spaced directions, and how far a place lies inside."""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray, SingleArray
from farglide.kernel import compiled, inlined, inner, laned, merged, roomy
from farglide.sim.core.workers import Stretch, Workers, in_one_go
from farglide.sim.reach.reach import N_NODE, N_TERM, Descent, Reach

LANES: Final = 8
_NEAR_EDGE_M: Final = 4000.0


class Rose(NamedTuple):
    """Directions counted from east through north, and the terms of the series in each."""

    east: SingleArray
    north: SingleArray
    basis: SingleArray  # (N_TERM, n_directions): series times basis is the support function


def rose_of(n_directions: int) -> Rose:
    """Return a rose of directions: an even number, a multiple of 8 to fill vector registers."""
    angle = 2.0 * np.pi * np.arange(n_directions) / n_directions
    order = np.arange(1, N_NODE)[:, None]
    terms = [np.ones((1, n_directions)), np.cos(order * angle), np.sin(order * angle)]
    return Rose(
        np.cos(angle).astype(np.float32),
        np.sin(angle).astype(np.float32),
        np.ascontiguousarray(np.concatenate(terms)).astype(np.float32),
    )


FINE: Final = rose_of(72)
COARSE: Final = rose_of(40)
"""For the many tables of priced reach: the parabola between directions makes up for their width."""


def directions(reach: Reach, rose: Rose = FINE, workers: Workers = in_one_go) -> SingleArray:
    """Return the support function in each direction, shape (n_rows, n_edges, n_directions)."""
    n, n_edges, _ = reach.series.shape
    out = np.empty((n, n_edges, len(rose.east)), dtype=np.float32)
    workers(lambda first, last: _directions_some(reach.series, rose, Stretch(first, last), out), n)
    return out


@laned
def _directions_some(series: SingleArray, rose: Rose, some: Stretch, out: SingleArray) -> None:
    for row in range(some.first, some.last):
        for edge in range(series.shape[1]):
            _evaluate(series[row, edge], rose, out[row, edge])


@inlined
def _evaluate(terms: SingleArray, rose: Rose, out: SingleArray) -> None:
    """Fill `out` with one series in each direction of the rose.

    Opposite directions share their terms: even orders agree there, odd orders change sign.
    """
    half = len(out) // 2
    for n in range(half):
        even, odd = terms[0], np.float32(0.0)
        for j in range(1, N_NODE, 2):
            odd += (
                terms[j] * rose.basis[j, n] + terms[N_NODE - 1 + j] * rose.basis[N_NODE - 1 + j, n]
            )
        for j in range(2, N_NODE, 2):
            even += (
                terms[j] * rose.basis[j, n] + terms[N_NODE - 1 + j] * rose.basis[N_NODE - 1 + j, n]
            )
        out[n], out[half + n] = even + odd, even - odd


def support_between(reach: Reach, descent: Descent) -> FloatArray:
    """Return draw 0's support function from the upper to the lower height, in 72 directions."""
    high, low = np.empty_like(FINE.east), np.empty_like(FINE.east)
    _fill_support(reach, 0, descent.from_amsl_m, FINE, high)
    _fill_support(reach, 0, descent.to_amsl_m, FINE, low)
    return high.astype(np.float64) - low.astype(np.float64)


@compiled
def _fill_support(reach: Reach, i: int, amsl_m: float, rose: Rose, out: SingleArray) -> None:
    _support_at(reach, i, amsl_m, rose, out)


@inner
def _terms_at(reach: Reach, i: int, amsl_m: float, terms: SingleArray) -> None:
    """Fill `terms` with row i's series from the base up to a height.

    The tables are far larger than the caches. Callers that need several rows fetch them one right
    after the other, so that the waits for memory overlap, and only then evaluate.
    """
    x = (amsl_m - reach.base_amsl_m) / reach.step_m
    x = min(max(x, 0.0), reach.series.shape[1] - 1.000001)
    k = int(x)
    w = np.float32(x - k)
    low, high = reach.series[i, k], reach.series[i, k + 1]
    for j in range(N_TERM):
        terms[j] = low[j] + w * (high[j] - low[j])


@roomy
def _support_at(reach: Reach, i: int, amsl_m: float, rose: Rose, out: SingleArray) -> None:
    """Fill `out` with row i's support function from the base up to a height."""
    terms = np.empty(N_TERM, np.float32)
    _terms_at(reach, i, amsl_m, terms)
    _evaluate(terms, rose, out)


@merged
def _along(rose: Rose, east_m: float, north_m: float, out: SingleArray) -> None:
    """Fill `out` with how far an offset lies along each direction."""
    east, north = np.float32(east_m), np.float32(north_m)
    for n in range(len(out)):
        out[n] = rose.east[n] * east + rose.north[n] * north


@merged
def _least(high: SingleArray, low: SingleArray, along: SingleArray, lanes: SingleArray) -> float:
    """Return the least of H(n) - n.d over the rose.

    Eight running minima side by side, so that the loop fills vector registers.
    """
    for j in range(LANES):
        lanes[j] = np.float32(1e9)
    for block in range(0, len(high), LANES):
        for j in range(LANES):
            m = high[block + j] - low[block + j] - along[block + j]
            lanes[j] = m if m < lanes[j] else lanes[j]
    least = lanes[0]
    for j in range(1, LANES):
        least = lanes[j] if lanes[j] < least else least
    return least


@compiled
def _between(
    high: SingleArray, low: SingleArray, along: SingleArray, least: float
) -> tuple[float, float]:
    """Return the least margin between the directions and where it lies, in their steps.

    A parabola through the three directions around the least.
    """
    at = 0
    for n in range(len(high)):
        if high[n] - low[n] - along[n] <= least:
            at = n
            break
    before, after = (at - 1) % len(high), (at + 1) % len(high)
    a = high[before] - low[before] - along[before]
    b = high[after] - low[after] - along[after]
    bend = a - 2.0 * least + b
    if bend <= 0.0:
        return least, float(at)
    return least - (a - b) * (a - b) / (8.0 * bend), at + 0.5 * (a - b) / bend


@merged
def _margin(high: SingleArray, low: SingleArray, along: SingleArray, lanes: SingleArray) -> float:
    """Return the least of H(n) - n.d over all directions: negative is out of reach.

    Far from the edge the correction between directions, some hundred metres, decides nothing.
    """
    least = _least(high, low, along, lanes)
    if -_NEAR_EDGE_M < least < _NEAR_EDGE_M:
        return _between(high, low, along, least)[0]
    return least
