"""Field views: bands, steps and reasons of each field over the climb."""

import math
from typing import Final

import numpy as np

from farglide.chances.bands import LAST_BURST_RATIO, runs, state_of
from farglide.chances.case import Case
from farglide.chances.chances import Chances
from farglide.chances.ensemble import Ensemble, within_caps
from farglide.earth.geodesy import EastNorth, east_north_m
from farglide.earth.state import place_of
from farglide.outlook.fields import Band, FieldOutlook, FieldStep
from farglide.plan.home.homeward import spare_m
from farglide.plan.links.carplan import lost_pictures
from farglide.sim.core.losses import LOSS_STEP_M, N_LOSS
from farglide.sim.core.release import field_offset
from farglide.sim.core.step import Offset, apart_m, layer_index

_STEP_S: Final = 60.0
_SPARE_EVERY_S: Final = 240.0


def field_outlooks(case: Case, chances: Chances) -> tuple[FieldOutlook, ...]:
    """Return each field over the climb."""
    return tuple(_field(case, chances, i) for i in range(len(case.sortie.fields)))


def _field(case: Case, chances: Chances, i: int) -> FieldOutlook:
    ensemble, plain = case.drawn, case.plain
    spec, launch = ensemble.sortie.fields[i], ensemble.sortie.launch
    away = east_north_m(place_of(launch), place_of(spec))
    return FieldOutlook(
        name=spec.name,
        role=spec.role,
        lat_deg=spec.lat_deg,
        lon_deg=spec.lon_deg,
        amsl_m=spec.amsl_m,
        east_m=away.east_m,
        north_m=away.north_m,
        bands=bands(ensemble, chances, i),
        steps=_steps(ensemble, plain, chances, i),
        lost_picture_agl_m=lost_pictures(ensemble.sortie, i, case.terrain),
    )


def bands(ensemble: Ensemble, chances: Chances, i: int) -> tuple[Band, ...]:
    """Return the stretches of the climb in which field i keeps one state; bands follow time."""
    n = max(int((chances.burst_ratio < LAST_BURST_RATIO).sum()), 1)
    states = [state_of(p, ensemble.sortie.wish) for p in chances.open_ratio[:n, i]]
    t = np.append(
        chances.after_launch_s[:n], chances.after_launch_s[n - 1] + ensemble.climbs.tracks.step_s
    )
    z = np.append(chances.amsl_m[:n], chances.amsl_m[n - 1])
    return tuple(
        Band(
            state=state,
            from_amsl_m=float(z[first]),
            to_amsl_m=float(z[past]),
            from_after_launch_s=float(t[first]),
            to_after_launch_s=float(t[past]),
            reason="" if state == "open" else _reasons(ensemble, chances, i, (first, past)),
        )
        for state, first, past in runs(states)
    )


