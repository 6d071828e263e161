"""Payload plan: climb, burst, fall under a parachute, landing and links of a box nobody steers."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final, NamedTuple

import numpy as np

from farglide.air.between import air_at
from farglide.arrays import FloatArray
from farglide.atlas.barriers import Barrier
from farglide.atlas.outline import contains
from farglide.atlas.terrain import Terrain, height_amsl_m
from farglide.chances.ahead import sinks_of
from farglide.chances.case import Case, case_of
from farglide.chances.ensemble import Ensemble
from farglide.earth.geodesy import geodesic
from farglide.earth.state import Place, place_deg, place_of
from farglide.errors import ContradictionError
from farglide.fall import Story, parachute_story, settled_mps
from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.payload import Landing, PayloadOutlook
from farglide.plan.ascent import ascent_outlook, nine_in_ten_m, spread_of
from farglide.plan.charted import chart_outlook
from farglide.plan.fill import with_solved_fill
from farglide.plan.links.flightpath import FlightPath
from farglide.plan.links.hearing import heard_links
from farglide.plan.notes import ground_wind_mps, plan_notes
from farglide.plan.planned import Progress, no_progress
from farglide.plan.suspicions import suspicions, untold
from farglide.rig.gear import light_end_s
from farglide.sim.core.tracks import Trails
from farglide.sim.core.workers import Workers, in_one_go
from farglide.sim.fly.descend import Falls, descend, trails
from farglide.sim.fly.passage import from_launch_m
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie

_PRICES_MPS: Final = (8.0,)
_SLAB: Final = 5
"""The coarsest tables: no reach is told of what nobody steers."""
_OF_GLIDERS: Final = ("aircraft",)
"""Permissions that nobody needs for what comes down by itself."""
_CLIMB_STEP_S: Final = 120.0
_FALL_STEP_S: Final = 60.0
_N_DRAWS: Final = 200


class _Fallen(NamedTuple):
    """Bursts and landings of the draws: seconds, height, radians north and east, (n_draws, 4)."""

    bursts: FloatArray
    ends: FloatArray
    ground_amsl_m: float


def plan_payload(
    flight: FlightFile,
    pack: Pack,
    grain: Grain,
    workers: Workers = in_one_go,
    progress: Progress = no_progress,
) -> PayloadOutlook:
    """Return the outlook of a payload's flight in the air of a pack: its fill solved.

    Raises ContradictionError where the flight has no payload, or no draw comes down.
    """
    flight = with_solved_fill(flight, pack.sounding)
    sortie = flight.sortie
    progress("flying the draws")
    case = case_of(sortie, pack, replace(grain, prices_mps=_PRICES_MPS, slab=_SLAB), workers)
    drawn = case.drawn
    fallen = _fallen(drawn, _story(sortie), pack.terrain)
    suspected = suspicions(sortie, pack)
    notes = (*flight.notes, *plan_notes(drawn, pack))
    dusk_s, ascent = light_end_s(sortie), ascent_outlook(drawn)
    return PayloadOutlook(
        name=sortie.name,
        launch_t_s=sortie.launch.t_s,
        zone=sortie.launch.zone,
        launch_name=sortie.launch.name,
        n_draws=grain.n_draws,
        seed=grain.seed,
        wind_origin=pack.sounding.origin,
        wind_age_s=sortie.launch.t_s - pack.sounding.t_s,
        missing=_permissions(sortie, "missing"),
        asked=_permissions(sortie, "asked"),
        ground_wind_mps=ground_wind_mps(drawn),
        ground_wind_limit_mps=sortie.wish.ground_wind_limit_mps,
        suspicions=suspected,
        gas=sortie.balloon.gas,
        neck_lift_kg=sortie.balloon.neck_lift_kg.value,
        volume_m3=case.plain.climbs.fill.volume_m3,
        ascent=ascent,
        landing=_landing(drawn, fallen),
        dusk_after_launch_s=dusk_s if np.isfinite(dusk_s) else None,
        links=heard_links(_path(case, fallen.ground_amsl_m), pack.terrain),
        chart=chart_outlook(sortie, ascent, None, pack.terrain),
        ground=pack.terrain.origin if pack.terrain else "",
        notes=untold(notes, suspected),
    )


def _permissions(sortie: Sortie, wanted: str) -> tuple[str, ...]:
    """Return the permissions of this state, without those of gliders alone."""
    return tuple(what for what in sortie.permissions_in(wanted) if what not in _OF_GLIDERS)


def _story(sortie: Sortie) -> Story:
    """Return how it falls, with its line and what is left of the balloon below the canopy."""
    payload = sortie.payload
    if payload is None:
        raise ContradictionError("The flight has a glider, no payload.", "State [payload].")
    return parachute_story(sortie.hanging_kg, payload.canopy_m, payload.canopy_drag)


def _falls(ensemble: Ensemble, story: Story, starts: FloatArray, to_amsl_m: float) -> Falls:
    alike = np.ones(len(starts))
    return Falls(starts, sinks_of(ensemble, story, alike), to_amsl_m)


def _fallen(drawn: Ensemble, story: Story, terrain: Terrain | None) -> _Fallen:
    """Return bursts and landings, on the ground below the middle of them where it is known."""
    scene, swarm, launch = drawn.air.scene, drawn.draws.swarm, drawn.sortie.launch
    bursts, ground_m = np.stack(drawn.climbs.burst, axis=1), launch.amsl_m
    for _ in range(1 if terrain is None else 2):
        falls = _falls(drawn, story, bursts, ground_m)
        ends = descend(scene, swarm, falls, drawn.workers)
        if np.isnan(ends[:, 0]).all():
            what = "No balloon of this plan bursts: nothing comes down."
            raise ContradictionError(what, "Fill it more, or look at leak and burst_diameter.")
        if terrain is not None:
            lat_deg, lon_deg = place_deg(launch, *np.nanmedian(ends[:, 2:], axis=0))
            below_m = float(height_amsl_m(terrain, np.array(lat_deg), np.array(lon_deg)))
            base_m = drawn.air.column.layers.base_amsl_m
            ground_m = ground_m if np.isnan(below_m) else max(below_m, base_m)
    return _Fallen(bursts, ends, ground_m)


def _landing(drawn: Ensemble, fallen: _Fallen) -> Landing:
    sortie, scene = drawn.sortie, drawn.air.scene
    keep = ~np.isnan(fallen.ends[:, 0])
    bursts, ends = fallen.bursts[keep], fallen.ends[keep]
    places_m = np.array([from_launch_m(scene, north, east) for _, _, north, east in ends])
    lat_deg, lon_deg = place_deg(sortie.launch, *np.median(ends[:, 2:], axis=0))
    there = Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=0.0)
    line, air = geodesic(place_of(sortie.launch, 0.0), there), drawn.air.column.layers
    rho_kgpm3 = float(air_at(air, max(fallen.ground_amsl_m, air.base_amsl_m)).rho_kgpm3)
    return Landing(
        after_launch_s=spread_of(ends[:, 0]),
        fall_s=spread_of(ends[:, 0] - bursts[:, 0]),
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        amsl_m=fallen.ground_amsl_m,
        radius_m=nine_in_ten_m(*(places_m - np.median(places_m, axis=0)).T),
        from_launch_m=line.distance_m,
        bearing_deg=line.azimuth_deg,
        sink_mps=settled_mps(_story(sortie), rho_kgpm3),
        barriers=tuple(_shares(sortie, ends, sortie.barriers)),
    )


def _shares(
    sortie: Sortie, ends: FloatArray, barriers: Sequence[Barrier]
) -> list[tuple[str, str, float]]:
    """Return the share of landings inside each barrier, largest first, those without any left."""
    places = np.array([place_deg(sortie.launch, north, east) for _, _, north, east in ends])
    found = [
        (one.name, one.kind, float(contains(one.outline, places[:, 0], places[:, 1]).mean()))
        for one in barriers
    ]
    return sorted((one for one in found if one[2] > 0.0), key=lambda one: -one[2])


def _path(case: Case, ground_amsl_m: float) -> FlightPath:
    """Return climb and fall without errors; a draw falls beside it by as much as at that burst."""
    plain, tracks = case.plain, case.plain.climbs.tracks
    burst = np.stack(plain.climbs.burst, axis=1)
    last = int(burst[0, 0] / tracks.step_s)
    climb = np.array([*range(0, last, max(round(_CLIMB_STEP_S / tracks.step_s), 1)), last])
    others = [
        one[:, np.minimum(climb, one.shape[1] - 1)] for one in case.drawn.climbs.tracks.places
    ]
    whole = ~np.isnan(others[0]).any(axis=1)
    legs = [
        np.vstack([mine[:1, climb], drawn[whole][:_N_DRAWS]])
        for mine, drawn in zip(tracks.places, others, strict=True)
    ]
    falls = _falls(plain, _story(plain.sortie), burst, ground_amsl_m)
    scene, swarm = plain.air.scene, plain.draws.swarm
    down_s = float(descend(scene, swarm, falls)[0, 0])
    fall_s = np.arange(float(burst[0, 0]) + 1.0, down_s, _FALL_STEP_S)
    way = trails(scene, swarm, falls, fall_s)
    for k, values in enumerate(way):
        beside = legs[k][:, -1:] - legs[k][:1, -1:] if k else np.zeros((len(legs[k]), 1))
        legs[k] = np.hstack([legs[k], values + beside])
    after_s = np.append(climb * tracks.step_s, fall_s)
    return FlightPath(plain, after_s, Trails(*legs), float(burst[0, 0]))
