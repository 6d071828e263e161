"""Support of one layer: how far a glider gets in a direction per height lost, for every wind in it.

In a thin layer the ground made good along a unit vector n is max over the airspeed of
(V_h + c) / s, with c the wind along n. Scaled to EAS, that is a function F(c / (TAS per EAS)) of
the layer and of the glide factor alone, convex, with slope 1 / s: it is tabulated once for all
draws, and a draw only looks it up.
"""

from typing import Final, NamedTuple

import numpy as np

from farglide.air.layers import Layers
from farglide.arrays import FloatArray
from farglide.errors import InputError
from farglide.glider.polar import _slowest_eas, _steady
from farglide.glider.wing import Polar
from farglide.kernel import compiled, inlined, roomy
from farglide.sim.core.workers import Stretch, Workers, in_one_go
from farglide.sim.reach.drawnglider import Limits, glide_air, speed_band

N_COMPONENT: Final = 49
_WIDEST_EAS_MPS: Final = 60.0
N_FACTOR: Final = 13
_N_SPEED: Final = 120


class FactorRange(NamedTuple):
    """The glide factors that a table covers."""

    least: float
    most: float


class Bracket(NamedTuple):
    """Between which two of the table's glide factors one lies: the lower, and the upper's share."""

    lower: int
    share: float


class Support(NamedTuple):
    """F and its slope by layer, glide factor and scaled wind component."""

    first_factor: float
    step_factor: float
    value: FloatArray  # (n_layers, n_factors, N_COMPONENT)
    slope: FloatArray


@roomy
def _fill_layer(
    layers: Layers, polar: Polar, limits: Limits, support: Support, k: int, f: int
) -> None:
    """Fill F and slope of layer `k` at glide factor `f`: the upper envelope of straight lines.

    At a fixed speed F is a straight line in the component: cot(angle) + c / sink. The best speed
    falls as the component grows, so one walk over the speeds serves all components; the maximum
    between speeds is found by a parabola through three of them.
    """
    value, slope = support.value[k, f], support.slope[k, f]
    factor = support.first_factor + f * support.step_factor
    ratio = layers.tas_per_eas[k]
    air = glide_air(layers, k)
    band = speed_band(polar, limits, layers, k)
    low, high = band.slowest_mps, band.fastest_mps
    offset, per_sink = np.empty(_N_SPEED), np.empty(_N_SPEED)
    n = _N_SPEED if high > low else 1
    for j in range(n):
        eas = low + (high - low) * j / max(n - 1, 1)
        level, sink = _steady(polar, eas, air, factor, 1.0)
        offset[j], per_sink[j] = level / sink, ratio / sink
    fastest = n - 1
    while fastest > 0 and offset[fastest] <= 0.0:  # straight down: no way forward at that speed
        fastest -= 1
    j = fastest
    for i in range(N_COMPONENT):
        c = _WIDEST_EAS_MPS * (2.0 * i / (N_COMPONENT - 1) - 1.0)
        here = offset[j] + c * per_sink[j]
        while j > 0:
            slower = offset[j - 1] + c * per_sink[j - 1]
            if slower < here:
                break
            here, j = slower, j - 1
        value[i], slope[i] = here, per_sink[j]
        if 0 < j < fastest:
            before = offset[j - 1] + c * per_sink[j - 1]
            after = offset[j + 1] + c * per_sink[j + 1]
            bend = before - 2.0 * here + after
            if bend < 0.0:
                x = 0.5 * (before - after) / bend
                value[i] = here - 0.25 * (before - after) * x
                slope[i] = per_sink[j] + 0.5 * x * (
                    per_sink[j + 1]
                    - per_sink[j - 1]
                    + x * (per_sink[j + 1] - 2.0 * per_sink[j] + per_sink[j - 1])
                )
        dive = offset[n - 1] + c * per_sink[n - 1]
        if dive > value[i]:  # against a hopeless wind the fastest way down loses least
            value[i], slope[i] = dive, per_sink[n - 1]


@compiled
def _fill_some(
    layers: Layers, polar: Polar, limits: Limits, support: Support, some: Stretch
) -> None:
    for k in range(some.first, some.last):
        for f in range(support.value.shape[1]):
            _fill_layer(layers, polar, limits, support, k, f)


@inlined
def _look_up(support: Support, k: int, bracket: Bracket, c: float) -> tuple[float, float]:
    """Return F and its slope in layer k at a glide factor and scaled component c.

    Cubic Hermite between components, linear between glide factors; beyond the table the best speed
    is the fastest or the slowest allowed, so F is a straight line there.
    """
    f, w = bracket
    step = 2.0 * _WIDEST_EAS_MPS / (N_COMPONENT - 1)
    x = (c + _WIDEST_EAS_MPS) / step
    i = int(x)
    beyond = 0.0
    if x < 0.0:
        i, beyond, x = 0, c + _WIDEST_EAS_MPS, 0.0
    elif i >= N_COMPONENT - 1:
        beyond = c - _WIDEST_EAS_MPS
        i, x = N_COMPONENT - 2, N_COMPONENT - 1.0
    t = x - i
    u = 1.0 - w
    y0 = u * support.value[k, f, i] + w * support.value[k, f + 1, i]
    y1 = u * support.value[k, f, i + 1] + w * support.value[k, f + 1, i + 1]
    m0 = step * (u * support.slope[k, f, i] + w * support.slope[k, f + 1, i])
    m1 = step * (u * support.slope[k, f, i + 1] + w * support.slope[k, f + 1, i + 1])
    d = y1 - y0
    a, b = m0 - d, d - m1
    value = y0 + t * d + t * (1.0 - t) * ((1.0 - t) * a + t * b)
    slope = (d + (1.0 - 2.0 * t) * ((1.0 - t) * a + t * b) + t * (1.0 - t) * (b - a)) / step
    return value + beyond * slope, slope


def tabulate(
    layers: Layers, polar: Polar, limits: Limits, factors: FactorRange, workers: Workers = in_one_go
) -> Support:
    """Return the support table for a range of glide factors.

    Valid: factors 0.05 to 4; the top EAS above the slowest steady speed.
    """
    low, high = factors
    if not 0.05 <= low <= high <= 4.0:
        raise InputError("glide factors", (low, high), "0.05 to 4, rising")
    slowest = float(_slowest_eas(polar))
    if not limits.top_eas_mps >= slowest * (1.0 - 1e-9):
        raise InputError(
            "top_eas_mps",
            f"{limits.top_eas_mps} m/s",
            f"{slowest:.2f} m/s or more",
            "Slower, the wing cannot carry the glider without stalling.",
        )
    n = len(layers.rho_kgpm3)
    n_factor = N_FACTOR if high > low else 2
    step = max(high - low, 1e-6) / (n_factor - 1)
    shape = (n, n_factor, N_COMPONENT)
    support = Support(low, step, np.empty(shape), np.empty(shape))
    workers(lambda first, last: _fill_some(layers, polar, limits, support, Stretch(first, last)), n)
    return support


@compiled
def _bracket(support: Support, factor: float) -> Bracket:
    """Return where in the table a glide factor lies; beyond its ends, at the nearest."""
    x = (factor - support.first_factor) / support.step_factor
    x = min(max(x, 0.0), support.value.shape[1] - 1.000001)
    return Bracket(int(x), x - int(x))
