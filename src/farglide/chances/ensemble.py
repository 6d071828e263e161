"""Ensemble: one flight drawn many times, or once without errors, ready to be asked."""

from dataclasses import dataclass, replace

import numpy as np

from farglide.air.sounding import Sounding
from farglide.arrays import BoolArray, FloatArray
from farglide.chances.making import (
    Given,
    air_errors_of,
    air_of,
    climbs_of,
    draws_of,
    made_craft,
    reach_of,
    redrawn_of,
    without_errors,
)
from farglide.chances.parts import Air, Climbs, Craft, ReachTables
from farglide.errors import InputError
from farglide.rig.gear import (
    goals_of,
)
from farglide.rig.listening import Listening
from farglide.sim.core.draws import Drawn
from farglide.sim.core.losses import LOSS_STEP_M
from farglide.sim.core.release import Goals, Releases
from farglide.sim.core.workers import Workers, in_one_go
from farglide.sortie.grain import Grain
from farglide.sortie.known import Tag
from farglide.sortie.spec import Sortie


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


def drawn_ensemble(
    sortie: Sortie, sounding: Sounding, grain: Grain, workers: Workers = in_one_go
) -> Ensemble:
    """Return the draws of a flight: climbs flown, reach tables summed, nobody listening yet."""
    given = Given(sortie, air_of(sortie, sounding, grain), grain, workers)
    return _put_together(given, draws_of(given))


def plain_ensemble(sortie: Sortie, sounding: Sounding, grain: Grain) -> Ensemble:
    """Return the one flight without errors, as finely as the draws would be computed."""
    return _put_together(*without_errors(sortie, sounding, grain))


def plain_climbs(sortie: Sortie, sounding: Sounding, grain: Grain) -> Climbs:
    """Return the one climb without errors."""
    return climbs_of(*without_errors(sortie, sounding, grain))


def with_balloon(ensemble: Ensemble, sortie: Sortie) -> Ensemble:
    """Return the same flight with another balloon or fill: climbs anew, the glider's tables kept.

    Between the two passages of a layer its air changes as on the ensemble's own flight. `sortie`
    may differ from the ensemble's own in its balloon alone.
    """
    given = Given(sortie, ensemble.air, ensemble.grain, ensemble.workers)
    draws = redrawn_of(ensemble.draws, given)
    return replace(ensemble, sortie=sortie, draws=draws, climbs=climbs_of(given, draws))


def with_glider(ensemble: Ensemble, sortie: Sortie, grain: Grain) -> Ensemble:
    """Return the same climbs with another glider, crew or speed held: the reach summed anew.

    Between the two passages of a layer its air changes as on the ensemble's own flight. `sortie`
    may differ from the ensemble's own in glider and drop, but not in what hangs below the balloon;
    `grain` in the speed held.
    """
    given = Given(sortie, ensemble.air, grain, ensemble.workers)
    draws, craft = redrawn_of(ensemble.draws, given), made_craft(given)
    reach = reach_of(given, craft, draws, ensemble.climbs.tracks)
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
    given = Given(ensemble.sortie, air, ensemble.grain, ensemble.workers)
    swarm = ensemble.draws.swarm._replace(**air_errors_of(given)._asdict())
    return with_winds(ensemble, air, ensemble.draws._replace(swarm=swarm))


def with_winds(ensemble: Ensemble, air: Air, draws: Drawn) -> Ensemble:
    """Return some draws on their way home in other air, their errors as they are given.

    The reach is summed anew, the climbs so far stay what they were. `air`: with the layers of the
    ensemble's own.
    """
    given = Given(ensemble.sortie, air, ensemble.grain, ensemble.workers)
    reach = reach_of(given, ensemble.craft, draws, ensemble.climbs.tracks)
    return replace(ensemble, air=air, draws=draws, reach=reach)


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


def _put_together(given: Given, draws: Drawn) -> Ensemble:
    craft, climbs = made_craft(given), climbs_of(given, draws)
    return Ensemble(
        sortie=given.sortie,
        grain=given.grain,
        air=given.air,
        craft=craft,
        draws=draws,
        climbs=climbs,
        reach=reach_of(given, craft, draws, climbs.tracks),
        goals=goals_of(given.sortie, given.sortie.fields),
        workers=given.workers,
    )
