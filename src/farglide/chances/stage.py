"""Stage: a sortie and its air turned into draws, climbs and reach tables, ready to be asked."""

from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from farglide.air.column import Column, Sounding
from farglide.air.doubt import n_knots
from farglide.balloon.ascent import balance_of
from farglide.balloon.gas import Fill
from farglide.glider.polar import Polar
from farglide.glider.release import Drop
from farglide.rig.doubts import doubts_of
from farglide.rig.gear import (
    best_glide_eas_mps,
    column_of,
    craft_of,
    envelope_of,
    goals_of,
    launch_fill,
    light_end_s,
)
from farglide.rig.listening import Listening
from farglide.rig.profile import LONGEST_S, mean_climb, scene_of
from farglide.sim.core.ensemble import Drawn, draw
from farglide.sim.core.losses import LOSS_STEP_M, Losses, Peaks, drawn_losses, pullout_peaks
from farglide.sim.core.odds import burst_shares
from farglide.sim.core.release import Goals, Haste
from farglide.sim.core.scene import Scene
from farglide.sim.core.tracks import Burst, Tracks
from farglide.sim.core.workers import Workers, in_one_go
from farglide.sim.fly.climb import Balloon, Clock, climb
from farglide.sim.reach.doors import Ways
from farglide.sim.reach.reach import FREE, sum_reach
from farglide.sim.reach.support import Limits, Support, ceiling_amsl_m, sinks_mps, tabulate
from farglide.sortie.grain import Asked
from farglide.sortie.spec import Sortie, Tag

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """All that a question about the flight needs; first axis of arrays the draw."""

    sortie: Sortie
    sounding: Sounding
    asked: Asked
    column: Column
    scene: Scene
    fill: Fill
    balloon: Balloon
    polar: Polar
    limits: Limits
    drop: Drop
    drawn: Drawn
    tracks: Tracks
    burst: Burst
    burst_share: FloatArray  # (n_draws, n_times)
    losses: Losses
    support: Support
    ways: Ways
    haste: Haste
    goals: Goals
    light_end_s: float
    best_eas_mps: float
    peaks: Peaks  # of the pull-out, by height of the release
    ceiling_amsl_m: float  # above it no speed fits between the stall and the Mach limit
    workers: Workers
    listening: Listening | None = None  # None: no links or no stands are stated
    shift_rad: tuple[FloatArray, FloatArray] | None = None  # north, east, see `sim.holds.Heard`


class Climbed(NamedTuple):
    """The part of a stage that ends with the burst."""

    column: Column
    scene: Scene
    fill: Fill
    balloon: Balloon
    drawn: Drawn
    tracks: Tracks
    burst: Burst


def set_climb(
    sortie: Sortie, sounding: Sounding, asked: Asked, workers: Workers = in_one_go
) -> Climbed:
    """Return the climbs of a sortie's draws in this air."""
    column = column_of(sortie, sounding, asked)
    scene = scene_of(sortie, column)
    fill = launch_fill(sortie, column)
    drawn = draw(doubts_of(sortie, column, asked), asked.n_draws, n_knots(column), asked.seed)
    balloon = Balloon(
        envelope_of(sortie, fill), balance_of(sortie.balloon.drag_table), sortie.hanging_kg
    )
    start_m = max(sortie.launch.amsl_m, column.layers.base_amsl_m)
    end_s = _until_s(scene, balloon, start_m, asked)
    tracks, burst = climb(
        scene, drawn.swarm, balloon, Clock(start_m, asked.clock_s, end_s), workers
    )
    return Climbed(column, scene, fill, balloon, drawn, tracks, burst)


def set_stage(
    sortie: Sortie,
    sounding: Sounding,
    asked: Asked,
    workers: Workers = in_one_go,
    like: Stage | None = None,
) -> Stage:
    """Return the stage of a sortie in this air: climbs flown, reach tables summed.

    `like`: a stage whose parts are taken over where they cannot differ: in the same air only. Its
    ears are taken over in any air.
    """
    listening = like.listening if like is not None else None
    if like is not None and like.sounding is not sounding:
        like = None
    if like is not None and like.asked == asked and _same_glide(like.sortie, sortie):
        climbed = set_climb(sortie, sounding, asked, workers)
        same = replace(like, sortie=sortie, workers=workers)
        return replace(_with_climb(same, climbed), listening=listening)
    if like is not None and _same_climb(like, sortie, asked):
        drawn = draw(
            doubts_of(sortie, like.column, asked), asked.n_draws, n_knots(like.column), asked.seed
        )
        climbed = Climbed(
            like.column, like.scene, like.fill, like.balloon, drawn, like.tracks, like.burst
        )
    else:
        climbed = set_climb(sortie, sounding, asked, workers)
    stage = _with_glide((sortie, sounding), asked, climbed, workers)
    return replace(stage, listening=listening)


