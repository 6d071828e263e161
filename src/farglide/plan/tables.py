"""Tables: fill rows, glider by height, packs, sun, and how warm each transmitter gets."""

from typing import Final

import numpy as np

from farglide.arrays import FloatArray
from farglide.balloon.gas import Bottle, GasMix, bottle_ratio
from farglide.chances.case import median_place
from farglide.chances.ensemble import Ensemble
from farglide.chances.spells import stretches
from farglide.constants import DECILE_SDS, SEA_LEVEL_DENSITY_KGPM3, STANDARD_GRAVITY_MPS2
from farglide.earth.geodesy import geodesic
from farglide.earth.state import place_of
from farglide.earth.sun import dusk_t_s, horizon_dip_deg, sun_position, sunset_t_s
from farglide.glider.limits import turn_radius_m
from farglide.glider.polar import GlideAir, polar_stall_eas_mps, speed_to_fly, steady_glide
from farglide.glider.release import pull_out
from farglide.outlook.ascent import Spread
from farglide.outlook.faults import TransmitterHeat
from farglide.outlook.gear import FillOutlook, FillRow, GliderRow, PackEnd, SunOutlook
from farglide.plan.fill import with_value
from farglide.plan.home.homeward import Homeward
from farglide.power.heat import Body, cube_size_m, temperatures_k
from farglide.rig.doubts import pack_end
from farglide.rig.gear import launch_fill
from farglide.rig.profile import FlightProfile, around_of, planned_profile
from farglide.sim.core.step import layer_index
from farglide.sim.fly.climb import Clock, climb
from farglide.sim.fly.passage import from_launch_m
from farglide.sortie.gear import HousingSpec
from farglide.sortie.spec import Launch

_HEIGHTS_M: Final = (500.0, 5_000.0, 10_000.0, 15_000.0, 20_000.0, 25_000.0, 30_000.0)
_FILL_STEP_KG: Final = 0.1


def fill_outlook(plain: Ensemble) -> FillOutlook:
    """Return what to hang on the neck, and what a little more or less does. Error-free ensemble."""
    balloon = plain.sortie.balloon
    neck = balloon.neck_lift_kg.value
    lifts = [neck - _FILL_STEP_KG, neck, neck + _FILL_STEP_KG]
    mix = GasMix(gas=balloon.gas, purity_ratio=balloon.purity_ratio)
    return FillOutlook(
        gas=balloon.gas,
        neck_lift_kg=neck,
        free_lift_kg=neck - plain.sortie.hanging_kg,
        volume_m3=plain.climbs.fill.volume_m3,
        bottle_ratio=bottle_ratio(mix, plain.climbs.fill, Bottle()),
        rows=tuple(_fill_row(plain, lift) for lift in lifts if lift > plain.sortie.hanging_kg),
    )


def _fill_row(plain: Ensemble, neck_lift_kg: float) -> FillRow:
    sortie = with_value(plain.sortie, "balloon", "neck_lift_kg", neck_lift_kg)
    gas_kg = launch_fill(sortie, plain.air.column).gas_kg
    swarm = plain.draws.swarm._replace(gas_kg=np.array([gas_kg]))
    balloon, tracks = plain.climbs.balloon, plain.climbs.tracks
    balloon = balloon._replace(envelope=balloon.envelope._replace(gas_kg=gas_kg))
    clock = Clock(sortie.launch.amsl_m, 30.0, 1.5 * tracks.step_s * tracks.amsl_m.shape[1])
    tracks, burst = climb(plain.air.scene, swarm, balloon, clock)
    at_s, amsl_m, north, east = (float(one[0]) for one in burst)
    return FillRow(
        neck_lift_kg=neck_lift_kg,
        height_at_5_min_amsl_m=float(tracks.amsl_m[0, 10]),
        burst_amsl_m=amsl_m,
        burst_after_launch_s=at_s,
        drift_m=float(np.hypot(*from_launch_m(plain.air.scene, north, east))),
    )


def glider_rows(plain: Ensemble) -> tuple[GliderRow, ...]:
    """Return what the glider is at each height, in this column."""
    base = plain.air.column.edges_amsl_m[0]
    top = min(plain.air.column.edges_amsl_m[-1], plain.craft.ceiling_amsl_m)
    return tuple(_glider_row(plain, h) for h in _HEIGHTS_M if base + 300.0 < h < top)


def _glider_row(plain: Ensemble, amsl_m: float) -> GliderRow:
    polar, glider, column = plain.craft.polar, plain.sortie.glider, plain.air.column
    layers, k = column.layers, layer_index(column.layers, amsl_m)
    rho, ratio, sound, viscosity, gravity, slowing = (
        float(one[k])
        for one in (
            layers.rho_kgpm3, layers.tas_per_eas, layers.sound_mps, layers.viscosity_pas,
            layers.gravity_mps2, layers.slowing_s2pm2,
        )
    )  # fmt: skip
    air = GlideAir(rho, viscosity, ratio, slowing, gravity / STANDARD_GRAVITY_MPS2)
    top_eas = min(glider.top_eas_mps, glider.top_mach * sound / ratio)
    best_eas = speed_to_fly(polar, air, top_eas)
    best_tas = best_eas * ratio
    glide = steady_glide(polar, best_eas, air, float(plain.draws.glide_factor[0]))
    lift = 2.0 * polar.weight_n / (SEA_LEVEL_DENSITY_KGPM3 * best_eas**2 * polar.area_m2)
    slope_deg = float(np.degrees(np.arctan2(glide.sink_mps, glide.level_mps)))
    loading_kgpm2, bank_deg = glider.mass_kg / glider.area_m2, glider.gentle_bank_deg
    lost = pull_out(polar, plain.craft.drop, column, amsl_m, plain.craft.best_eas_mps)
    return GliderRow(
        amsl_m=amsl_m,
        stall_tas_mps=ratio * polar_stall_eas_mps(polar),
        best_tas_mps=best_tas,
        best_eas_mps=best_eas,
        glide_ratio=glide.level_mps / glide.sink_mps,
        sink_mps=glide.sink_mps,
        top_tas_mps=top_eas * ratio,
        mach=best_tas / sound,
        reynolds=rho * best_eas * ratio * polar.chord_m / viscosity,
        turn_radius_m=turn_radius_m(loading_kgpm2, lift, rho, bank_deg, slope_deg),
        pullout_m=lost.level_lost_m,
    )


