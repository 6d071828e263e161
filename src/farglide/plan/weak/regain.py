"""Regain: from which places, and when, links are heard along what nobody steers."""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.atlas.crossing import crossings_m
from farglide.atlas.terrain import Terrain, flat
from farglide.chances.ahead import aloft_at
from farglide.chances.case import Case
from farglide.chances.ensemble import Ensemble
from farglide.chances.falls import Fall, falls_of, freed_fall, glider_falls, tangled
from farglide.chances.spells import stretches
from farglide.earth.geodesy import geodesic
from farglide.earth.state import place_of
from farglide.plan.faults.unsteered import freed
from farglide.plan.links.hearing import zero_s
from farglide.rig.listening import AT_LAUNCH_M, lowest_amsl_m, mast_of
from farglide.sim.core.tracks import Trails
from farglide.sim.fly.descend import trails
from farglide.sim.fly.level import levelled
from farglide.sim.hear.ears import CLEAR_M, Ears, Listeners, ears_of
from farglide.sim.hear.hearing import margins_db
from farglide.sortie.spec import Sortie, StandSpec

_CAR_MAST_M: Final = 2.0
"""An antenna held up beside the car, where no stand states a mast: common practice, no source."""
_GROUND_M: Final = 40_000.0
"""So far from a field the ground is looked at: a weak link hears nothing low and farther away."""
_PLAIN_S: Final = 20.0
_N_STEPS: Final = 40
"""Moments of a story at which the draws are heard; their best margin changes slowly."""
_N_DRAWS: Final = 64
_FREED_S: Final = 60.0
_LONGEST_S: Final = 12 * 3600.0


class _Begun(NamedTuple):
    """What comes down, and where each draw begins."""

    fall: Fall
    starts: FloatArray


class _Trailed(NamedTuple):
    """Flights of the draws on one clock."""

    clock_s: FloatArray
    flights: Trails


class _Heard(NamedTuple):
    """Margins of the draws on one clock."""

    clock_s: FloatArray
    margins_db: FloatArray


class Along(NamedTuple):
    """Margins of one story: without errors, and of the draws whose flight there is.

    `plain_db` (n_posts, n_links, n_moments); `drawn_db` (n_draws, n_posts, n_links, n_moments),
    each on its own clock; NaN once it is down.
    """

    story: str
    plain_s: FloatArray
    plain_db: FloatArray
    drawn_s: FloatArray
    drawn_db: FloatArray


def posts_of(sortie: Sortie) -> tuple[StandSpec, ...]:
    """Return the stands, then the fields that are no stand: a car can drive to those as well.

    They come as they would stand in the flight file, with the lowest mast of the crew's stands.
    """
    mast_m = min((one.mast_m for one in sortie.stands), default=_CAR_MAST_M)
    found = []
    for field in sortie.fields:
        here = StandSpec(
            name=field.name,
            lat_deg=field.lat_deg,
            lon_deg=field.lon_deg,
            amsl_m=field.amsl_m,
            mast_m=mast_m,
        )
        if all(_apart_m(here, stand) > CLEAR_M for stand in sortie.stands):
            found.append(here)
    return (*sortie.stands, *found)


def heard_along(case: Case, moment: int) -> tuple[Along, ...]:
    """Return the margins of all links at all posts, for each story of a release at a moment.

    The glider's stories begin when its drop and pull-out are over, those after a burst then. The
    freed balloon is told where a position link is stated: no other may hang on its line.
    """
    listening, both = case.plain.listening, (case.plain, case.drawn)
    if listening is None:
        return ()
    ears = (listening.ears, *_field_ears(case.drawn, case.terrain))
    posts = tuple(Listeners(one, listening.waves) for one in ears)
    found = [
        _along(case, posts, *begun)
        for begun in zip(*(_glider_and_remains(one, moment) for one in both), strict=True)
    ]
    if "position" in listening.purposes:
        heard = (_margins(one, posts, _freed(one, moment)) for one in both)
        found.append(_told(freed_fall(case.plain).what, *heard))
    return tuple(one for one in found if one is not None)


def spans_above(clock_s: FloatArray, margins: FloatArray) -> tuple[tuple[float, float], ...]:
    """Return the stretches with a margin of 0 or more, the margin changing evenly between moments.

    >>> spans_above(np.array([0.0, 10.0, 20.0, 30.0]), np.array([-1.0, 1.0, 3.0, np.nan]))
    ((5.0, 20.0),)
    """
    return tuple(
        (_crossing_s(clock_s, margins, a, a - 1), _crossing_s(clock_s, margins, past - 1, past))
        for a, past in stretches(margins >= 0.0)
    )


