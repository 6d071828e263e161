"""Field views: bands, steps and reasons of each field over the climb, and lines of its reach."""

import math
from typing import Final

import numpy as np

from farglide.arrays import BoolArray, FloatArray
from farglide.chances.case import Case, median_offset
from farglide.chances.chances import Chances, runs, state_of, told_moments
from farglide.chances.ensemble import Ensemble, within_caps
from farglide.chances.window import Decision
from farglide.earth.geodesy import EastNorth, east_north_m
from farglide.earth.state import place_of
from farglide.outlook.fields import Band, Contour, FieldOutlook, FieldStep
from farglide.plan.home.glides import levelled_at
from farglide.plan.home.homeward import spare_m
from farglide.plan.links.carplan import lost_pictures
from farglide.sim.core.losses import LOSS_STEP_M, N_LOSS
from farglide.sim.core.release import field_offset
from farglide.sim.core.step import Offset, apart_m, layer_index
from farglide.sim.core.tracks import Point
from farglide.sim.core.wind import mean_wind
from farglide.sim.reach.reach import Descent
from farglide.sim.reach.straight import Straight, made_good

_SPARE_EVERY: Final = 6
"""Heights of release from one that the spare height is told at to the next: 1.5 km."""
_BREEZE_MPS: Final = 8.0
_COUNTS_RATIO: Final = 0.1
"""A cause that shuts a field to more than this share of the draws is told."""
_N_EDGE: Final = 72
CONTOUR_KM: Final = (6.0, 12.0, 20.0, 26.0)


def field_outlooks(case: Case, chances: Chances) -> tuple[FieldOutlook, ...]:
    """Return each field over the climb."""
    return tuple(_field(case, chances, i) for i in range(len(case.sortie.fields)))


def _field(case: Case, chances: Chances, i: int) -> FieldOutlook:
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
        bands=bands(case.drawn, chances, i),
        steps=_steps(case, chances, i),
        lost_picture_agl_m=lost_pictures(case.sortie, i, case.terrain),
    )


def bands(ensemble: Ensemble, chances: Chances, i: int) -> tuple[Band, ...]:
    """Return the stretches of the climb in which field i keeps one state; bands follow time."""
    n = max(int(chances.is_told.sum()), 1)
    states = [state_of(p, ensemble.sortie.wish) for p in chances.open_ratio[:n, i]]
    t, z = chances.after_launch_s[:n], chances.amsl_m[:n]
    t, z = np.append(t, t[-1] + ensemble.climbs.tracks.step_s), np.append(z, z[-1])
    return tuple(
        Band(
            state=state,
            from_amsl_m=float(z[first]),
            to_amsl_m=float(z[past]),
            from_after_launch_s=float(t[first]),
            to_after_launch_s=float(t[past]),
            reason="" if state == "open" else _reasons(ensemble, chances, i, first, past),
        )
        for state, first, past in runs(states)
    )


def _reasons(ensemble: Ensemble, chances: Chances, i: int, first: int, past: int) -> str:
    """Return what keeps a field from being open over a band: reach, time, links, or one by one.

    Each counts from a fifth of the band on and is told in the middle of its own part.
    """
    moments = np.arange(first, past)
    late, deaf = (told[moments] for told in _late_and_deaf(chances, i))
    kinds = (moments[~late & ~deaf], moments[late], moments[deaf])
    parts = [part for part in kinds if 5 * len(part) >= len(moments)]
    parts.sort(key=lambda part: int(part[0]))
    return ", then ".join(
        _reason(ensemble, chances, i, int(part[(len(part) - 1) // 2])) for part in parts
    )


def _late_and_deaf(chances: Chances, i: int) -> tuple[BoolArray, BoolArray]:
    """Tell when the time, and when not that but the links keep a field from being open."""
    in_reach, timely, is_open = (
        ratio[:, i] for ratio in (chances.reach_ratio, chances.timely_ratio, chances.open_ratio)
    )
    late = in_reach - timely > _COUNTS_RATIO
    return late, ~late & (timely - is_open > _COUNTS_RATIO)


def _reason(ensemble: Ensemble, chances: Chances, i: int, j: int) -> str:
    """Return what keeps a field from being open at a moment, in a few words."""
    late, deaf = _late_and_deaf(chances, i)
    if late[j]:
        return "it gets dark first" if ensemble.light_is_first else "the packs end first"
    if deaf[j]:
        return _link_reason(ensemble, chances, i, j)
    here_m = float(chances.amsl_m[j])
    if here_m > ensemble.craft.ceiling_amsl_m or not within_caps(ensemble, np.array(here_m)):
        return "the pull-out or the glide passes a speed limit"
    if _never_level(ensemble, here_m):
        return "the drop never comes level"
    here = median_offset(ensemble, int(ensemble.climbs.moments_at(chances.after_launch_s)[j]))
    toward = apart_m(ensemble.air.scene.frame, here, field_offset(ensemble.goals, i))
    away_m = float(np.hypot(*toward))
    speed_mps, amsl_m = _head_wind(ensemble, here_m, toward)
    if speed_mps < _BREEZE_MPS:
        return f"{away_m / 1e3:.0f} km away, too low" if away_m > 500.0 else "too low"
    return f"{away_m / 1e3:.0f} km away, head wind {speed_mps:.0f} m/s at {amsl_m / 1e3:.0f} km"


def _link_reason(ensemble: Ensemble, chances: Chances, i: int, j: int) -> str:
    """Return which link does not hold, and from where."""
    holding = chances.holding
    if holding is None or holding.stand[j, i] < 0:
        return "no stand is manned yet"
    weakest = holding.purposes[int(np.argmin(holding.by_purpose[j, i]))]
    return f"{weakest} lost on the way, from {ensemble.sortie.stands[holding.stand[j, i]].name}"


def _never_level(ensemble: Ensemble, amsl_m: float) -> bool:
    """Tell whether a drop from a height comes level in less than half of the draws."""
    above_m = amsl_m - ensemble.air.column.layers.base_amsl_m
    step = min(max(above_m / LOSS_STEP_M, 0.0), N_LOSS - 1.0)
    nodes = ensemble.reach.losses.lost_m[:, [math.floor(step), math.ceil(step)]]
    return bool(np.isnan(nodes).any(axis=1).mean() > 0.5)


def _head_wind(ensemble: Ensemble, amsl_m: float, toward: EastNorth) -> tuple[float, float]:
    """Return the strongest head wind below a height on the way somewhere, and its height."""
    air, away_m = ensemble.air, max(float(np.hypot(*toward)), 1.0)
    n_below = layer_index(air.column.layers, amsl_m) + 1
    heights = air.column.middles_amsl_m[:n_below].tolist()
    winds = [mean_wind(air.scene, height_m) for height_m in heights]
    head = [-(wind.u_mps * toward.east_m + wind.v_mps * toward.north_m) / away_m for wind in winds]
    k = int(np.argmax(head))
    return head[k], heights[k]


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
