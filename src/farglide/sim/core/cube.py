"""Cube: how much the wind elsewhere and later differs from that of the column over the launch."""

from typing import NamedTuple

import numpy as np

from farglide.arrays import FloatArray, IntArray, SingleArray
from farglide.kernel import compiled, inner


class Cube(NamedTuple):
    """Winds less those of the column, in its layers, at even steps of time and place; a draw of
    number i flies in member i modulo their number.

    `apart_mps`: (n_members, n_times, n_rows, n_columns, n_layers, 2), east and north, as every
    layer's mean. Beyond its sides the outermost values hold: who flies there must have asked
    `sides_of`. An axis of length 1 is the same everywhere; without members the column serves all.
    """

    first_s: float  # after the launch
    step_s: float
    south_rad: float  # of the launch, as offsets of places are
    step_north_rad: float
    west_rad: float
    step_east_rad: float
    apart_mps: SingleArray


class When(NamedTuple):
    """Where and when a flight is, whatever its height. Offsets are radians from the launch."""

    t_s: float  # after the launch; NaN: nobody knows
    north_rad: float
    east_rad: float


class Sideways(NamedTuple):
    """A wind along the ground."""

    u_mps: float
    v_mps: float


def no_cube() -> Cube:
    """Return a cube without members: the column alone blows everywhere and at all times."""
    return Cube(0.0, 1.0, 0.0, 1.0, 0.0, 1.0, np.zeros((0, 1, 1, 1, 0, 2), np.float32))


@inner
def _share(x: float, n: int) -> tuple[int, int, float]:
    """Return the points of an axis before and after a place on it, and how far on it lies."""
    held = min(max(x, 0.0), n - 1.0)
    i = min(int(held), max(n - 2, 0))
    return i, min(i + 1, n - 1), held - i


@inner
def apart_at(cube: Cube, number: int, when: When, k: int) -> Sideways:
    """Return what a layer's wind differs by for a draw: linear in time, latitude and longitude."""
    rows = cube.apart_mps[number % len(cube.apart_mps)]
    t0, t1, wt = _share((when.t_s - cube.first_s) / cube.step_s, rows.shape[0])
    y0, y1, wy = _share((when.north_rad - cube.south_rad) / cube.step_north_rad, rows.shape[1])
    x0, x1, wx = _share((when.east_rad - cube.west_rad) / cube.step_east_rad, rows.shape[2])
    u, v = 0.0, 0.0
    for t, by_t in ((t0, 1.0 - wt), (t1, wt)):
        for y, by_y in ((y0, by_t * (1.0 - wy)), (y1, by_t * wy)):
            for x, by_x in ((x0, by_y * (1.0 - wx)), (x1, by_y * wx)):
                u += by_x * rows[t, y, x, k, 0]
                v += by_x * rows[t, y, x, k, 1]
    return Sideways(u, v)


class Lines(NamedTuple):
    """Where each draw is in the middle of each layer on some way, arrays (n_draws, n_layers)."""

    t_s: FloatArray  # after the launch
    north_rad: FloatArray
    east_rad: FloatArray


def apart_along(cube: Cube, numbers: IntArray, lines: Lines) -> SingleArray:
    """Return what winds differ by along a line of each draw, (2, n_draws, n_layers): east, north.

    `numbers`: of the draws, (n_draws,).
    """
    found = np.zeros((2, *lines.t_s.shape), np.float32)
    if len(cube.apart_mps):
        _fill_along(cube, numbers, lines, found)
    return found


@compiled
def _fill_along(cube: Cube, numbers: IntArray, lines: Lines, out: SingleArray) -> None:
    for i in range(len(numbers)):
        for k in range(out.shape[2]):
            when = When(lines.t_s[i, k], lines.north_rad[i, k], lines.east_rad[i, k])
            out[0, i, k], out[1, i, k] = apart_at(cube, numbers[i], when, k)
