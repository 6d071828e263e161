"""Stage: a sortie and its air turned into draws, climbs and reach tables, ready to be asked."""

from dataclasses import dataclass, replace
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from farglide.air.column import Column, Sounding, WindDoubt, build_column
from farglide.air.doubt import knots_of, n_knots
from farglide.atlas.fields import Field, check_fields
from farglide.balloon.ascent import Envelope, balance_of
from farglide.balloon.envelope import slack_diameter_m
from farglide.balloon.gas import Fill, GasMix, fill_of
from farglide.constants import AIR_GAS_CONSTANT_JPKGK, STANDARD_GRAVITY_MPS2
from farglide.earth.sun import CIVIL_DUSK_DEG, dusk_t_s, sun_position
from farglide.errors import InputError
from farglide.glider.polar import (
    Air,
    Polar,
    Wing,
    _steady,
    checked_wing,
    polar_of,
    speed_to_fly,
)
from farglide.glider.release import Drop
from farglide.power import ends_after_launch_s, runs_for_s
from farglide.sim.climb import Balloon, Burst, Scene, Tracks, _air_at, climb
from farglide.sim.doors import Goals, Haste, Ways
from farglide.sim.ensemble import Doubts, Drawn, Uncertain, draw
from farglide.sim.losses import LOSS_STEP_M, Losses, Peaks, drawn_losses, pullout_peaks
from farglide.sim.odds import burst_shares
from farglide.sim.reach import FREE, sum_reach
from farglide.sim.spread import Spread, in_one_go
from farglide.sim.step import frame_of
from farglide.sim.support import Limits, Support, ceiling_amsl_m, tabulate
from farglide.sortie.spec import PackSpec, Sortie, Tag

FloatArray = NDArray[np.float64]

PRICES_MPS: Final = (3.0, 8.0, 16.0, 30.0, 60.0, 150.0, 1000.0)
_SLAB: Final = 3
_LONGEST_S: Final = 5.0 * 3600.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """How finely a plan is asked for."""

    n_draws: int = 1000
    seed: int = 1
    clock_s: float = 30.0
    prices_mps: tuple[float, ...] = PRICES_MPS
    slab: int = _SLAB  # layers taken as one in the priced reach tables
    slowing: bool = True  # false leaves out the energy of slowing down on the way
    held_eas_mps: float = 0.0  # a speed flown at every height, instead of the best in each layer
    widening_ratio: float = 1.0  # of the wind's doubt, for an old or a distant wind
    delay_s: float = 0.0  # spent on the ground with the packs on

    def __post_init__(self) -> None:
        if self.seed >= 0 and not 50 <= self.n_draws <= 20_000:
            raise InputError(
                "n_draws",
                self.n_draws,
                "50 to 20 000",
                "With fewer, odds have no digits; each thousand takes 0.3 GB.",
            )
        if not 5.0 <= self.clock_s <= 300.0:
            raise InputError("clock_s", f"{self.clock_s} s", "5 to 300 s")


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """All that a question about the flight needs; first axis of arrays the draw."""

    sortie: Sortie
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
    spread: Spread


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
    sortie: Sortie, sounding: Sounding, asked: Asked, spread: Spread = in_one_go
) -> Climbed:
    """Return the climbs of a sortie's draws in this air."""
    column = _column(sortie, sounding, asked)
    scene = Scene(
        column.layers,
        knots_of(column, sortie.doubt.wind_depth_m),
        frame_of(sortie.launch.lat_deg, sortie.launch.lon_deg),
        sortie.doubt.vertical_mps,
    )
    fill = launch_fill(sortie, column)
    drawn = draw(_doubts(sortie, column, asked), asked.n_draws, n_knots(column), asked.seed)
    balloon = Balloon(
        _envelope(sortie, fill), balance_of(sortie.balloon.drag_table), sortie.hanging_kg
    )
    start_m = max(sortie.launch.amsl_m, column.layers.base_amsl_m)
    end_s = _end_s(scene, drawn, balloon, start_m, asked)
    tracks, burst = climb(scene, drawn.swarm, balloon, (start_m, asked.clock_s, end_s), spread)
    return Climbed(column, scene, fill, balloon, drawn, tracks, burst)


