"""Field views: bands, steps and reasons of each field over the climb, and lines of its reach."""

import math
from collections.abc import Mapping
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.chances.case import Case
from farglide.chances.chances import Chances
from farglide.chances.ensemble import Ensemble
from farglide.chances.spells import runs, state_of, told_moments
from farglide.chances.window import Decision
from farglide.earth.geodesy import EastNorth, east_north_m
from farglide.earth.state import place_of
from farglide.outlook.fields import Band, Cause, Contour, FieldOutlook, FieldStep, State
from farglide.plan.home.glides import levelled_at
from farglide.plan.home.homeward import spare_m
from farglide.plan.links.carplan import lost_pictures
from farglide.plan.places.causes import Stretch, causes
from farglide.plan.places.gaps import SHORTEST_S
from farglide.sim.core.release import field_offset
from farglide.sim.core.step import Offset, apart_m
from farglide.sim.core.tracks import Point
from farglide.sim.reach.reach import Descent
from farglide.sim.reach.straight import Straight, made_good

_SPARE_EVERY: Final = 6
"""Heights of release from one that the spare height is told at to the next: 1.5 km."""
_CAREFUL: Final[tuple[State, ...]] = ("shut", "doubtful", "open")
_N_EDGE: Final = 72
CONTOUR_KM: Final = (6.0, 12.0, 20.0, 26.0)


class Spell(NamedTuple):
    """Moments over which a field keeps one state: the first, and one past the last."""

    state: State
    first: int
    past: int


def field_outlooks(case: Case, chances: Chances, coarse: Ensemble) -> tuple[FieldOutlook, ...]:
    """Return each field over the climb; what shuts it is asked of the coarse draws."""
    fields = range(len(case.sortie.fields))
    spells = [spells_of(case.drawn, chances, i) for i in fields]
    shut = [
        Stretch(i, one.first, one.past) for i in fields for one in spells[i] if one.state != "open"
    ]
    told = dict(zip(shut, causes(coarse, chances, shut), strict=True))
    return tuple(_field(case, chances, i, bands(case.drawn, chances, i, told)) for i in fields)


def _field(case: Case, chances: Chances, i: int, found: tuple[Band, ...]) -> FieldOutlook:
    spec = case.sortie.fields[i]
    away = east_north_m(place_of(case.sortie.launch), place_of(spec))
    return FieldOutlook(
        name=spec.name,
        role=spec.role,
        lat_deg=spec.lat_deg,
        lon_deg=spec.lon_deg,
        amsl_m=spec.amsl_m,
        east_m=away.east_m,
        north_m=away.north_m,
        bands=found,
        steps=_steps(case, chances, i),
        lost_picture_agl_m=lost_pictures(case.sortie, i, case.terrain),
    )


def bands(
    ensemble: Ensemble, chances: Chances, i: int, told: Mapping[Stretch, tuple[Cause, ...]]
) -> tuple[Band, ...]:
    """Return the stretches of the climb in which field i keeps one state; bands follow time."""
    n = max(int(chances.is_told.sum()), 1)
    t, z = _until_s(ensemble, chances), chances.amsl_m[:n]
    z, found = np.append(z, z[-1]), []
    for state, first, past in spells_of(ensemble, chances, i):
        of_it = told.get(Stretch(i, first, past), ())
        found.append(
            Band(
                state=state,
                from_amsl_m=float(z[first]),
                to_amsl_m=float(z[past]),
                from_after_launch_s=float(t[first]),
                to_after_launch_s=float(t[past]),
                reason=", then ".join(one.words for one in of_it),
                causes=of_it,
            )
        )
    return tuple(found)


def spells_of(ensemble: Ensemble, chances: Chances, i: int) -> list[Spell]:
    """Return the stretches in which field i keeps one state, as indices of the moments.

    One that is shorter than a minute is that of its neighbours, of the more careful one where they
    differ.
    """
    n = max(int(chances.is_told.sum()), 1)
    states = [state_of(p, ensemble.sortie.wish) for p in chances.open_ratio[:n, i]]
    t = _until_s(ensemble, chances)
    while True:
        spells = [Spell(*one) for one in runs(states)]
        lasts_s = [float(t[one.past] - t[one.first]) for one in spells]
        k = int(np.argmin(lasts_s))
        if len(spells) == 1 or lasts_s[k] >= SHORTEST_S:
            return spells
        beside = [spells[j].state for j in (k - 1, k + 1) if 0 <= j < len(spells)]
        state = min(beside, key=_CAREFUL.index)
        states[spells[k].first : spells[k].past] = [state] * (spells[k].past - spells[k].first)


