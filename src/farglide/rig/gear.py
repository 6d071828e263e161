"""Gear: a sortie turned into the air, balloon, glider, doubts and goals that the kernels read."""

from dataclasses import replace
from typing import Final

import numpy as np

from farglide.air.between import air_at
from farglide.air.column import AirColumn, build_column
from farglide.air.sounding import Sounding
from farglide.atlas.fields import Field, check_fields
from farglide.balloon.ascent import balance_of
from farglide.balloon.bands import N_BANDS
from farglide.balloon.burst import Bursting, Record, learnt_early_ratio
from farglide.balloon.envelope import Envelope, diameter_m, slack_diameter_m
from farglide.balloon.gas import Fill, GasMix, fill_of
from farglide.constants import (
    AIR_GAS_CONSTANT_JPKGK,
    SEA_LEVEL_DENSITY_KGPM3,
    SEA_LEVEL_VISCOSITY_PAS,
)
from farglide.earth.state import offsets_rad
from farglide.earth.sun import CIVIL_DUSK_DEG, dusk_t_s, sun_position
from farglide.glider.polar import GlideAir, speed_to_fly
from farglide.glider.release import Drop
from farglide.glider.wing import Polar, Wing, checked_wing, polar_of
from farglide.rig.winds import wind_doubt_of
from farglide.sim.core.release import Goals, goals_at
from farglide.sim.core.scene import Balloon
from farglide.sim.reach.drawnglider import Limits
from farglide.sortie.grain import Grain
from farglide.sortie.known import Tag
from farglide.sortie.spec import Sortie

SEA_LEVEL: Final = GlideAir(SEA_LEVEL_DENSITY_KGPM3, SEA_LEVEL_VISCOSITY_PAS, 1.0)


def column_of(sortie: Sortie, sounding: Sounding, grain: Grain) -> AirColumn:
    lowest = min([sortie.launch.amsl_m, *(field.amsl_m for field in sortie.fields)])
    column = build_column(sounding, lowest, wind_doubt_of(sortie, sounding))
    if grain.slowing:
        return column
    still = np.zeros_like(column.layers.slowing_s2pm2)
    return replace(column, layers=column.layers._replace(slowing_s2pm2=still))


def launch_fill(sortie: Sortie, column: AirColumn) -> Fill:
    """Return the fill that gives the stated neck lift in the air at the launch."""
    air = air_at(column.layers, sortie.launch.amsl_m)
    mix = GasMix(gas=sortie.balloon.gas, purity_ratio=sortie.balloon.purity_ratio)
    neck_kg, balloon_kg = sortie.balloon.neck_lift_kg.value, sortie.balloon.mass_kg
    return fill_of(neck_kg, balloon_kg, mix, float(air.p_pa), float(air.t_k))


def envelope_of(sortie: Sortie, fill: Fill) -> Envelope:
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


def craft_of(sortie: Sortie, grain: Grain) -> tuple[Polar, Limits, Drop]:
    """Return the glider as the kernels read it."""
    glider, drop = sortie.glider, sortie.drop
    wing = Wing(
        glider.mass_kg, glider.area_m2, glider.chord_m, glider.aspect_ratio,
        glider.span_efficiency, glider.zero_lift_drag, glider.reference_reynolds,
        glider.reynolds_exponent, glider.lift_max,
    )  # fmt: skip
    limits = Limits(glider.top_eas_mps, glider.top_mach, grain.held_eas_mps)
    level_rad = float(np.radians(drop.level_angle_deg))
    fall = Drop(drop.drop_drag.value, drop.pull_eas_mps, drop.pull_load, level_rad)
    return polar_of(checked_wing(wing)), limits, fall


def advised_limits(sortie: Sortie, limits: Limits) -> Limits:
    """Return the limits that the way home is flown and advised within: less a stated margin.

    A top EAS that is only a stand-in (the best glide, for want of a number) has none to lose.
    """
    kept = 1.0 - sortie.glider.speed_margin_ratio
    top_eas_mps = limits.top_eas_mps
    if sortie.tags.get("glider.top_eas_mps") != Tag.GUESS:
        slowest_mps = best_glide_eas_mps(craft_of(sortie, Grain())[0], limits)
        top_eas_mps = max(kept * top_eas_mps, min(slowest_mps, top_eas_mps))
    return limits._replace(top_eas_mps=top_eas_mps, top_mach=kept * limits.top_mach)


def best_glide_eas_mps(polar: Polar, limits: Limits) -> float:
    """Return the EAS of the flattest glide in still air at sea level."""
    return speed_to_fly(polar, SEA_LEVEL, limits.top_eas_mps)


def balloon_of(sortie: Sortie, fill: Fill) -> Balloon:
    """Return the balloon as it is filled, and what hangs below it."""
    return Balloon(
        envelope_of(sortie, fill),
        balance_of(sortie.balloon.drag_table),
        sortie.hanging_kg,
        np.ones(N_BANDS),
    )


def bursting_of(sortie: Sortie, fill: Fill) -> Bursting:
    """Return at which diameters such balloons burst, the crew's record counted in."""
    balloon, known = sortie.balloon, sortie.balloon.burst_diameter_m
    fill_diameter_m = diameter_m(fill.volume_m3)
    record = Record(balloon.n_flights, balloon.n_early_bursts, balloon.seen_to_ratio)
    early = learnt_early_ratio(
        balloon.early_burst_ratio.value, record, fill_diameter_m / known.value
    )
    return Bursting(known.value, known.sd, early, fill_diameter_m)


def launch_amsl_m(sortie: Sortie, column: AirColumn) -> float:
    """Return the height of the launch, not below the column of air."""
    return max(sortie.launch.amsl_m, column.layers.base_amsl_m)


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
    told = [(field.lat_deg, field.lon_deg, field.amsl_m) for field in fields]
    lat_deg, lon_deg, ground_m = np.array(told, dtype=np.float64).reshape(-1, 3).T.copy()
    offsets = offsets_rad(sortie.launch, lat_deg, lon_deg)
    return goals_at(*offsets, ground_m, sortie.wish.arrival_agl_m)
