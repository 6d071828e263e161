"""Fresh: particles' places, draws and speeds as a flight's stories begin."""

from typing import Final

import numpy as np

from farglide.arrays import BoolArray, FloatArray, IntArray
from farglide.constants import STANDARD_GRAVITY_MPS2
from farglide.sim.core.release import begin_glide
from farglide.sim.core.tracks import Point
from farglide.sim.fly.particles import CARRIED, FLOATING, GLIDING, SETTLED_MPS, TANGLED, Cloud
from farglide.track.filter.chosen import systematic
from farglide.track.filter.particles import Laws

GOLDEN: Final = 0.6180339887498949
"""Multiples of it, less whole ones, lie evenly however many there are."""
_AIMED_RATIO: Final = 0.7
"""A crew flies to the field advised; to another one that it likes better sometimes. A guess."""
_LATE_S: Final = 15.0
"""A burst is marked up to so much later: common practice, no source."""
_HUNG_MPS: Final = 0.5
"""So well its own drift has told the wind here of what hangs on a balloon: as `track.drift`."""


def even_draws(n: int, n_draws: int) -> IntArray:
    """Return n draws evenly out of all."""
    return (np.arange(n) * n_draws // max(n, 1)).astype(np.int64)


def goals_for(laws: Laws, aimed: int | None, n: int, normal: FloatArray) -> IntArray:
    """Return the field that each particle makes for if it glides."""
    n_fields = len(laws.movers.goals.north_rad)
    weight = np.full(n_fields, 1.0 / n_fields)
    if aimed is not None:
        weight *= 1.0 - _AIMED_RATIO
        weight[aimed] += _AIMED_RATIO
    order = np.argsort(np.argsort(normal, kind="stable"), kind="stable")
    return systematic(weight, n, 0.5)[order]


def fresh_cloud(laws: Laws, at: Point, story: IntArray, draw: IntArray, goal: IntArray) -> Cloud:
    """Return particles of some stories, draws and fields at one place, as sure of it as can be.

    Arrays: (n,). Of their speeds they know what their stories say.
    """
    n, noise = len(story), laws.movers.noise
    spread = np.zeros((n, 2, 3))
    hangs = np.isin(story, (CARRIED, FLOATING))
    told = np.minimum(noise.level_mps[story], np.where(hangs, _HUNG_MPS, np.inf))
    spread[:, 0, 2], spread[:, 1, 2] = told**2, noise.up_mps[story] ** 2
    drop_s, drop_mps = _drops(laws, at, draw, story == GLIDING)
    return Cloud(
        story=story, was=story.copy(), draw=draw, goal=goal, factor=np.ones(n),
        amsl_m=np.full(n, at.amsl_m), north_rad=np.full(n, at.north_rad),
        east_rad=np.full(n, at.east_rad),
        speed_mps=np.where(story == TANGLED, _gathered_mps(n), SETTLED_MPS),
        drop_s=drop_s, drop_mps=drop_mps, heading_rad=np.full(n, np.nan),
        down_s=np.full(n, np.nan), off_mps=np.zeros((n, 3)), spread=spread,
    )  # fmt: skip


def _gathered_mps(n: int) -> FloatArray:
    """Return speeds of falls from rest that began evenly up to `_LATE_S` ago; faster is settled."""
    ago_s = _LATE_S * (np.arange(n) * GOLDEN % 1.0)
    return np.asarray(STANDARD_GRAVITY_MPS2 * ago_s)


def _drops(
    laws: Laws, at: Point, draw: IntArray, glides: BoolArray
) -> tuple[FloatArray, FloatArray]:
    """Return how long each particle falls into its glide, and how fast in the mean."""
    seconds, mps = np.zeros(len(draw)), np.zeros(len(draw))
    scene = laws.movers.scene
    for i in np.flatnonzero(glides):
        begin = begin_glide(scene, laws.releases, int(draw[i]), at)
        seconds[i] = max(begin.t_s - at.t_s, 1e-3)
        mps[i] = (at.amsl_m - begin.amsl_m) / seconds[i]
    return seconds, mps