def set_stage(
    sortie: Sortie,
    sounding: Sounding,
    asked: Asked,
    spread: Spread = in_one_go,
    like: Stage | None = None,
) -> Stage:
    """Return the stage of a sortie in this air: climbs flown, reach tables summed.

    `like`: a stage of the same air and draws; what cannot differ from it is taken over.
    """
    if like is not None and like.asked == asked and _same_glide(like.sortie, sortie):
        climbed = set_climb(sortie, sounding, asked, spread)
        return _with_climb(replace(like, sortie=sortie), climbed)
    if like is not None and _same_climb(like, sortie, asked):
        drawn = draw(
            _doubts(sortie, like.column, asked), asked.n_draws, n_knots(like.column), asked.seed
        )
        climbed = Climbed(
            like.column, like.scene, like.fill, like.balloon, drawn, like.tracks, like.burst
        )
    else:
        climbed = set_climb(sortie, sounding, asked, spread)
    return _with_glide(sortie, asked, climbed, spread)


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


def _with_glide(sortie: Sortie, asked: Asked, climbed: Climbed, spread: Spread) -> Stage:
    scene, drawn = climbed.scene, climbed.drawn
    diameter = sortie.balloon.burst_diameter_m
    polar, limits, drop = craft_of(sortie, asked)
    best_mps = best_glide_eas_mps(polar, limits)
    varied = (drawn.glide_factor, drawn.drop_drag)
    support = tabulate(scene.layers, polar, limits, _factor_range(drawn), spread)
    light_s = light_end_s(sortie)
    return Stage(
        sortie=sortie,
        asked=asked,
        **climbed._asdict(),
        polar=polar,
        limits=limits,
        drop=drop,
        burst_share=burst_shares(climbed.tracks, diameter.value, diameter.sd),
        losses=drawn_losses(scene.layers, (polar, drop), varied, best_mps, spread),
        support=support,
        ways=_ways(scene, support, drawn, asked, spread),
        haste=haste_of(drawn, light_s, asked, _best_sinks_mps(climbed.column, polar, best_mps)),
        goals=goals_of(sortie, sortie.fields),
        light_end_s=light_s,
        best_eas_mps=best_mps,
        peaks=pullout_peaks(scene.layers, (polar, drop), sortie.glider.flown_ratio, best_mps),
        ceiling_amsl_m=ceiling_amsl_m(scene.layers, polar, limits),
        spread=spread,
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


def _column(sortie: Sortie, sounding: Sounding, asked: Asked) -> Column:
    doubt = sortie.doubt
    lowest = min([sortie.launch.amsl_m, *(field.amsl_m for field in sortie.fields)])
    column = build_column(
        sounding,
        lowest,
        WindDoubt(
            floor_mps=doubt.wind_mps,
            share_ratio=doubt.wind_ratio,
            depth_m=doubt.wind_depth_m,
            beyond_mps=doubt.beyond_mps,
            widening_ratio=asked.widening_ratio,
        ),
    )
    if asked.slowing:
        return column
    still = np.zeros_like(column.layers.slowing_s2pm2)
    return replace(column, layers=column.layers._replace(slowing_s2pm2=still))


def launch_fill(sortie: Sortie, column: Column) -> Fill:
    """Return the fill that gives the stated neck lift in the air at the launch."""
    p_pa, t_k, *_ = _air_at(column.layers, sortie.launch.amsl_m)
    mix = GasMix(gas=sortie.balloon.gas, purity_ratio=sortie.balloon.purity_ratio)
    return fill_of(
        sortie.balloon.neck_lift_kg.value,
        sortie.balloon.mass_kg,
        mix,
        float(p_pa),
        float(t_k),
    )


def _envelope(sortie: Sortie, fill: Fill) -> Envelope:
    balloon = sortie.balloon
    mix = GasMix(gas=balloon.gas, purity_ratio=balloon.purity_ratio)
    slack_m = slack_diameter_m(balloon.mass_kg, balloon.film_stiffness_npm)
    return Envelope(
        balloon_kg=balloon.mass_kg,
        gas_kg=fill.gas_kg,
        gas_per_air_constant=mix.gas_constant_jpkgk / AIR_GAS_CONSTANT_JPKGK,
        gas_warmer_k=balloon.gas_warmer_k.value,
        film_npm=balloon.film_stiffness_npm,
        slack_diameter_m=min(slack_m, 100.0),
        burst_diameter_m=balloon.burst_diameter_m.value,
        drag_factor=balloon.drag_factor.value,
        leak_ratio_ps=balloon.leak_ratio_ps,
    )


def _doubts(sortie: Sortie, column: Column, asked: Asked) -> Doubts:
    """Return what the draws vary. A climb's relative error counts twice in the drag factor."""
    balloon, glider, drop = sortie.balloon, sortie.glider, sortie.drop
    gas_kg = launch_fill(sortie, column).gas_kg
    neck = balloon.neck_lift_kg
    drag_sd = float(np.hypot(balloon.drag_factor.sd, 2.0 * sortie.doubt.ascent_ratio))
    glide = glider.glide_factor
    return Doubts(
        gas_kg=Uncertain(
            mean=gas_kg, sd=gas_kg * neck.sd / (neck.value + balloon.mass_kg), floor=1e-3
        ),
        drag_factor=Uncertain(mean=balloon.drag_factor.value, sd=drag_sd, floor=0.2),
        burst_diameter_m=Uncertain(
            mean=balloon.burst_diameter_m.value, sd=balloon.burst_diameter_m.sd, floor=0.3
        ),
        gas_warmer_k=Uncertain(
            mean=balloon.gas_warmer_k.value, sd=balloon.gas_warmer_k.sd, floor=-20.0
        ),
        glide_factor=Uncertain(
            mean=glide.value * glider.flown_ratio, sd=glide.sd * glider.flown_ratio, floor=0.06
        ),
        drop_drag=Uncertain(mean=drop.drop_drag.value, sd=drop.drop_drag.sd, floor=0.01),
        heading_s=Uncertain(mean=drop.heading_s.value, sd=drop.heading_s.sd),
        pack_ends_s=tuple(pack_end(pack, asked.delay_s) for pack in sortie.packs),
        reaction_s=Uncertain(mean=drop.reaction_s.value, sd=drop.reaction_s.sd),
        wind_depth_m=sortie.doubt.wind_depth_m,
    )


def pack_end(pack: PackSpec, delay_s: float = 0.0) -> Uncertain:
    """Return when a pack must have done its work, seconds after the launch, reserve taken off."""
    runs_s = runs_for_s(pack.energy_wh.value, pack.cold_ratio.value, pack.load_w)
    spread = float(np.hypot(pack.energy_wh.spread_ratio, pack.cold_ratio.spread_ratio))
    end_s = ends_after_launch_s(runs_s, pack.on_after_launch_s - delay_s)
    return Uncertain(mean=end_s - pack.reserve_s, sd=spread * runs_s)


def craft_of(sortie: Sortie, asked: Asked) -> tuple[Polar, Limits, Drop]:
    """Return the glider as the kernels read it."""
    glider, drop = sortie.glider, sortie.drop
    wing = Wing(
        glider.mass_kg,
        glider.area_m2,
        glider.chord_m,
        glider.aspect_ratio,
        glider.span_efficiency,
        glider.zero_lift_drag,
        glider.reference_reynolds,
        glider.reynolds_exponent,
        glider.lift_max,
    )
    return (
        polar_of(checked_wing(wing)),
        Limits(glider.top_eas_mps, glider.top_mach, asked.held_eas_mps),
        Drop(
            drop.drop_drag.value,
            drop.pull_eas_mps,
            drop.pull_load,
            float(np.radians(drop.level_angle_deg)),
        ),
    )


def best_glide_eas_mps(polar: Polar, limits: Limits) -> float:
    """Return the EAS of the flattest glide in still air at sea level."""
    return speed_to_fly(polar, _SEA_LEVEL, limits.top_eas_mps)


_SEA_LEVEL: Final = Air(1.225, 1.7894e-5, 1.0)


def _factor_range(drawn: Drawn) -> tuple[float, float]:
    return max(float(drawn.glide_factor.min()), 0.05), min(float(drawn.glide_factor.max()), 4.0)


def _ways(scene: Scene, support: Support, drawn: Drawn, asked: Asked, spread: Spread) -> Ways:
    swarm = (drawn.swarm, drawn.glide_factor)
    prices = np.array(asked.prices_mps)
    return Ways(
        sum_reach(scene, support, swarm, FREE, spread),
        sum_reach(scene, support, swarm, (prices, asked.slab), spread),
        prices,
    )


def haste_of(drawn: Drawn, light_s: float, asked: Asked, sink_mps: FloatArray) -> Haste:
    """Return by when each draw must be over its field: packs or light, whichever ends first."""
    end_s = np.minimum(drawn.pack_end_s, light_s - asked.delay_s)
    return Haste(end_s, drawn.heading_s, sink_mps, drawn.glide_factor)


def _best_sinks_mps(column: Column, polar: Polar, eas_mps: float) -> FloatArray:
    """Return the sink of the best glide in each layer, at glide factor 1."""
    layers = column.layers
    gravity = layers.gravity_mps2 / STANDARD_GRAVITY_MPS2
    airs = zip(
        layers.rho_kgpm3,
        layers.viscosity_pas,
        layers.tas_per_eas,
        layers.slowing_s2pm2,
        gravity,
        strict=True,
    )
    return np.array([_steady(polar, eas_mps, Air(*air), (1.0, 1.0))[1] for air in airs])


def light_end_s(sortie: Sortie) -> float:
    """Return seconds from the launch to civil dusk at home: 0 in the dark, infinite without."""
    place = sortie.fields[0] if sortie.fields else sortie.launch
    launch_s = sortie.launch.t_s
    if sun_position(launch_s, place.lat_deg, place.lon_deg).elevation_deg < CIVIL_DUSK_DEG:
        return 0.0
    dusk = dusk_t_s(launch_s, place.lat_deg, place.lon_deg)
    return float("inf") if dusk is None else dusk - launch_s


def goals_of(sortie: Sortie, fields: tuple[Field, ...]) -> Goals:
    """Return the fields as offsets from the launch."""
    if fields:
        check_fields(fields)
    launch = sortie.launch
    east_deg = [(field.lon_deg - launch.lon_deg + 180.0) % 360.0 - 180.0 for field in fields]
    ground = np.array([field.amsl_m for field in fields], dtype=np.float64)
    return Goals(
        np.radians([field.lat_deg - launch.lat_deg for field in fields]),
        np.radians(east_deg),
        ground,
        ground + sortie.wish.arrival_agl_m,
    )


def _end_s(scene: Scene, drawn: Drawn, balloon: Balloon, start_m: float, asked: Asked) -> float:
    """Return until when climbs are followed: well past the latest likely burst."""
    if balloon.envelope.leak_ratio_ps > 0.0:
        return _LONGEST_S
    mean = drawn.swarm._replace(
        gas_kg=np.array([balloon.envelope.gas_kg]),
        drag_factor=np.array([balloon.envelope.drag_factor]),
        burst_diameter_m=np.array([balloon.envelope.burst_diameter_m]),
        gas_warmer_k=np.array([balloon.envelope.gas_warmer_k]),
        error_east=np.zeros((1, drawn.swarm.error_east.shape[1])),
        error_north=np.zeros((1, drawn.swarm.error_east.shape[1])),
        error_up=np.zeros((1, drawn.swarm.error_east.shape[1])),
    )
    _, burst = climb(scene, mean, balloon, (start_m, asked.clock_s, _LONGEST_S))
    at_s = float(burst.after_launch_s[0])
    return _LONGEST_S if np.isnan(at_s) else min(1.25 * at_s + 600.0, _LONGEST_S)
