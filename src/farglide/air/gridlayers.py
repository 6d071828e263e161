"""Grid layers: the mean winds of even layers over every point of a forecast."""

from typing import NamedTuple

import numpy as np

from farglide.air.windgrid import WindGrid
from farglide.arrays import FloatArray, SingleArray
from farglide.earth.heights import _geometric_at_m
from farglide.errors import InputError
from farglide.kernel import compiled, inner


class _Points(NamedTuple):
    """Levels over some points, (n_levels, n_points), lowest first, and where the points lie."""

    gph_m: SingleArray
    u_mps: SingleArray
    v_mps: SingleArray
    lat_rad: FloatArray  # (n_points,)


def layer_winds(grid: WindGrid, edges_amsl_m: FloatArray) -> SingleArray:
    """Return mean winds between even heights over each point of each member and time.

    Shape (n_members, n_times, n_rows, n_columns, n_layers, 2), east and north. Between levels the
    wind is linear in geometric height, below and above them the lowest and the highest hold, as in
    a column. A level that a point does not tell is passed over; a point with none is NaN.
    """
    steps = np.diff(edges_amsl_m)
    if len(steps) < 1 or not np.allclose(steps, steps[0]):
        raise InputError("edges_amsl_m", f"steps {np.unique(steps)}", "even steps, rising")
    n_members, n_times, n_levels, n_rows, n_columns = grid.shape
    out = np.empty((n_members, n_times, n_rows, n_columns, len(steps), 2), np.float32)
    lat_rad = np.repeat(np.radians(grid.lat_deg), n_columns)
    for member in range(n_members):
        for time in range(n_times):
            gph, u, v = (np.ascontiguousarray(one[member, time].reshape(n_levels, -1))
                         for one in (grid.gph_m, grid.u_mps, grid.v_mps))  # fmt: skip
            points = _Points(gph, u, v, lat_rad)
            _fill_means(points, edges_amsl_m, out[member, time].reshape(-1, len(steps), 2))
    return out


@compiled
def _fill_means(points: _Points, edges_m: FloatArray, out: SingleArray) -> None:
    """Fill `out`, (n_points, n_layers, 2), with the mean winds between the edges."""
    for i in range(len(points.lat_rad)):
        _fill_point(points, edges_m, out, i)


@inner
def _level(points: _Points, j: int, i: int) -> tuple[float, float, float]:
    """Return geometric height and winds of a level at a point, NaN where one is not told."""
    gph, u, v = points.gph_m[j, i], points.u_mps[j, i], points.v_mps[j, i]
    whole = gph + u + v
    if whole != whole:
        return np.nan, np.nan, np.nan
    return _geometric_at_m(float(gph), points.lat_rad[i]), float(u), float(v)


@inner
def _fill_point(points: _Points, edges_m: FloatArray, out: SingleArray, i: int) -> None:
    """Fill the layers of one point: what is summed over a layer is handed on at its edge."""
    n_levels, n_layers = len(points.gph_m), len(edges_m) - 1
    below_m, below_u, below_v = -np.inf, np.nan, np.nan
    k, sum_u, sum_v, at_m = 0, 0.0, 0.0, edges_m[0]
    for j in range(n_levels + 1):
        above_m, above_u, above_v = np.inf, below_u, below_v
        if j < n_levels:
            above_m, above_u, above_v = _level(points, j, i)
            if above_m != above_m or above_m <= below_m:
                continue
        if below_m == -np.inf:
            below_u, below_v = above_u, above_v  # the lowest holds on below
        rise_m = above_m - below_m
        while k < n_layers and at_m < above_m:
            to_m = min(edges_m[k + 1], above_m)
            share = 0.0
            if rise_m < np.inf:
                share = (0.5 * (at_m + to_m) - below_m) / rise_m
            sum_u += (to_m - at_m) * (below_u + share * (above_u - below_u))
            sum_v += (to_m - at_m) * (below_v + share * (above_v - below_v))
            at_m = to_m
            if to_m >= edges_m[k + 1]:
                thick_m = edges_m[k + 1] - edges_m[k]
                out[i, k, 0], out[i, k, 1] = sum_u / thick_m, sum_v / thick_m
                k, sum_u, sum_v = k + 1, 0.0, 0.0
        below_m, below_u, below_v = above_m, above_u, above_v
