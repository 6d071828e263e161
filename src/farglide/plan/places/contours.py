"""Contours: the lines on the ground from inside which a field is in reach of a balloon."""

from typing import Final

import numpy as np

from farglide.chances.chances import Chances
from farglide.chances.ensemble import Ensemble
from farglide.chances.window import Decision
from farglide.outlook.fields import Contour
from farglide.plan.home.glides import levelled_at
from farglide.sim.core.release import field_offset
from farglide.sim.core.step import Offset, apart_m
from farglide.sim.core.tracks import Point
from farglide.sim.reach.reach import Descent
from farglide.sim.reach.rose import support_between

CONTOUR_KM: Final = (6.0, 12.0, 20.0, 26.0)


def contour(ensemble: Ensemble, field: int, amsl_m: float) -> Contour | None:
    """Return the line on the ground inside which a balloon at this height has the field in reach.

    The boundary of a convex set with support H(angle) is H n + H' n', n' being n turned by a
    quarter; from the field it is walked backwards.
    """
    reach, goals = ensemble.reach.ways.free, ensemble.goals
    at = levelled_at(ensemble, Point(0.0, amsl_m, 0.0, 0.0))
    arrival_m = float(goals.arrival_amsl_m[field])
    if at.amsl_m <= arrival_m:
        return None
    support = support_between(reach, Descent(at.amsl_m, arrival_m))
    angle = 2.0 * np.pi * np.arange(len(support)) / len(support)
    slope = (np.roll(support, -1) - np.roll(support, 1)) / (angle[2] - angle[0])
    if not (support + np.roll(support, len(support) // 2) > 0.0).all():
        return None
    here, goal = Offset(at.north_rad, at.east_rad), field_offset(goals, field)
    away = apart_m(ensemble.air.scene.frame, here, goal)
    east = away.east_m - (support * np.cos(angle) - slope * np.sin(angle))
    north = away.north_m - (support * np.sin(angle) + slope * np.cos(angle))
    return Contour(
        field=ensemble.sortie.fields[field].name,
        amsl_m=amsl_m,
        points=tuple((float(e), float(n)) for e, n in zip(east, north, strict=True)),
    )


def contours(plain: Ensemble, chances: Chances, decision: Decision | None) -> tuple[Contour, ...]:
    """Return the lines of the chosen field and of the first other one that is ever open."""
    chosen = decision.field if decision else 0
    best = chances.open_ratio.max(axis=0, initial=0.0)
    n_fields, open_ratio = len(plain.sortie.fields), plain.sortie.wish.open_ratio
    others = [i for i in range(n_fields) if i != chosen and best[i] >= open_ratio]
    shown = sorted([i for i in (chosen, *others[:1]) if i < n_fields])
    lines = (contour(plain, field, 1000.0 * km) for field in shown for km in CONTOUR_KM)
    return tuple(line for line in lines if line is not None)