def _crossing_s(clock_s: FloatArray, margins: FloatArray, inside: int, outside: int) -> float:
    """Return when the margin is 0 between a moment above it and the next one beyond."""
    if not 0 <= outside < len(margins) or np.isnan(margins[outside]):
        return float(clock_s[inside])
    start_s, end_s = float(clock_s[inside]), float(clock_s[outside])
    return zero_s(start_s, float(margins[inside]), end_s, float(margins[outside]))


def barriers_between(sortie: Sortie, start: StandSpec, end: StandSpec) -> tuple[str, ...]:
    """Return the barriers that the straight line between two places crosses."""
    if _apart_m(start, end) < AT_LAUNCH_M:
        return ()
    way = (place_of(start), place_of(end))
    return tuple(one.name for one in sortie.barriers if crossings_m(one.outline, *way))


def _field_ears(ensemble: Ensemble, terrain: Terrain | None) -> tuple[Ears, ...]:
    """Return the ears at the fields; those at the stands are known."""
    sortie = ensemble.sortie
    masts = [mast_of(post, terrain) for post in posts_of(sortie)[len(sortie.stands) :]]
    if not masts:
        return ()
    ground = terrain or flat(lowest_amsl_m(sortie))
    return (ears_of(masts, ground, _GROUND_M, ensemble.workers),)


def _glider_and_remains(ensemble: Ensemble, moment: int) -> list[_Begun]:
    """Return every story of the first draws; the glider's begin when it is level."""
    begins = aloft_at(ensemble, moment).states[:_N_DRAWS]
    flying = levelled(ensemble.air.scene, ensemble.released, begins, ensemble.workers)
    return [
        *(_Begun(fall, flying) for fall in glider_falls(ensemble)),
        _Begun(tangled(ensemble), np.stack(ensemble.climbs.burst, axis=1)[:_N_DRAWS]),
    ]


def _along(case: Case, posts: tuple[Listeners, ...], plain: _Begun, drawn: _Begun) -> Along | None:
    """Return one story of the glider or of the remains, without errors and drawn."""
    if any(np.isnan(one.starts).all() for one in (plain, drawn)):
        return None  # a balloon that never bursts
    middle = _margins(case.plain, posts, _trailed(case.plain, plain, _PLAIN_S))
    lasts_s = float(np.ptp(middle.clock_s)) if len(middle.clock_s) else 0.0
    step_s = max(lasts_s / _N_STEPS, _PLAIN_S)
    spread = _margins(case.drawn, posts, _trailed(case.drawn, drawn, step_s))
    return _told(plain.fall.what, middle, spread)


def _told(what: str, plain: _Heard, drawn: _Heard) -> Along | None:
    """Return a story; None for one that is on the ground before a moment has passed."""
    if not len(plain.clock_s) or not len(drawn.clock_s):
        return None
    return Along(what, plain.clock_s, plain.margins_db[0], *drawn)


def _trailed(
    ensemble: Ensemble, begun: _Begun, step_s: float, from_s: float | None = None
) -> _Trailed:
    """Return a fall of the first draws, moment by moment; from the first start on without time."""
    fall, starts = begun
    first_s = np.nanmin(starts[:, 0]) if from_s is None else from_s
    clock_s = np.arange(first_s, _LONGEST_S, step_s)
    scene, swarm, falls = ensemble.air.scene, ensemble.draws.swarm, falls_of(ensemble, fall, starts)
    return _Trailed(clock_s, trails(scene, swarm, falls, clock_s, ensemble.workers))


def _freed(ensemble: Ensemble, moment: int) -> _Trailed:
    """Return the freed balloon and its line of the first draws: on up, and down from the burst."""
    released = aloft_at(ensemble, moment)
    released.states[_N_DRAWS:] = np.nan
    tracks, burst = freed(ensemble, released, _FREED_S)
    begun = _Begun(freed_fall(ensemble), burst[:_N_DRAWS])
    down = _trailed(ensemble, begun, _FREED_S, from_s=0.0)
    for each, up in zip(down.flights, tracks.places, strict=True):
        n = min(up.shape[1], each.shape[1])
        each[:, :n] = np.where(np.isnan(each[:, :n]), up[: len(each), :n], each[:, :n])
    return down


def _margins(ensemble: Ensemble, posts: tuple[Listeners, ...], trailed: _Trailed) -> _Heard:
    """Return the clock, and the margins on it of the draws that have such a flight."""
    clock_s, found = trailed
    flies = ~np.isnan(found.amsl_m)
    draws, moments = flies.any(axis=1), flies.any(axis=0)
    flights = Trails._make(each[draws][:, moments] for each in found)
    frame, workers = ensemble.air.scene.frame, ensemble.workers
    margins = [margins_db(post, frame, flights, workers) for post in posts]
    return _Heard(clock_s[moments], np.concatenate(margins, axis=1).astype(np.float64))


def _apart_m(a: StandSpec, b: StandSpec) -> float:
    return geodesic(place_of(a), place_of(b)).distance_m
