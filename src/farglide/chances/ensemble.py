"""Ensemble: one flight drawn many times, or once without errors, ready to be asked."""

from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from farglide.air.column import AirColumn, Sounding
from farglide.arrays import BoolArray, FloatArray, IntArray
from farglide.balloon.gas import Fill
from farglide.errors import InputError
from farglide.glider.polar import Polar
from farglide.glider.release import Drop, Dropped
from farglide.rig.airdoubts import air_doubts_of
from farglide.rig.doubts import doubts_of
from farglide.rig.gear import (
    advised_limits,
    balloon_of,
    best_glide_eas_mps,
    bursting_of,
    column_of,
    craft_of,
    goals_of,
    launch_amsl_m,
    launch_fill,
    light_end_s,
)
from farglide.rig.listening import Listening
from farglide.rig.profile import LONGEST_S, mean_climb, scene_of
from farglide.sim.core.airerrors import AirErrors
from farglide.sim.core.draws import Drawn, draw, draw_air, redrawn, undisturbed
from farglide.sim.core.losses import LOSS_STEP_M, Fleet, Losses, Peaks, drawn_losses, pullout_peaks
from farglide.sim.core.release import Goals, Haste, Releases
from farglide.sim.core.scene import Balloon, Scene
from farglide.sim.core.shares import burst_shares
from farglide.sim.core.tracks import Burst, Tracks
from farglide.sim.core.workers import Workers, in_one_go
from farglide.sim.fly.climb import Clock, climb
from farglide.sim.reach.reaches import Asked, Reaches, reaches_of
from farglide.sim.reach.support import DrawnGlider, Limits, ceiling_amsl_m, sinks_mps
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Sortie, Tag


@dataclass(frozen=True, slots=True, kw_only=True)
class Air:
    """The air of a flight: as it was reported, cut into layers, and with the earth below it."""

    sounding: Sounding
    column: AirColumn
    scene: Scene


@dataclass(frozen=True, slots=True, kw_only=True)
class Craft:
    """The glider: how it glides, what it may not exceed, how it gets from the line to a glide."""

    polar: Polar
    limits: Limits
    drop: Drop
    best_eas_mps: float
    peaks: Peaks  # of the pull-out, by height of the release
    ceiling_amsl_m: float  # above it no speed fits between the stall and the Mach limit


@dataclass(frozen=True, slots=True, kw_only=True)
class Climbs:
    """The balloon, and its climbs in all draws as if none burst."""

    fill: Fill
    balloon: Balloon
    tracks: Tracks
    burst: Burst
    burst_share: FloatArray  # (n_draws, n_times)

    @property
    def burst_ratio(self) -> FloatArray:
        """Return the share of balloons that have burst by each time of the tracks."""
        return np.asarray(self.burst_share.mean(axis=0))

    def burst_ratio_at(self, after_launch_s: FloatArray) -> FloatArray:
        """Return the share of balloons that have burst by some times."""
        share = self.burst_ratio
        return np.interp(after_launch_s, self.tracks.step_s * np.arange(len(share)), share)

    def moments_at(self, after_launch_s: FloatArray) -> IntArray:
        """Return the indices on the tracks' clock that are nearest to some times, halves up."""
        return np.floor(after_launch_s / self.tracks.step_s + 0.5).astype(np.int64)


@dataclass(frozen=True, slots=True, kw_only=True)
class ReachTables:
    """What a release costs each draw, how far it then gets, and until when it must have."""

    losses: Losses
    reaches: Reaches
    haste: Haste
    light_end_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Ensemble:
    """One flight drawn many times, or once without errors; first axis of arrays the draw."""

    sortie: Sortie
    grain: Grain
    air: Air
    craft: Craft
    draws: Drawn
    climbs: Climbs
    reach: ReachTables
    goals: Goals
    listening: Listening | None = None  # None: no links or no stands are stated
    workers: Workers = in_one_go

    @property
    def released(self) -> Releases:
        """Return what the release of each draw comes to."""
        return Releases(self.draws.swarm, self.reach.losses, self.reach.haste)

    @property
    def light_is_first(self) -> bool:
        """Tell whether the light ends before the packs of the middle draw."""
        return self.reach.light_end_s < float(np.median(self.draws.pack_end_s))


