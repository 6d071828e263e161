"""Wind: how the air moves where a flight is, the one place where flights and reach sample it."""

from typing import NamedTuple

import numpy as np

from farglide.kernel import compiled, inner, merged
from farglide.sim.core.cube import When, apart_at
from farglide.sim.core.scene import Scene
from farglide.sim.core.step import Errors, layer_index
from farglide.sim.core.tracks import Point


class AirCell(NamedTuple):
    """Where and when the air is sampled."""

    layer: int
    when: When


class Wind(NamedTuple):
    """How the air moves."""

    u_mps: float
    v_mps: float
    up_mps: float


@merged
def cell_in(layer: int) -> AirCell:
    """Return the cell of a layer, for those who know no place and no time: the column serves."""
    return AirCell(layer, When(np.nan, np.nan, np.nan))


@merged
def when_at(at: Point) -> When:
    """Return a moment of a flight without its height."""
    return When(at.t_s, at.north_rad, at.east_rad)


@merged
def cell_at(scene: Scene, at: Point) -> AirCell:
    """Return the cell around a place at a time."""
    return AirCell(layer_index(scene.layers, at.amsl_m), when_at(at))


@merged
def wind_at(scene: Scene, errors: Errors, cell: AirCell) -> Wind:
    """Return the wind of one draw in a cell: the one place where flights sample moving air."""
    layers, k = scene.layers, cell.layer
    u = layers.u_mps[0, k] + errors.east_mps[k]
    v = layers.v_mps[0, k] + errors.north_mps[k]
    if len(scene.cube.apart_mps) > 0 and not np.isnan(cell.when.t_s):
        apart = apart_at(scene.cube, errors.number, cell.when, k)
        u, v = u + apart.u_mps, v + apart.v_mps
    return Wind(u, v, np.float64(errors.up_mps[k]))


@inner
def slab_wind(scene: Scene, errors: Errors, cell: AirCell, slab: int) -> Wind:
    """Return the mean wind of the `slab` layers around that of a cell, at its place and time.

    The wind of the middle one alone would be off by a third of its shallow error in three layers.
    """
    u, v, up = 0.0, 0.0, 0.0
    for j in range(cell.layer - slab // 2, cell.layer + slab // 2 + 1):
        one = wind_at(scene, errors, AirCell(j, cell.when))
        u, v, up = u + one.u_mps, v + one.v_mps, up + one.up_mps
    return Wind(u / slab, v / slab, up / slab)


def no_errors(scene: Scene) -> Errors:
    """Return the errors of air that is as the column has it."""
    zero = np.zeros(len(scene.layers.rho_kgpm3), np.float32)
    return Errors(zero, zero, zero, 0)


def mean_wind(scene: Scene, amsl_m: float) -> Wind:
    """Return the wind at a height without any draw's error."""
    return Wind(*_wind_in(scene, no_errors(scene), Point(0.0, amsl_m, 0.0, 0.0)))


@compiled
def _wind_in(scene: Scene, errors: Errors, at: Point) -> Wind:
    return wind_at(scene, errors, cell_at(scene, at))
