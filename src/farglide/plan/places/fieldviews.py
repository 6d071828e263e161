"""Field views: bands, steps and reasons of each field over the climb."""

import math
from typing import Final

import numpy as np

from farglide.atlas.terrain import Terrain
from farglide.chances.advise import Advice
from farglide.chances.decide import LAST_BURST_RATIO, runs, state_of
from farglide.chances.stage import Stage, within_caps
from farglide.earth.geodesy import east_north_m
from farglide.earth.state import Place
from farglide.outlook.outlook import Band, FieldOutlook, FieldStep
from farglide.plan.home.homeward import spare_m
from farglide.plan.links.carplan import lost_pictures
from farglide.sim.core.losses import LOSS_STEP_M, N_LOSS
from farglide.sim.core.step import apart_m, layer_index

_STEP_S: Final = 60.0
_SPARE_EVERY_S: Final = 240.0


def field_outlooks(
    stages: tuple[Stage, Stage], advice: Advice, terrain: Terrain | None = None
) -> tuple[FieldOutlook, ...]:
    """Return each field over the climb. `stages`: drawn and error-free, on the same clock."""
    n = len(stages[0].sortie.fields)
    return tuple(_field(stages, advice, i, terrain) for i in range(n))


def _field(
    stages: tuple[Stage, Stage], advice: Advice, i: int, terrain: Terrain | None
) -> FieldOutlook:
    stage, middle = stages
    spec, launch = stage.sortie.fields[i], stage.sortie.launch
    origin = Place(lat_deg=launch.lat_deg, lon_deg=launch.lon_deg, amsl_m=launch.amsl_m)
    here = Place(lat_deg=spec.lat_deg, lon_deg=spec.lon_deg, amsl_m=spec.amsl_m)
    away = east_north_m(origin, here)
    return FieldOutlook(
        name=spec.name,
        role=spec.role,
        lat_deg=spec.lat_deg,
        lon_deg=spec.lon_deg,
        amsl_m=spec.amsl_m,
        east_m=away.east_m,
        north_m=away.north_m,
        bands=bands(stage, advice, i),
        steps=_steps(stage, middle, advice, i),
        lost_picture_agl_m=lost_pictures(stage.sortie, i, terrain),
    )


def bands(stage: Stage, advice: Advice, i: int) -> tuple[Band, ...]:
    """Return the stretches of the climb in which field i keeps one state; bands follow time."""
    n = max(int((advice.burst_ratio < LAST_BURST_RATIO).sum()), 1)
    states = [state_of(p, stage.sortie.wish) for p in advice.open_ratio[:n, i]]
    t = np.append(advice.after_launch_s[:n], advice.after_launch_s[n - 1] + stage.tracks.step_s)
    z = np.append(advice.amsl_m[:n], advice.amsl_m[n - 1])
    return tuple(
        Band(
            state=state,
            from_amsl_m=float(z[first]),
            to_amsl_m=float(z[past]),
            from_after_launch_s=float(t[first]),
            to_after_launch_s=float(t[past]),
            reason="" if state == "open" else _reasons(stage, advice, i, (first, past)),
        )
        for state, first, past in runs(states)
    )