def _reasons(ensemble: Ensemble, chances: Chances, i: int, span: tuple[int, int]) -> str:
    """Return what keeps a field from being open over a band: reach, time, links, or one by one.

    Each counts from a fifth of the band on and is told in the middle of its own part.
    """
    moments = np.arange(*span)
    late = chances.reach_ratio[moments, i] - chances.timely_ratio[moments, i] > 0.1
    deaf = ~late & (chances.timely_ratio[moments, i] - chances.open_ratio[moments, i] > 0.1)
    kinds = (moments[~late & ~deaf], moments[late], moments[deaf])
    parts = [part for part in kinds if 5 * len(part) >= len(moments)]
    parts.sort(key=lambda part: int(part[0]))
    return ", then ".join(
        _reason(ensemble, chances, i, int(part[(len(part) - 1) // 2])) for part in parts
    )


def _reason(ensemble: Ensemble, chances: Chances, i: int, j: int) -> str:
    """Return what keeps a field from being open at a moment, in a few words."""
    if chances.reach_ratio[j, i] - chances.timely_ratio[j, i] > 0.1:
        by_light = ensemble.reach.light_end_s < float(np.median(ensemble.draws.pack_end_s))
        return "it gets dark first" if by_light else "the packs end first"
    if chances.timely_ratio[j, i] - chances.open_ratio[j, i] > 0.1:
        return _link_reason(ensemble, chances, i, j)
    here = np.array([chances.amsl_m[j]])
    if here[0] > ensemble.craft.ceiling_amsl_m or not within_caps(ensemble, here)[0]:
        return "the pull-out or the glide passes a speed limit"
    if _never_level(ensemble, float(here[0])):
        return "the drop never comes level"
    moment = round(float(chances.after_launch_s[j]) / ensemble.climbs.tracks.step_s)
    north = float(np.nanmedian(ensemble.climbs.tracks.north_rad[:, moment]))
    east = float(np.nanmedian(ensemble.climbs.tracks.east_rad[:, moment]))
    goal = field_offset(ensemble.goals, i)
    away = apart_m(ensemble.air.scene.frame, Offset(north, east), goal)
    away_m = float(np.hypot(*away))
    speed, amsl_m = _head_wind(ensemble, float(chances.amsl_m[j]), away)
    if speed < 8.0:
        return f"{away_m / 1e3:.0f} km away, too low" if away_m > 500.0 else "too low"
    return f"{away_m / 1e3:.0f} km away, head wind {speed:.0f} m/s at {amsl_m / 1e3:.0f} km"


def _link_reason(ensemble: Ensemble, chances: Chances, i: int, j: int) -> str:
    """Return which link does not hold, and from where."""
    holding = chances.holding
    if holding is None or holding.stand[j, i] < 0:
        return "no stand is manned yet"
    weakest = holding.purposes[int(np.argmin(holding.by_purpose[j, i]))]
    return f"{weakest} lost on the way, from {ensemble.sortie.stands[holding.stand[j, i]].name}"


def _never_level(ensemble: Ensemble, amsl_m: float) -> bool:
    """Tell whether a drop from a height comes level in less than half of the draws."""
    step = min(
        max((amsl_m - ensemble.air.column.layers.base_amsl_m) / LOSS_STEP_M, 0.0), N_LOSS - 1.0
    )
    nodes = ensemble.reach.losses.lost_m[:, [math.floor(step), math.ceil(step)]]
    return bool(np.isnan(nodes).any(axis=1).mean() > 0.5)


def _head_wind(ensemble: Ensemble, amsl_m: float, toward: EastNorth) -> tuple[float, float]:
    """Return the strongest head wind below a height on the way somewhere, and its height."""
    layers = ensemble.air.column.layers
    away = max(float(np.hypot(*toward)), 1.0)
    top = layer_index(layers, amsl_m) + 1
    head = -(layers.u_mps[0, :top] * toward.east_m + layers.v_mps[0, :top] * toward.north_m) / away
    k = int(np.argmax(head))
    return float(head[k]), layers.base_amsl_m + layers.step_m * (k + 0.5)


def _steps(ensemble: Ensemble, plain: Ensemble, chances: Chances, i: int) -> tuple[FieldStep, ...]:
    every = max(round(_STEP_S / ensemble.climbs.tracks.step_s), 1)
    spare_every = max(round(_SPARE_EVERY_S / ensemble.climbs.tracks.step_s), 1)
    alive = int((chances.burst_ratio < LAST_BURST_RATIO).sum())
    found = []
    for j in range(0, alive, every):
        moment = round(float(chances.after_launch_s[j]) / ensemble.climbs.tracks.step_s)
        spare = float("nan")
        if j % spare_every == 0 and moment < plain.climbs.tracks.amsl_m.shape[1]:
            spare = spare_m(plain, moment, i)
        found.append(
            FieldStep(
                after_launch_s=float(chances.after_launch_s[j]),
                amsl_m=float(chances.amsl_m[j]),
                reach_ratio=float(chances.reach_ratio[j, i]),
                timely_ratio=float(chances.timely_ratio[j, i]),
                open_ratio=float(chances.open_ratio[j, i]),
                chance_ratio=float(chances.chance_ratio[j, i]),
                spare_m=spare,
            )
        )
    return tuple(found)
