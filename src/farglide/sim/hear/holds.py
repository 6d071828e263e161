"""Holds: the chance that links hold from a release to the field, at each stand, draw by draw."""

import math
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray, SingleArray
from farglide.kernel import compiled, inner, roomy
from farglide.radio.path.bulge import NO_EDGE_ROOT_M
from farglide.sim.core.release import Goals, Releases, begun_from
from farglide.sim.core.scene import Scene
from farglide.sim.core.states import States
from farglide.sim.core.step import Offset
from farglide.sim.core.tracks import Point, Trails, between
from farglide.sim.core.workers import Stretch, Workers, in_one_go
from farglide.sim.hear.ears import Listeners
from farglide.sim.hear.hearing import (
    Geocentric,
    _placed,
    bulge_db,
    heard_db,
    margins_db,
    seen_from,
)

_LEGS: Final = 3
"""Parts of the way home, at whose ends the links are asked."""


class _Fields(NamedTuple):
    """The fields, and the margins over them at arrival height."""

    goals: Goals
    over_db: SingleArray  # (n_fields, n_stands, n_links)


@compiled
def held_ratio(margin_db: float, sd_db: float) -> float:
    """Return the chance that a link with a normal doubt about its budget holds.

    >>> [round(held_ratio(margin, 8.0), 2) for margin in (15.0, 10.0, -5.0)]
    [0.97, 0.89, 0.27]
    """
    if sd_db <= 0.0:
        return 1.0 if margin_db >= 0.0 else 0.0
    return 0.5 * math.erfc(-margin_db / (sd_db * math.sqrt(2.0)))


@compiled
def mean_held_ratio(margins_db: FloatArray, sd_db: float) -> float:
    """Return the mean chance over draws of which each has its own margin; 0 without any.

    >>> round(mean_held_ratio(np.array([15.0, 10.0, -np.inf]), 8.0), 2)
    0.62
    """
    total = 0.0
    for margin_db in margins_db:
        total += held_ratio(margin_db, sd_db)
    return total / max(len(margins_db), 1)


@roomy
def _holds_some(
    scene: Scene,
    releases: Releases,
    states: States,
    listeners: Listeners,
    fields: _Fields,
    some: Stretch,
    out: SingleArray,
) -> None:
    """Fill the chance of draws `some`: from the release along a straight way to each field."""
    goals, over = fields
    n_stands, n_links = len(listeners.ears.amsl_m), len(listeners.waves.near_db)
    begun, least = np.empty((n_stands, n_links)), np.empty((n_stands, n_links))
    for i in range(some.first, some.last):
        for j in range(states.amsl_m.shape[1]):
            if math.isnan(states.amsl_m[i, j]):
                continue
            start = begun_from(scene, releases, states, i, j)
            shift = Offset(math.nan, math.nan)
            for f in range(len(goals.north_rad)):
                moved = Offset(goals.moved_north_rad[f], goals.moved_east_rad[f])
                if moved.north_rad != shift.north_rad or moved.east_rad != shift.east_rad:
                    shift = moved
                    _unbound(begun)
                    _weaken(listeners, _shifted(scene, start, shift), begun)
                low_m = min(goals.arrival_amsl_m[f], start.amsl_m)
                end = Point(start.t_s, low_m, goals.north_rad[f], goals.east_rad[f])
                _unbound(least)
                for leg in range(1, _LEGS):
                    place = between(start, end, leg / _LEGS)
                    _weaken(listeners, _shifted(scene, place, shift), least)
                for s in range(n_stands):
                    for k in range(n_links):
                        margin = min(min(least[s, k], begun[s, k]), over[f, s, k])
                        out[i, j, f, s, k] = held_ratio(margin, listeners.waves.sd_db[k])


@inner
def _unbound(least: FloatArray) -> None:
    for s in range(least.shape[0]):
        for k in range(least.shape[1]):
            least[s, k] = math.inf


@inner
def _shifted(scene: Scene, at: Point, shift: Offset) -> Geocentric:
    """Return a point moved over the ground."""
    north_rad, east_rad = at.north_rad + shift.north_rad, at.east_rad + shift.east_rad
    return _placed(scene.frame, north_rad, east_rad, at.amsl_m)


@inner
def _weaken(listeners: Listeners, at: Geocentric, least: FloatArray) -> None:
    """Lower each margin in `least`, (n_stands, n_links), to that of a point where it is less."""
    for s in range(least.shape[0]):
        seen = seen_from(listeners.ears, s, at)
        spread_db = 20.0 * math.log10(seen.range_m)
        for k in range(least.shape[1]):
            margin = heard_db(listeners.waves, k, seen, spread_db)
            if seen.obstacle.bulge_root_m > NO_EDGE_ROOT_M:
                margin -= bulge_db(listeners.waves.root_pm[k], seen)
            least[s, k] = min(least[s, k], margin)


def _over_fields(scene: Scene, listeners: Listeners, goals: Goals) -> SingleArray:
    """Return the margins over the fields at arrival height, (n_fields, n_stands, n_links)."""
    places = Trails(
        goals.arrival_amsl_m[None],
        (goals.north_rad + goals.moved_north_rad)[None],
        (goals.east_rad + goals.moved_east_rad)[None],
    )
    found = margins_db(listeners, scene.frame, places)[0]
    return np.ascontiguousarray(np.moveaxis(found, 2, 0))


def holds(
    scene: Scene,
    releases: Releases,
    states: States,
    listeners: Listeners,
    goals: Goals,
    workers: Workers = in_one_go,
) -> SingleArray:
    """Return the chance that each link holds all the way, given that the glider flies it.

    As many draws are asked as there are states, the first ones. Shape (n_asked, n_moments,
    n_fields, n_stands, n_links), NaN where no balloon flies. The way is straight
    over the ground, its height even in the distance, down to the arrival height: a glider that
    keeps more height is heard better behind ridges and a little farther off. The doubt about a link
    is one number for the whole flight.
    """
    n, n_moments = states.amsl_m.shape
    n_stands, n_links = len(listeners.ears.amsl_m), len(listeners.waves.near_db)
    out = np.full((n, n_moments, len(goals.north_rad), n_stands, n_links), np.nan, np.float32)
    fields = _Fields(goals, _over_fields(scene, listeners, goals))

    def work(first: int, last: int) -> None:
        _holds_some(scene, releases, states, listeners, fields, Stretch(first, last), out)

    workers(work, n)
    return out