class _Given(NamedTuple):
    """What an ensemble is made of: what was written, in which air, how finely, on which threads."""

    sortie: Sortie
    air: Air
    grain: Grain
    workers: Workers


def drawn_ensemble(
    sortie: Sortie, sounding: Sounding, grain: Grain, workers: Workers = in_one_go
) -> Ensemble:
    """Return the draws of a flight: climbs flown, reach tables summed, nobody listening yet."""
    given = _Given(sortie, air_of(sortie, sounding, grain), grain, workers)
    return _put_together(given, _draws(given))


def plain_ensemble(sortie: Sortie, sounding: Sounding, grain: Grain) -> Ensemble:
    """Return the one flight without errors, as finely as the draws would be computed."""
    return _put_together(*_without_errors(sortie, sounding, grain))


def plain_climbs(sortie: Sortie, sounding: Sounding, grain: Grain) -> Climbs:
    """Return the one climb without errors."""
    return _climbs(*_without_errors(sortie, sounding, grain))


def with_balloon(ensemble: Ensemble, sortie: Sortie) -> Ensemble:
    """Return the same flight with another balloon or fill: climbs anew, the glider's tables kept.

    Between the two passages of a layer its air changes as on the ensemble's own flight. `sortie`
    may differ from the ensemble's own in its balloon alone.
    """
    given = _Given(sortie, ensemble.air, ensemble.grain, ensemble.workers)
    draws = _redrawn(ensemble.draws, given)
    return replace(ensemble, sortie=sortie, draws=draws, climbs=_climbs(given, draws))


def with_glider(ensemble: Ensemble, sortie: Sortie, grain: Grain) -> Ensemble:
    """Return the same climbs with another glider, crew or speed held: the reach summed anew.

    Between the two passages of a layer its air changes as on the ensemble's own flight. `sortie`
    may differ from the ensemble's own in glider and drop, but not in what hangs below the balloon;
    `grain` in the speed held.
    """
    given = _Given(sortie, ensemble.air, grain, ensemble.workers)
    draws, craft = _redrawn(ensemble.draws, given), _craft(given)
    reach = _reach(given, craft, draws)
    return replace(ensemble, sortie=sortie, grain=grain, craft=craft, draws=draws, reach=reach)


def with_air(ensemble: Ensemble, air: Air) -> Ensemble:
    """Return the same draws where the winds are known otherwise, their errors as many deviations.

    The reach is summed anew, the climbs so far stay what they were. `ensemble`: of draws, not of
    the flight without errors. `air`: with the layers of the ensemble's own.
    """
    n, wanted = len(ensemble.draws.glide_factor), ensemble.grain.n_draws
    if n != wanted:
        remedy = "Give an ensemble of draws; the flight without errors has none in any air."
        raise InputError("draws", n, f"{wanted}, as the grain says", remedy)
    given = _Given(ensemble.sortie, air, ensemble.grain, ensemble.workers)
    swarm = ensemble.draws.swarm._replace(**_air_errors(given)._asdict())
    return with_winds(ensemble, air, ensemble.draws._replace(swarm=swarm))


def with_winds(ensemble: Ensemble, air: Air, draws: Drawn) -> Ensemble:
    """Return some draws on their way home in other air, their errors as they are given.

    The reach is summed anew, the climbs so far stay what they were. `air`: with the layers of the
    ensemble's own.
    """
    given = _Given(ensemble.sortie, air, ensemble.grain, ensemble.workers)
    return replace(ensemble, air=air, draws=draws, reach=_reach(given, ensemble.craft, draws))


def air_of(sortie: Sortie, sounding: Sounding, grain: Grain) -> Air:
    """Return the air of a sortie, cut into layers down to its lowest place."""
    column = column_of(sortie, sounding, grain)
    return Air(sounding=sounding, column=column, scene=scene_of(sortie, column))


