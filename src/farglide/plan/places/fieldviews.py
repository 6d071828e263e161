"""Field views: bands, steps and reasons of each field over the climb."""

import math
from typing import Final

import numpy as np

from farglide.chances.bands import runs, state_of, told_moments
from farglide.chances.case import Case, median_offset
from farglide.chances.chances import Chances
from farglide.chances.ensemble import Ensemble, within_caps
from farglide.earth.geodesy import east_north_m
from farglide.earth.state import place_of
from farglide.outlook.fields import Band, FieldOutlook, FieldStep
from farglide.plan.home.homeward import spare_m
from farglide.plan.links.carplan import lost_pictures
from farglide.sim.core.losses import LOSS_STEP_M, N_LOSS
from farglide.sim.core.step import apart_m, layer_index
from farglide.sim.core.wind import mean_wind

_SPARE_EVERY_S: Final = 240.0
_BREEZE_MPS: Final = 8.0


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
        return "it gets dark first" if ensemble.light_is_first else "the packs end first"
    if chances.timely_ratio[j, i] - chances.open_ratio[j, i] > 0.1:
        return _link_reason(ensemble, chances, i, j)
    here_m = float(chances.amsl_m[j])
    if here_m > ensemble.craft.ceiling_amsl_m or not within_caps(ensemble, np.array(here_m)):
        return "the pull-out or the glide passes a speed limit"
    if _never_level(ensemble, here_m):
        return "the drop never comes level"
    here = median_offset(ensemble, int(ensemble.climbs.moments_at(chances.after_launch_s)[j]))
    goal = (ensemble.goals.north_rad[i], ensemble.goals.east_rad[i])
    toward = apart_m(ensemble.air.scene.frame, here, goal)
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
    step = min(
        max((amsl_m - ensemble.air.column.layers.base_amsl_m) / LOSS_STEP_M, 0.0), N_LOSS - 1.0
    )
    nodes = ensemble.reach.losses.lost_m[:, [math.floor(step), math.ceil(step)]]
    return bool(np.isnan(nodes).any(axis=1).mean() > 0.5)


def _head_wind(
    ensemble: Ensemble, amsl_m: float, toward: tuple[float, float]
) -> tuple[float, float]:
    """Return the strongest head wind below a height on the way somewhere, and its height."""
    scene, (east_m, north_m) = ensemble.air.scene, toward
    away_m = max(float(np.hypot(*toward)), 1.0)
    layers = range(layer_index(scene.layers, amsl_m) + 1)
    heights = [scene.layers.base_amsl_m + scene.layers.step_m * (k + 0.5) for k in layers]
    winds = [mean_wind(scene, height_m) for height_m in heights]
    head = [-(wind.u_mps * east_m + wind.v_mps * north_m) / away_m for wind in winds]
    k = int(np.argmax(head))
    return head[k], heights[k]


def _steps(case: Case, chances: Chances, i: int) -> tuple[FieldStep, ...]:
    tracks = case.plain.climbs.tracks
    moments = case.drawn.climbs.moments_at(chances.after_launch_s)
    spare_every = max(round(_SPARE_EVERY_S / case.drawn.climbs.tracks.step_s), 1)
    found = []
    for j in told_moments(chances).tolist():
        asked = j % spare_every == 0 and moments[j] < tracks.amsl_m.shape[1]
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