def _reasons(stage: Stage, advice: Advice, i: int, span: tuple[int, int]) -> str:
    """Return what keeps a field from being open over a band: reach, time, links, or one by one.

    Each counts from a fifth of the band on and is told in the middle of its own part.
    """
    moments = np.arange(*span)
    late = advice.reach_ratio[moments, i] - advice.timely_ratio[moments, i] > 0.1
    deaf = ~late & (advice.timely_ratio[moments, i] - advice.open_ratio[moments, i] > 0.1)
    kinds = (moments[~late & ~deaf], moments[late], moments[deaf])
    parts = [part for part in kinds if 5 * len(part) >= len(moments)]
    parts.sort(key=lambda part: int(part[0]))
    return ", then ".join(
        _reason(stage, advice, i, int(part[(len(part) - 1) // 2])) for part in parts
    )


def _reason(stage: Stage, advice: Advice, i: int, j: int) -> str:
    """Return what keeps a field from being open at a moment, in a few words."""
    if advice.reach_ratio[j, i] - advice.timely_ratio[j, i] > 0.1:
        by_light = stage.light_end_s < float(np.median(stage.drawn.pack_end_s))
        return "it gets dark first" if by_light else "the packs end first"
    if advice.timely_ratio[j, i] - advice.open_ratio[j, i] > 0.1:
        return _link_reason(stage, advice, i, j)
    here = np.array([advice.amsl_m[j]])
    if here[0] > stage.ceiling_amsl_m or not within_caps(stage, here)[0]:
        return "the pull-out or the glide passes a speed limit"
    if _never_level(stage, float(here[0])):
        return "the drop never comes level"
    moment = round(float(advice.after_launch_s[j]) / stage.tracks.step_s)
    north = float(np.nanmedian(stage.tracks.north_rad[:, moment]))
    east = float(np.nanmedian(stage.tracks.east_rad[:, moment]))
    goals = stage.goals
    d_east, d_north = apart_m(
        stage.scene.frame, (north, east), (goals.north_rad[i], goals.east_rad[i])
    )
    away_m = float(np.hypot(d_east, d_north))
    speed, amsl_m = _head_wind(stage, float(advice.amsl_m[j]), (d_east, d_north))
    if speed < 8.0:
        return f"{away_m / 1e3:.0f} km away, too low" if away_m > 500.0 else "too low"
    return f"{away_m / 1e3:.0f} km away, head wind {speed:.0f} m/s at {amsl_m / 1e3:.0f} km"


def _link_reason(stage: Stage, advice: Advice, i: int, j: int) -> str:
    """Return which link does not hold, and from where."""
    holding = advice.holding
    if holding is None or holding.stand[j, i] < 0:
        return "no stand is manned yet"
    weakest = holding.purposes[int(np.argmin(holding.by_purpose[j, i]))]
    return f"{weakest} lost on the way, from {stage.sortie.stands[holding.stand[j, i]].name}"


def _never_level(stage: Stage, amsl_m: float) -> bool:
    """Tell whether a drop from a height comes level in less than half of the draws."""
    step = min(max((amsl_m - stage.column.layers.base_amsl_m) / LOSS_STEP_M, 0.0), N_LOSS - 1.0)
    nodes = stage.losses.lost_m[:, [math.floor(step), math.ceil(step)]]
    return bool(np.isnan(nodes).any(axis=1).mean() > 0.5)


def _head_wind(stage: Stage, amsl_m: float, toward: tuple[float, float]) -> tuple[float, float]:
    """Return the strongest head wind below a height on the way somewhere, and its height."""
    layers = stage.column.layers
    away = max(float(np.hypot(*toward)), 1.0)
    top = layer_index(layers, amsl_m) + 1
    head = -(layers.u_mps[0, :top] * toward[0] + layers.v_mps[0, :top] * toward[1]) / away
    k = int(np.argmax(head))
    return float(head[k]), layers.base_amsl_m + layers.step_m * (k + 0.5)


def _steps(stage: Stage, middle: Stage, advice: Advice, i: int) -> tuple[FieldStep, ...]:
    every = max(round(_STEP_S / stage.tracks.step_s), 1)
    spare_every = max(round(_SPARE_EVERY_S / stage.tracks.step_s), 1)
    alive = int((advice.burst_ratio < LAST_BURST_RATIO).sum())
    found = []
    for j in range(0, alive, every):
        moment = round(float(advice.after_launch_s[j]) / stage.tracks.step_s)
        spare = float("nan")
        if j % spare_every == 0 and moment < middle.tracks.amsl_m.shape[1]:
            spare = spare_m(middle, moment, i)
        found.append(
            FieldStep(
                after_launch_s=float(advice.after_launch_s[j]),
                amsl_m=float(advice.amsl_m[j]),
                reach_ratio=float(advice.reach_ratio[j, i]),
                timely_ratio=float(advice.timely_ratio[j, i]),
                open_ratio=float(advice.open_ratio[j, i]),
                odds_ratio=float(advice.odds_ratio[j, i]),
                spare_m=spare,
            )
        )
    return tuple(found)
