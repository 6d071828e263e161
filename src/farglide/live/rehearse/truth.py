"""Truth: the balloon, the glider and the air that a rehearsal really has."""

from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np

from farglide.chances.ensemble import Ensemble
from farglide.chances.parts import Air
from farglide.live.rehearse.surprises import Changes
from farglide.live.rehearse.winds import changed_column, landing_errors_mps
from farglide.rig.airdoubts import air_doubts_of
from farglide.rig.doubts import doubts_of
from farglide.rig.gear import (
    advised_limits,
    balloon_of,
    best_glide_eas_mps,
    craft_of,
    launch_fill,
    light_end_s,
)
from farglide.sim.core.draws import Drawn, draw, undisturbed
from farglide.sim.core.losses import Fleet
from farglide.sim.fly.orders import Gear
from farglide.sim.reach.drawnglider import DrawnGlider
from farglide.sim.reach.speeds import speeds_of
from farglide.sortie.known import Known
from farglide.sortie.spec import Sortie

PRICES_MPS: Final = (
    0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.5, 8.0, 10.0, 12.0, 14.0, 17.0, 20.0, 24.0, 30.0, 42.0, 60.0,
    90.0, 150.0,
)  # fmt: skip
"""What a second is worth to a crew that watches the clock of its packs: as little as will do."""
AS_PLANNED: Final = 0
"""The seed that draws nothing: all is as planned but for the surprises."""
_OWN_SEED: Final = 5_000_003
"""Added to the seed: no truth is one of the draws that advise on it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Truth:
    """One flight as it will be: what its crew will meet, and the speeds it flies by forecast."""

    sortie: Sortie  # as it is, not as it was told
    air: Air
    drawn: Drawn  # of one draw
    gear: Gear
    best_eas_mps: float
    end_s: float  # packs with their reserve in hand, or the light, after the launch
    dead_s: float  # packs without it
    comes_free: bool  # of the remains, if the balloon bursts before the release
    changes: Changes


def truth_of(planned: Ensemble, changes: Changes, seed: int) -> Truth:
    """Return the truth of a flight that was planned, drawn by a seed; the same seed gives the same.

    `seed`: 0 draws nothing. The crew knows the winds of the plan alone, and flies by them.
    """
    sortie = _changed_sortie(planned.sortie, changes)
    column = changed_column(planned.air.column, changes)
    air = replace(
        planned.air, column=column, scene=planned.air.scene._replace(layers=column.layers)
    )
    drawn = _with_landing(_drawn(sortie, planned, air, seed), air, sortie, changes)
    drawn = _with_balloon(drawn, sortie, changes)
    glides = drawn.glide_factor * changes.glide_ratio
    drawn = drawn._replace(glide_factor=glides)
    polar, limits, drop = craft_of(sortie, planned.grain)
    believed = planned.sortie.glider.glide_factor.value * planned.sortie.glider.flown_ratio
    own = DrawnGlider(polar, advised_limits(sortie, limits), believed)
    balloon = balloon_of(sortie, launch_fill(sortie, column))
    leaks = balloon.envelope
    if changes.leak_ratio_ps:
        leaks = leaks._replace(leak_ratio_ps=changes.leak_ratio_ps, leak_from_s=changes.leak_from_s)
    end_s = float(drawn.pack_end_s[0])
    reserve_s = min((pack.reserve_s for pack in sortie.packs), default=0.0)
    return Truth(
        sortie=sortie,
        air=air,
        drawn=drawn,
        gear=Gear(
            balloon._replace(envelope=leaks),
            Fleet(polar, drop, drawn.glide_factor, drawn.drop_drag),
            speeds_of(planned.air.scene, own, np.array(PRICES_MPS)),
            drawn.reaction_s,
        ),
        best_eas_mps=best_glide_eas_mps(polar, limits),
        end_s=min(end_s, light_end_s(sortie)),
        dead_s=end_s + reserve_s,
        comes_free=_comes_free(sortie, seed),
        changes=changes,
    )


def _changed_sortie(sortie: Sortie, changes: Changes) -> Sortie:
    """Return the gear as it is, its doubts kept."""
    neck, packs = sortie.balloon.neck_lift_kg, sortie.packs
    lift = replace(neck, value=neck.value - changes.less_neck_kg)
    if changes.cold_ratio is not None:
        cold = Known(value=changes.cold_ratio)
        packs = tuple(replace(one, cold_ratio=cold, box=None) for one in packs)
    return replace(sortie, balloon=replace(sortie.balloon, neck_lift_kg=lift), packs=packs)


def _drawn(sortie: Sortie, planned: Ensemble, air: Air, seed: int) -> Drawn:
    doubts = doubts_of(sortie, air.column, planned.grain)
    if seed == AS_PLANNED:
        return undisturbed(doubts, len(air.column.layers.p_pa))
    told = air_doubts_of(planned.sortie, planned.air.column)
    return draw(doubts, told, 1, seed + _OWN_SEED)


def _with_landing(drawn: Drawn, air: Air, sortie: Sortie, changes: Changes) -> Drawn:
    ground_m = min([sortie.launch.amsl_m, *(one.amsl_m for one in sortie.fields)])
    east, north = landing_errors_mps(air.column, ground_m, changes.landing_turn_deg)
    swarm: Any = drawn.swarm
    more = {
        "home_east_mps": (swarm.home_east_mps + east).astype(np.float32),
        "home_north_mps": (swarm.home_north_mps + north).astype(np.float32),
    }
    return drawn._replace(swarm=swarm._replace(**more))


def _with_balloon(drawn: Drawn, sortie: Sortie, changes: Changes) -> Drawn:
    """Return the draw with a bursting diameter that a surprise states."""
    known = sortie.balloon.burst_diameter_m
    if changes.burst_sd is None:
        return drawn
    wide_m = np.array([known.value + changes.burst_sd * known.sd])
    return drawn._replace(swarm=drawn.swarm._replace(burst_diameter_m=wide_m))


def _comes_free(sortie: Sortie, seed: int) -> bool:
    ratio = sortie.release.free_after_burst_ratio
    if seed == AS_PLANNED:
        return ratio >= 0.5
    return bool(_uniform(seed) < ratio)


def _uniform(seed: int) -> float:
    key = np.array([seed + _OWN_SEED, 1], dtype=np.uint64)
    return float(np.random.Generator(np.random.Philox(key=key)).random())
