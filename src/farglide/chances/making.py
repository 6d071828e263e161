"""Making: how each part of an ensemble follows from what was written and from its air."""

from typing import NamedTuple

import numpy as np

from farglide.air.sounding import Sounding
from farglide.chances.parts import Air, Climbs, Craft, ReachTables
from farglide.glider.release import Dropped
from farglide.rig.airdoubts import air_doubts_of
from farglide.rig.around import check_inside, cube_of
from farglide.rig.doubts import doubts_of
from farglide.rig.gear import (
    advised_limits,
    balloon_of,
    best_glide_eas_mps,
    bursting_of,
    column_of,
    craft_of,
    launch_amsl_m,
    launch_fill,
    light_end_s,
)
from farglide.rig.homeline import home_lines, with_home_line
from farglide.rig.members import with_members
from farglide.rig.profile import LONGEST_S, mean_climb, scene_of
from farglide.sim.core.airerrors import AirDoubts, AirErrors
from farglide.sim.core.draws import Drawn, draw, draw_air, redrawn, undisturbed
from farglide.sim.core.losses import Fleet, drawn_losses, pullout_peaks
from farglide.sim.core.release import Haste
from farglide.sim.core.scene import Balloon, Scene
from farglide.sim.core.shares import burst_shares
from farglide.sim.core.tracks import Tracks
from farglide.sim.core.workers import Workers, in_one_go
from farglide.sim.fly.climb import Clock, climb
from farglide.sim.reach.drawnglider import DrawnGlider, ceiling_amsl_m, sinks_mps
from farglide.sim.reach.reaches import Asked, reaches_of
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Sortie


class Given(NamedTuple):
    """What an ensemble is made of: what was written, in which air, how finely, on which threads."""

    sortie: Sortie
    air: Air
    grain: Grain
    workers: Workers


def air_of(sortie: Sortie, sounding: Sounding, grain: Grain) -> Air:
    """Return the air of a sortie, cut into layers down to its lowest place."""
    column = column_of(sortie, sounding, grain)
    scene = scene_of(sortie, column)
    if sounding.around is not None:
        cube = cube_of(sounding.around, sortie.launch, column.edges_amsl_m, LONGEST_S)
        scene = scene._replace(cube=cube)
    return Air(sounding=sounding, column=column, scene=scene)


def draws_of(given: Given) -> Drawn:
    doubts = doubts_of(given.sortie, given.air.column, given.grain)
    return draw(doubts, _drawn_from(given), given.grain.n_draws, given.grain.seed)


def _drawn_from(given: Given) -> AirDoubts:
    """Return what errors of the air are drawn from: the law, or members of an ensemble."""
    sortie, air = given.sortie, given.air
    doubts, members = air_doubts_of(sortie, air.column), air.sounding.members
    if members is None:
        return doubts
    balloon = balloon_of(sortie, launch_fill(sortie, air.column))
    start_m = launch_amsl_m(sortie, air.column)
    climb, _ = mean_climb(air.scene, balloon, start_m, given.grain.clock_s)
    return with_members(doubts, members, sortie, air.column, climb)


def redrawn_of(draws: Drawn, given: Given) -> Drawn:
    """Return the same draws in their air, with all else as it is given."""
    doubts = doubts_of(given.sortie, given.air.column, given.grain)
    return redrawn(draws, doubts, given.grain.seed)


def air_errors_of(given: Given) -> AirErrors:
    """Return the errors of the air in all draws."""
    doubts = doubts_of(given.sortie, given.air.column, given.grain)
    return draw_air(doubts, _drawn_from(given), given.grain.n_draws, given.grain.seed)


def without_errors(sortie: Sortie, sounding: Sounding, grain: Grain) -> tuple[Given, Drawn]:
    air = air_of(sortie, sounding, grain)
    draws = undisturbed(doubts_of(sortie, air.column, grain), len(air.column.layers.p_pa))
    return Given(sortie, air, grain, in_one_go), draws


def climbs_of(given: Given, draws: Drawn) -> Climbs:
    sortie, air, grain, workers = given
    fill = launch_fill(sortie, air.column)
    balloon, start_m = balloon_of(sortie, fill), launch_amsl_m(sortie, air.column)
    clock = Clock(start_m, grain.clock_s, _until_s(air.scene, balloon, start_m, grain.clock_s))
    tracks, burst = climb(air.scene, draws.swarm, balloon, clock, workers)
    check_inside(air.scene.cube, tracks, burst)
    share = burst_shares(tracks, bursting_of(sortie, fill))
    return Climbs(fill=fill, balloon=balloon, tracks=tracks, burst=burst, burst_share=share)


def _until_s(scene: Scene, balloon: Balloon, start_m: float, clock_s: float) -> float:
    """Return until when climbs are followed: well past the latest likely burst."""
    if balloon.envelope.leak_ratio_ps > 0.0:
        return LONGEST_S
    _, burst = mean_climb(scene, balloon, start_m, clock_s)
    at_s = float(burst.after_launch_s[0])
    return LONGEST_S if np.isnan(at_s) else min(1.25 * at_s + 600.0, LONGEST_S)


def made_craft(given: Given) -> Craft:
    layers = given.air.scene.layers
    polar, limits, drop = craft_of(given.sortie, given.grain)
    best_mps = best_glide_eas_mps(polar, limits)
    dropped = Dropped(polar, drop, given.sortie.glider.flown_ratio)
    return Craft(
        polar=polar,
        limits=limits,
        drop=drop,
        best_eas_mps=best_mps,
        peaks=pullout_peaks(layers, dropped, best_mps),
        ceiling_amsl_m=ceiling_amsl_m(layers, polar, limits),
    )


def reach_of(given: Given, craft: Craft, draws: Drawn, tracks: Tracks) -> ReachTables:
    """Return the tables of all draws; each ends with its packs or the light, whichever is first.

    `tracks`: the climbs of these draws, from which their ways home begin.
    """
    sortie, air, grain, workers = given
    scene, polar, factors = air.scene, craft.polar, draws.glide_factor
    believed = sortie.glider.glide_factor.value * sortie.glider.flown_ratio
    own = DrawnGlider(polar, advised_limits(sortie, craft.limits), believed)
    asked = Asked(np.array(grain.prices_mps), grain.slab)
    if len(scene.cube.apart_mps):
        lines = home_lines(sortie, air.column, tracks)
        draws = draws._replace(swarm=with_home_line(scene, draws.swarm, lines))
    reaches = reaches_of(scene, own, draws, asked, workers)
    light_s = light_end_s(sortie)
    end_s = np.minimum(draws.pack_end_s, light_s - grain.delay_s)
    sink_mps = sinks_mps(scene.layers, polar, craft.best_eas_mps)
    fleet = Fleet(polar, craft.drop, factors, draws.drop_drag)
    return ReachTables(
        losses=drawn_losses(scene.layers, fleet, craft.best_eas_mps, workers),
        reaches=reaches,
        haste=Haste(end_s, draws.heading_s, sink_mps, factors),
        light_end_s=light_s,
    )