def pack_ends(ensemble: Ensemble) -> tuple[PackEnd, ...]:
    """Return when each pack ends, without the reserve the plan keeps."""
    found = []
    for pack in ensemble.sortie.packs:
        end = pack_end(ensemble.sortie, ensemble.air.column, pack)
        mean = end.mean + pack.reserve_s
        spread = Spread(p10=mean - DECILE_SDS * end.sd, p50=mean, p90=mean + DECILE_SDS * end.sd)
        found.append(PackEnd(name=pack.name, after_launch_s=spread))
    return tuple(found)


def sun_outlook(ensemble: Ensemble, moment: int, field: int) -> SunOutlook:
    """Return sun, light and the bearing of a field for a release at a moment of the climb."""
    launch = ensemble.sortie.launch
    after_s = moment * ensemble.climbs.tracks.step_s
    here = median_place(ensemble, after_s)
    sun = sun_position(launch.t_s + after_s, here.lat_deg, here.lon_deg)
    home = ensemble.sortie.fields[field] if ensemble.sortie.fields else launch
    there = place_of(home, 0.0)
    line = geodesic(here, there) if here != there else None
    sunset = sunset_t_s(launch.t_s, home.lat_deg, home.lon_deg)
    dusk = dusk_t_s(launch.t_s, home.lat_deg, home.lon_deg)
    return SunOutlook(
        sunset_after_launch_s=None if sunset is None else sunset - launch.t_s,
        dusk_after_launch_s=None if dusk is None else dusk - launch.t_s,
        azimuth_deg=sun.azimuth_deg,
        elevation_deg=sun.elevation_deg,
        field=home.name,
        field_bearing_deg=line.azimuth_deg if line else 0.0,
        field_distance_m=line.distance_m if line else 0.0,
    )


def sender_heats(
    plain: Ensemble, moment: int, flight: Homeward | None
) -> tuple[TransmitterHeat, ...]:
    """Return how warm each transmitter gets whose heat and case the flight file states.

    The flight is the one without errors: the climb to the moment of the release, the glide with
    most height that ends in time (else the flattest), and best glide down from its end. Without a
    flight home the glide goes straight down. On the ground the air stands still; aboard it passes
    with the stated share of the airspeed. The case begins as warm as the air when the first pack is
    switched on, and radiates to walls at the air's temperature.
    """
    stated = [(link.name, link.case) for link in plain.sortie.links if link.case is not None]
    if not stated:
        return ()
    climbed_m = plain.climbs.tracks.amsl_m[0, : moment + 1]
    glide, step_s = flight.flown if flight else None, plain.climbs.tracks.step_s
    profile = planned_profile(plain.sortie, plain.air.column, climbed_m, step_s, glide)
    return tuple(_heat(plain, name, case, profile, moment * step_s) for name, case in stated)


def _heat(
    plain: Ensemble, name: str, case: HousingSpec, profile: FlightProfile, release_s: float
) -> TransmitterHeat:
    warm_k, after_s, limit_k = case_k(plain, case, profile), profile.after_launch_s, case.limit_k
    j = int(np.argmax(warm_k))
    return TransmitterHeat(
        link=name,
        at_launch_k=float(np.interp(0.0, after_s, warm_k)),
        at_release_k=float(np.interp(release_s, after_s, warm_k)),
        hottest_k=float(warm_k[j]),
        hottest_after_launch_s=float(after_s[j]),
        hottest_amsl_m=float(profile.amsl_m[j]),
        limit_k=limit_k,
        over_limit=tuple(
            (float(after_s[a]), float(after_s[min(past, len(after_s) - 1)]))
            for a, past in (stretches(warm_k > limit_k) if limit_k is not None else ())
        ),
    )


def case_k(plain: Ensemble, case: HousingSpec, profile: FlightProfile) -> FloatArray:
    """Return the temperature of a transmitter along a profile."""
    body = Body(
        mass_kg=case.mass_kg,
        specific_heat_jpkgk=case.specific_heat_jpkgk,
        area_m2=case.area_m2,
        size_m=cube_size_m(case.area_m2),
        emissivity_ratio=case.emissivity_ratio,
    )
    sunlit = _sunlit(plain.sortie.launch, profile) if case.sun_w else np.zeros(len(profile[0]))
    around = around_of(
        plain.air.column, profile, case.heat_w + case.sun_w * sunlit, case.flow_ratio
    )
    return np.asarray(temperatures_k(body, around, around.air_k[:, 0])[0])


def _sunlit(launch: Launch, profile: FlightProfile) -> FloatArray:
    """Return 1 while the sun stands over the horizon seen from the height of the flight, else 0."""
    lit = [
        sun_position(launch.t_s + at_s, launch.lat_deg, launch.lon_deg).elevation_deg
        > -horizon_dip_deg(max(amsl_m, 0.0))
        for at_s, amsl_m in zip(profile.after_launch_s, profile.amsl_m, strict=True)
    ]
    return np.array(lit, dtype=np.float64)