def _same_glide(a: Sortie, b: Sortie) -> bool:
    return replace(a, balloon=b.balloon) == b


def _same_climb(like: Stage, sortie: Sortie, asked: Asked) -> bool:
    other = replace(like.sortie, glider=sortie.glider, drop=sortie.drop)
    same_asked = replace(like.asked, held_eas_mps=asked.held_eas_mps) == asked
    return same_asked and other == sortie and like.sortie.hanging_kg == sortie.hanging_kg


def _with_climb(stage: Stage, climbed: Climbed) -> Stage:
    diameter = stage.sortie.balloon.burst_diameter_m
    return replace(
        stage,
        **climbed._asdict(),
        burst_share=burst_shares(climbed.tracks, diameter.value, diameter.sd),
    )


def _with_glide(
    given: tuple[Sortie, Sounding], asked: Asked, climbed: Climbed, workers: Workers
) -> Stage:
    sortie, sounding = given
    scene, drawn = climbed.scene, climbed.drawn
    diameter = sortie.balloon.burst_diameter_m
    polar, limits, drop = craft_of(sortie, asked)
    best_mps = best_glide_eas_mps(polar, limits)
    varied = (drawn.glide_factor, drawn.drop_drag)
    support = tabulate(scene.layers, polar, limits, _factor_range(drawn), workers)
    light_s = light_end_s(sortie)
    return Stage(
        sortie=sortie,
        sounding=sounding,
        asked=asked,
        **climbed._asdict(),
        polar=polar,
        limits=limits,
        drop=drop,
        burst_share=burst_shares(climbed.tracks, diameter.value, diameter.sd),
        losses=drawn_losses(scene.layers, (polar, drop), varied, best_mps, workers),
        support=support,
        ways=_ways(scene, support, drawn, asked, workers),
        haste=haste_of(drawn, light_s, asked, sinks_mps(scene.layers, polar, best_mps)),
        goals=goals_of(sortie, sortie.fields),
        light_end_s=light_s,
        best_eas_mps=best_mps,
        peaks=pullout_peaks(scene.layers, (polar, drop), sortie.glider.flown_ratio, best_mps),
        ceiling_amsl_m=ceiling_amsl_m(scene.layers, polar, limits),
        workers=workers,
    )


def within_caps(stage: Stage, amsl_m: FloatArray) -> NDArray[np.bool_]:
    """Tell at which release heights the pull-out keeps the stated top EAS and Mach number.

    A top EAS that is only a stand-in (the best glide, for want of a number) is not held against it.
    """
    heights = stage.column.layers.base_amsl_m + LOSS_STEP_M * np.arange(len(stage.peaks.mach))
    slow = np.ones(amsl_m.shape, dtype=np.bool_)
    if stage.sortie.tags.get("glider.top_eas_mps") != Tag.GUESS:
        slow = np.interp(amsl_m, heights, stage.peaks.eas_mps) <= stage.limits.top_eas_mps
    return slow & (np.interp(amsl_m, heights, stage.peaks.mach) <= stage.limits.top_mach)


def _factor_range(drawn: Drawn) -> tuple[float, float]:
    return max(float(drawn.glide_factor.min()), 0.05), min(float(drawn.glide_factor.max()), 4.0)


def _ways(scene: Scene, support: Support, drawn: Drawn, asked: Asked, workers: Workers) -> Ways:
    swarm = (drawn.swarm, drawn.glide_factor)
    prices = np.array(asked.prices_mps)
    return Ways(
        sum_reach(scene, support, swarm, FREE, workers),
        sum_reach(scene, support, swarm, (prices, asked.slab), workers),
        prices,
    )


def haste_of(drawn: Drawn, light_s: float, asked: Asked, sink_mps: FloatArray) -> Haste:
    """Return by when each draw must be over its field: packs or light, whichever ends first."""
    end_s = np.minimum(drawn.pack_end_s, light_s - asked.delay_s)
    return Haste(end_s, drawn.heading_s, sink_mps, drawn.glide_factor)


def _until_s(scene: Scene, balloon: Balloon, start_m: float, asked: Asked) -> float:
    """Return until when climbs are followed: well past the latest likely burst."""
    if balloon.envelope.leak_ratio_ps > 0.0:
        return LONGEST_S
    _, burst = mean_climb(scene, balloon, (start_m, asked.clock_s))
    at_s = float(burst.after_launch_s[0])
    return LONGEST_S if np.isnan(at_s) else min(1.25 * at_s + 600.0, LONGEST_S)
