"""Fresh: particles' places, draws and speeds as a flight's stories begin."""

from typing import Final

import numpy as np

from farglide.arrays import FloatArray, IntArray
from farglide.constants import STANDARD_GRAVITY_MPS2
from farglide.sim.core.release import begin_glide
from farglide.sim.core.tracks import Point
from farglide.sim.fly.particles import (
    CARRIED,
    FLOATING,
    GLIDING,
    HANDS_OFF,
    N_DOWN_WAYS,
    SETTLED_MPS,
    SPIN,
    SPIRAL,
    TANGLED,
    Cloud,
)
from farglide.track.filter.chosen import systematic
from farglide.track.filter.particles import Laws

GOLDEN: Final = 0.6180339887498949
"""Multiples of it, less whole ones, lie evenly however many there are."""
_AIMED_RATIO: Final = 0.7
"""A crew flies to the field advised; to another one that it likes better sometimes. A guess."""
_LATE_S: Final = 15.0
"""A burst is marked up to so much later: common practice, no source."""
_SLOWS_S, _SLOWS_RATIO = 5.5, 0.78
"""How long a level glider slows down to its glide: this, and so much of the time of its fall.

Source: `glider.release` from 5 to 30 km, within a tenth."""
_SWINGS_RATIO: Final = 2.0
"""So many times as long until one that nobody steers goes round: a guess, no source."""
FREE: Final = (GLIDING, HANDS_OFF, SPIRAL, SPIN)
"""What flies by itself: however it does, it has been let go first."""
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
    frees = np.isin(story, FREE)
    drop = drops_of(laws, at, draw, story)
    drop_s = np.where(frees, drop[:, 0] + drop[:, 2], 0.0)
    return Cloud(
        story=story, was=story.copy(), draw=draw, goal=goal,
        down_way=np.arange(n) % N_DOWN_WAYS, over=np.zeros(n, np.int64), factor=np.ones(n),
        amsl_m=np.full(n, at.amsl_m), north_rad=np.full(n, at.north_rad),
        east_rad=np.full(n, at.east_rad),
        speed_mps=_speeds_mps(story),
        drop_s=drop_s, heading_rad=np.full(n, np.nan),
        down_s=np.full(n, np.nan), off_mps=np.zeros((n, 3)), spread=spread, drop=drop,
    )  # fmt: skip


def _speeds_mps(story: IntArray) -> FloatArray:
    """Return how fast each falls by now: what floats does not yet."""
    falls = np.where(story == TANGLED, _gathered_mps(len(story)), SETTLED_MPS)
    return np.where(story == FLOATING, 0.0, falls)


def _gathered_mps(n: int) -> FloatArray:
    """Return speeds of falls from rest that began evenly up to `_LATE_S` ago; faster is settled."""
    ago_s = _LATE_S * evenly(n)
    return np.asarray(STANDARD_GRAVITY_MPS2 * ago_s)


def evenly(n: int) -> FloatArray:
    """Return numbers from 0 to 1 that lie evenly, however many are taken from the first."""
    return np.asarray(np.arange(n) * GOLDEN % 1.0)


def drops_of(laws: Laws, at: Point, draw: IntArray, story: IntArray) -> FloatArray:
    """Return how gliders of some draws that are let go at a place fall into their glide, (n, 4).

    As `sim.fly.drops` takes it. Until it is level as the plan has it; then it slows down, which
    takes about as long again (0.8 to 1.5 times what a pull-out by the book takes), and the way home
    is sought for as long as each draw does. What nobody steers swings for longer.
    """
    found, scene, haste = np.empty((len(draw), 4)), laws.movers.scene, laws.releases.haste
    at_once = laws.releases._replace(haste=haste._replace(heading_s=np.zeros(laws.n_draws)))
    slows = np.where(story == GLIDING, 0.8 + 0.7 * evenly(len(draw)), _SWINGS_RATIO)
    for i, d in enumerate(draw.tolist()):
        level = begin_glide(scene, at_once, d, at)
        whole = level if haste.heading_s[d] == 0.0 else begin_glide(scene, laws.releases, d, at)
        fall_s = max(level.t_s - at.t_s, 1e-3)
        after_s = whole.t_s - level.t_s + slows[i] * (_SLOWS_S + _SLOWS_RATIO * fall_s)
        after_m = level.amsl_m - whole.amsl_m
        found[i] = fall_s, max(at.amsl_m - level.amsl_m, 1e-3), after_s, after_m / after_s
    return found