def within_caps(ensemble: Ensemble, amsl_m: FloatArray) -> BoolArray:
    """Tell at which release heights the pull-out keeps the stated top EAS and Mach number.

    A top EAS that is only a stand-in (the best glide, for want of a number) is not held against it.
    """
    craft = ensemble.craft
    base_m = ensemble.air.column.layers.base_amsl_m
    heights = base_m + LOSS_STEP_M * np.arange(len(craft.peaks.mach))
    within = np.interp(amsl_m, heights, craft.peaks.mach) <= craft.limits.top_mach
    if ensemble.sortie.tags.get("glider.top_eas_mps") != Tag.GUESS:
        within &= np.interp(amsl_m, heights, craft.peaks.eas_mps) <= craft.limits.top_eas_mps
    return within


def _put_together(given: _Given, draws: Drawn) -> Ensemble:
    craft = _craft(given)
    return Ensemble(
        sortie=given.sortie,
        grain=given.grain,
        air=given.air,
        craft=craft,
        draws=draws,
        climbs=_climbs(given, draws),
        reach=_reach(given, craft, draws),
        goals=goals_of(given.sortie, given.sortie.fields),
        workers=given.workers,
    )


def _draws(given: _Given) -> Drawn:
    sortie, column, grain = given.sortie, given.air.column, given.grain
    doubts, air = doubts_of(sortie, column, grain), air_doubts_of(sortie, column)
    return draw(doubts, air, grain.n_draws, grain.seed)


def _redrawn(draws: Drawn, given: _Given) -> Drawn:
    """Return the same draws in their air, with all else as it is given."""
    doubts = doubts_of(given.sortie, given.air.column, given.grain)
    return redrawn(draws, doubts, given.grain.seed)


def _air_errors(given: _Given) -> AirErrors:
    """Return the errors of the air in all draws."""
    sortie, column, grain = given.sortie, given.air.column, given.grain
    doubts, air = doubts_of(sortie, column, grain), air_doubts_of(sortie, column)
    return draw_air(doubts, air, grain.n_draws, grain.seed)


def _without_errors(sortie: Sortie, sounding: Sounding, grain: Grain) -> tuple[_Given, Drawn]:
    air = air_of(sortie, sounding, grain)
    draws = undisturbed(doubts_of(sortie, air.column, grain), len(air.column.layers.p_pa))
    return _Given(sortie, air, grain, in_one_go), draws


def _climbs(given: _Given, draws: Drawn) -> Climbs:
    sortie, air, grain, workers = given
    fill = launch_fill(sortie, air.column)
    balloon, start_m = balloon_of(sortie, fill), launch_amsl_m(sortie, air.column)
    clock = Clock(start_m, grain.clock_s, _until_s(air.scene, balloon, start_m, grain.clock_s))
    tracks, burst = climb(air.scene, draws.swarm, balloon, clock, workers)
    share = burst_shares(tracks, bursting_of(sortie, fill))
    return Climbs(fill=fill, balloon=balloon, tracks=tracks, burst=burst, burst_share=share)


def _until_s(scene: Scene, balloon: Balloon, start_m: float, clock_s: float) -> float:
    """Return until when climbs are followed: well past the latest likely burst."""
    if balloon.envelope.leak_ratio_ps > 0.0:
        return LONGEST_S
    _, burst = mean_climb(scene, balloon, start_m, clock_s)
    at_s = float(burst.after_launch_s[0])
    return LONGEST_S if np.isnan(at_s) else min(1.25 * at_s + 600.0, LONGEST_S)


def _craft(given: _Given) -> Craft:
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


def _reach(given: _Given, craft: Craft, draws: Drawn) -> ReachTables:
    """Return the tables of all draws; each ends with its packs or the light, whichever is first."""
    sortie, air, grain, workers = given
    scene, polar, factors = air.scene, craft.polar, draws.glide_factor
    believed = sortie.glider.glide_factor.value * sortie.glider.flown_ratio
    own = DrawnGlider(polar, advised_limits(sortie, craft.limits), believed)
    asked = Asked(np.array(grain.prices_mps), grain.slab)
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
