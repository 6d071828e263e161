"""Doubts: what the draws vary, out of a sortie and its air."""

from typing import Final

import numpy as np

from farglide.air.column import AirColumn
from farglide.balloon.bands import stay_ratios
from farglide.balloon.gas import Fill
from farglide.power.packs import ends_after_launch_s, runs_for_s
from farglide.rig.cells import boxed_end
from farglide.rig.gear import balloon_of, bursting_of, launch_amsl_m, launch_fill
from farglide.rig.profile import mean_climb, scene_of
from farglide.sim.core.draws import ClimbDoubt, Doubts, Uncertain
from farglide.sortie.gear import PackSpec
from farglide.sortie.grain import Grain
from farglide.sortie.known import Known
from farglide.sortie.spec import Sortie

_CLIMB_STEP_S: Final = 30.0


def doubts_of(sortie: Sortie, column: AirColumn, grain: Grain) -> Doubts:
    """Return what the draws vary but the air.

    The doubt about a stated climb stands in place of its drag's.
    """
    balloon, glider, drop = sortie.balloon, sortie.glider, sortie.drop
    fill = launch_fill(sortie, column)
    gas_kg = fill.gas_kg
    gas_sd = gas_kg * balloon.neck_lift_kg.sd / (balloon.neck_lift_kg.value + balloon.mass_kg)
    drag_sd = balloon.drag_factor.sd if sortie.doubt.ascent_ratio is None else 0.0
    glide = glider.glide_factor
    return Doubts(
        gas_kg=Uncertain(mean=gas_kg, sd=gas_sd, floor=1e-3),
        drag_factor=Uncertain(mean=balloon.drag_factor.value, sd=drag_sd, floor=0.2),
        climb=_climb_doubt(sortie, column, fill),
        bursting=bursting_of(sortie, fill),
        gas_warmer_k=_uncertain(balloon.gas_warmer_k, -20.0),
        glide_factor=Uncertain(
            mean=glide.value * glider.flown_ratio, sd=glide.sd * glider.flown_ratio, floor=0.06
        ),
        drop_drag=_uncertain(drop.drop_drag, 0.01),
        heading_s=_uncertain(drop.heading_s),
        pack_ends_s=tuple(pack_end(sortie, column, pack, grain.delay_s) for pack in sortie.packs),
        reaction_s=_uncertain(drop.reaction_s),
    )


def _climb_doubt(sortie: Sortie, column: AirColumn, fill: Fill) -> ClimbDoubt:
    """Return by how much the climb may be off, its bands weighed by the climb without errors."""
    scene, start_m = scene_of(sortie, column), launch_amsl_m(sortie, column)
    tracks, burst = mean_climb(scene, balloon_of(sortie, fill), start_m, _CLIMB_STEP_S)
    amsl_m = tracks.amsl_m[0]
    flown = amsl_m[~np.isnan(amsl_m) & ~(amsl_m > burst.amsl_m[0])]
    return ClimbDoubt(
        common_ratio=sortie.doubt.ascent_ratio or 0.0,
        band_ratio=sortie.doubt.ascent_band_ratio,
        stay_ratio=tuple(stay_ratios(flown).tolist()),
    )


def _uncertain(known: Known, floor: float = 0.0) -> Uncertain:
    return Uncertain(mean=known.value, sd=known.sd, floor=floor)


def pack_end(sortie: Sortie, column: AirColumn, pack: PackSpec, delay_s: float = 0.0) -> Uncertain:
    """Return when a pack must have done its work, seconds after the launch, reserve taken off.

    With a box, its cells cool and warm along the reference flight; else one share holds throughout.
    """
    if pack.cold_ratio is None:
        boxed = boxed_end(sortie, column, pack, delay_s)
        return Uncertain(mean=boxed.after_launch_s - pack.reserve_s, sd=boxed.sd_s)
    runs_s = runs_for_s(pack.aged_wh, pack.cold_ratio.value, pack.load_w)
    spread = float(np.hypot(pack.energy_wh.spread_ratio, pack.cold_ratio.spread_ratio))
    end_s = ends_after_launch_s(runs_s, pack.on_after_launch_s - delay_s)
    return Uncertain(mean=end_s - pack.reserve_s, sd=spread * runs_s)