def _until_s(ensemble: Ensemble, chances: Chances) -> FloatArray:
    """Return when the moments are that are told of, and the end of the last one."""
    t = chances.after_launch_s[: max(int(chances.is_told.sum()), 1)]
    return np.append(t, t[-1] + ensemble.climbs.tracks.step_s)


def _steps(case: Case, chances: Chances, i: int) -> tuple[FieldStep, ...]:
    tracks = case.plain.climbs.tracks
    moments = case.drawn.climbs.moments_at(chances.after_launch_s)
    found = []
    for j in told_moments(chances).tolist():
        asked = j % _SPARE_EVERY == 0 and moments[j] < tracks.amsl_m.shape[1]
        found.append(
            FieldStep(
                after_launch_s=float(chances.after_launch_s[j]),
                amsl_m=float(chances.amsl_m[j]),
                reach_ratio=float(chances.reach_ratio[j, i]),
                timely_ratio=float(chances.timely_ratio[j, i]),
                open_ratio=float(chances.open_ratio[j, i]),
                chance_ratio=float(chances.chance_ratio[j, i]),
                spare_m=spare_m(case.plain, int(moments[j]), i) if asked else math.nan,
            )
        )
    return tuple(found)


def contour(ensemble: Ensemble, field: int, amsl_m: float) -> Contour | None:
    """Return the line on the ground inside which a balloon at this height has the field in reach.

    On each bearing a straight track gets as far as the best speeds, and not nearer than the wind
    carries it; from the field that is walked backwards.
    """
    reach, goals = ensemble.reach.reaches.free, ensemble.goals
    at = levelled_at(ensemble, Point(0.0, amsl_m, 0.0, 0.0))
    descent = Descent(at.amsl_m, float(goals.arrival_amsl_m[field]))
    if at.amsl_m <= descent.to_amsl_m:
        return None
    here, goal = Offset(at.north_rad, at.east_rad), field_offset(goals, field)
    away = apart_m(ensemble.air.scene.frame, here, goal)
    edge = _edge_m(reach, descent)
    if not len(edge):
        return None
    return Contour(
        field=ensemble.sortie.fields[field].name,
        amsl_m=amsl_m,
        points=tuple((away.east_m - e, away.north_m - n) for e, n in edge.tolist()),
    )


def _edge_m(free: Straight, descent: Descent) -> FloatArray:
    """Return where straight tracks end at most, and, where none can end near, at least, (n, 2)."""
    angle = 2.0 * np.pi * np.arange(_N_EDGE) / _N_EDGE
    ways = np.stack([np.cos(angle), np.sin(angle)], axis=1)
    made = [made_good(free, descent, EastNorth(*way)) for way in ways.tolist()]
    most_m = np.array([one.ahead_m for one in made])
    least_m = np.maximum([-one.back_m for one in made], 0.0)
    ends = most_m > least_m
    if not ends.any():
        return np.empty((0, 2))
    turn = 0 if ends.all() else -int(np.argmin(ends))  # begin where no track ends
    ways, most_m, least_m, ends = (
        np.roll(one, turn, axis=0) for one in (ways, most_m, least_m, ends)
    )
    far = (most_m[:, None] * ways)[ends]
    if not least_m[ends].any() and ends.all():
        return far
    return np.concatenate([far, (least_m[:, None] * ways)[ends][::-1]])


def contours(plain: Ensemble, chances: Chances, decision: Decision | None) -> tuple[Contour, ...]:
    """Return the lines of the chosen field and of the first other one that is ever open."""
    chosen = decision.field if decision else 0
    best = chances.open_ratio.max(axis=0, initial=0.0)
    n_fields, open_ratio = len(plain.sortie.fields), plain.sortie.wish.open_ratio
    others = [i for i in range(n_fields) if i != chosen and best[i] >= open_ratio]
    shown = sorted([i for i in (chosen, *others[:1]) if i < n_fields])
    lines = (contour(plain, field, 1000.0 * km) for field in shown for km in CONTOUR_KM)
    return tuple(line for line in lines if line is not None)
