"""Told: where it is taken to be and how sure that is, and its states for the decision."""

from collections.abc import Collection
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import BoolArray, FloatArray, IntArray
from farglide.errors import InputError
from farglide.outlook.freshness import Freshness
from farglide.sim.core import states as kinds
from farglide.sim.core.draws import normals
from farglide.sim.core.states import States
from farglide.sim.core.step import _metres_per_rad
from farglide.sim.fly.particles import CARRIED, FLOATING, GROUND, TANGLED
from farglide.track.filter.chosen import systematic
from farglide.track.filter.particles import Laws, Particles, Story

_POINTS: Final = 4
"""Points laid for each particle into what it does not know of its own place."""
_OWN_SEED: Final = 4_000_037
EVERY: Final = frozenset(Story)
ALOFT: Final = frozenset(Story) - {Story.GROUND}
FLOWN: Final = frozenset({Story.GLIDING, Story.HANDS_OFF, Story.SPIRAL, Story.SPIN})


class Where(NamedTuple):
    """Where it is taken to be: the middle, and the circles that hold half and nine tenths."""

    amsl_m: float
    north_rad: float
    east_rad: float
    half_within_m: float
    most_within_m: float
    amsl_half_m: float  # half lie so near to the middle height
    amsl_most_m: float


class _Points(NamedTuple):
    north_m: FloatArray
    east_m: FloatArray
    amsl_m: FloatArray
    weight: FloatArray


def where(laws: Laws, particles: Particles, stories: Collection[Story] = EVERY) -> Where:
    """Return where it is, if it is one of some stories. Raises InputError where none of them is.

    What each particle does not know of its own place is in it, by the same numbers each time.
    """
    own = _of(particles, stories)
    points = _points(laws, particles, own)
    middle = [_quantile(one, points.weight, 0.5) for one in points[:3]]
    away = np.hypot(points.north_m - middle[0], points.east_m - middle[1])
    high = np.abs(points.amsl_m - middle[2])
    meridian, parallel = _metres(laws, particles)
    return Where(
        middle[2],
        middle[0] / meridian,
        middle[1] / parallel,
        *(_quantile(one, points.weight, q) for one in (away, high) for q in (0.5, 0.9)),
    )


def rank_of(laws: Laws, particles: Particles, north_rad: float, east_rad: float) -> float:
    """Return which share of what may be lies nearer to the middle than a place does.

    Of truths the rank is even from 0 to 1.
    """
    points = _points(laws, particles, _of(particles, EVERY))
    middle = [_quantile(one, points.weight, 0.5) for one in points[:2]]
    meridian, parallel = _metres(laws, particles)
    away = np.hypot(points.north_m - middle[0], points.east_m - middle[1])
    off = np.hypot(north_rad * meridian - middle[0], east_rad * parallel - middle[1])
    return float(points.weight[away <= off].sum())


def freshness(particles: Particles) -> Freshness:
    """Return how old the last fix is that fitted."""
    return Freshness.of_age(particles.after_launch_s - particles.placed_s)


def freshness_for(laws: Laws, particles: Particles, need_m: float) -> Freshness:
    """Return how good the place is for what it is needed for: the worse of its age and its circle.

    `need_m`: how near it must be known, nine times in ten: a field's spare reach, say. A circle up
    to that is as fresh as the fix, up to twice so wide it ages, up to five times it is guessed:
    common practice, no source. Raises InputError.
    """
    if not need_m > 0.0:
        raise InputError("need_m", f"{need_m:g} m", "more than 0 m")
    wide = where(laws, particles).most_within_m / need_m
    by_circle = list(Freshness)[sum((wide > 1.0, wide > 2.0, wide > 5.0))]
    by_age = freshness(particles)
    return max(by_circle, by_age, key=list(Freshness).index)


def states_of(
    laws: Laws, particles: Particles, stories: Collection[Story] = ALOFT, share: float = 0.5
) -> States:
    """Return a state for each draw, (n_draws, 1), for the decision that the plan asks.

    Each draw gets one of the particles, as many by its weight, its own where it is among them; so
    chances over the draws are chances of the stories asked for. What lies on the ground is nowhere.
    `share`: which of the particles is taken first, 0 to 1. Raises InputError where none is of them.
    """
    cloud, n = particles.cloud, laws.n_draws
    own = _of(particles, stories)
    weight = np.where(own, particles.weight, 0.0)
    taken = _to_draws(systematic(weight, n, share), cloud.draw, n)
    story = cloud.story[taken]
    names = {CARRIED: kinds.CLIMBING, FLOATING: kinds.FLOATING, TANGLED: kinds.FALLING}
    kind = np.full(n, kinds.GLIDING, np.uint8)
    for code, name in names.items():
        kind[story == code] = name
    rows = (cloud.amsl_m, cloud.north_rad, cloud.east_rad)
    amsl_m, north, east = (np.ascontiguousarray(one[taken][:, None]) for one in rows)
    amsl_m[story == GROUND] = np.nan
    top_m = laws.movers.scene.layers
    most_m = top_m.base_amsl_m + top_m.step_m * len(top_m.rho_kgpm3)
    amsl_m = np.minimum(amsl_m, most_m)
    t_s = np.full((n, 1), particles.after_launch_s)
    return States(kind[:, None], t_s, amsl_m, north, east, np.zeros((n, 1)))


def _of(particles: Particles, stories: Collection[Story]) -> BoolArray:
    own = np.isin(particles.cloud.story, [one.code for one in stories])
    if not particles.weight[own].sum() > 0.0:
        asked = ", ".join(sorted(stories))
        raise InputError("stories", asked, "one that has weight", "Ask for others.")
    return own


def _to_draws(taken: IntArray, draw: IntArray, n: int) -> IntArray:
    """Return which particle each draw gets, its own where that was taken."""
    found = np.full(n, -1, np.int64)
    spare = []
    for one in taken.tolist():
        at = draw[one]
        if found[at] < 0:
            found[at] = one
        else:
            spare.append(one)
    found[found < 0] = spare
    return found


def _metres(laws: Laws, particles: Particles) -> tuple[float, float]:
    north = float(particles.weight @ particles.cloud.north_rad)
    return _metres_per_rad(laws.movers.scene.frame, north)


def _points(laws: Laws, particles: Particles, own: BoolArray) -> _Points:
    """Return places in metres from the launch, some for each particle."""
    cloud = particles.cloud
    meridian, parallel = _metres(laws, particles)
    z = normals(_POINTS, 3 * len(own), laws.seed + _OWN_SEED).reshape(_POINTS, 3, -1)[:, :, own]
    level, up = np.sqrt(np.maximum(cloud.spread[own][:, :, 0].T, 0.0))
    north = cloud.north_rad[own] * meridian + level * z[:, 0]
    east = cloud.east_rad[own] * parallel + level * z[:, 1]
    amsl_m = cloud.amsl_m[own] + up * z[:, 2]
    weight = np.tile(particles.weight[own], _POINTS)
    return _Points(north.ravel(), east.ravel(), amsl_m.ravel(), weight / weight.sum())


def _quantile(values: FloatArray, weight: FloatArray, share: float) -> float:
    order = np.argsort(values, kind="stable")
    ends = np.cumsum(weight[order])
    at = int(np.searchsorted(ends, share * ends[-1]))
    return float(values[order[min(at, len(order) - 1)]])
