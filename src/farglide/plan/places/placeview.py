"""Place view: a flight file and its winds in, all that is known of its places out."""

import math
from typing import Final

import numpy as np

from farglide.atlas.fields import Field
from farglide.atlas.outline import area_m2, contains
from farglide.atlas.places import Places
from farglide.atlas.terrain import Terrain, height_amsl_m, slope_deg
from farglide.chances.advise import advise
from farglide.chances.decide import decide
from farglide.chances.staged import median_drift, median_place, staged
from farglide.earth.state import Place
from farglide.errors import InputError
from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.places import FieldView, PlaceView
from farglide.plan.fill import with_solved_fill
from farglide.plan.home.glides import middle_stage
from farglide.plan.places.barrier_heights import barrier_ways
from farglide.plan.places.outlanding import outlandings
from farglide.plan.polarfit import with_fitted_polar
from farglide.plan.whatif import median_burst_s, moments_of
from farglide.sim.core.workers import Workers, in_one_go
from farglide.sortie.grain import Asked
from farglide.sortie.pack import Pack

_N_DRAWS: Final = 200


def see_places(
    flight: FlightFile,
    pack: Pack,
    terrain: Terrain | None = None,
    workers: Workers = in_one_go,
) -> PlaceView:
    """Return what is known of a flight's places, from 200 draws; at least one field is needed."""
    if not flight.sortie.fields:
        raise InputError("fields", "none", "one or more, home first", "Write [[fields]].")
    flight = with_solved_fill(with_fitted_polar(flight), pack.sounding)
    sortie = flight.sortie
    stage, _ = staged(sortie, pack, Asked(n_draws=_N_DRAWS), workers)
    middle = middle_stage(stage, pack.sounding)
    advice = advise(stage, moments_of(stage))
    decision = decide(stage, advice)
    release_s = decision.release_by_s if decision else median_burst_s(stage)
    drift = median_drift(stage, release_s)
    release = median_place(stage, release_s)
    start = "the planned release" if decision else "the burst"
    return PlaceView(
        name=sortie.name,
        launch=sortie.launch,
        release_after_launch_s=release_s,
        release_planned=decision is not None,
        release=release,
        drift=drift,
        open_ratio=sortie.wish.open_ratio,
        arrival_agl_m=sortie.wish.arrival_agl_m,
        fields=tuple(_field(field, flight, terrain) for field in sortie.fields),
        ways=barrier_ways(stage, middle, (start, release)),
        otherwise=outlandings(stage, middle, advice, terrain),
        places=Places(fields=sortie.fields, barriers=sortie.barriers, landmarks=sortie.landmarks),
        stands=sortie.stands,
        ground=terrain.origin if terrain else "",
        notes=flight.notes,
    )


def _field(field: Field, flight: FlightFile, terrain: Terrain | None) -> FieldView:
    at = np.array([field.lat_deg]), np.array([field.lon_deg])
    place = Place(lat_deg=field.lat_deg, lon_deg=field.lon_deg, amsl_m=0.0)
    inside = (one.name for one in flight.sortie.barriers if contains(one.outline, *at)[0])
    return FieldView(
        field=field,
        ground_amsl_m=float(height_amsl_m(terrain, *at)[0]) if terrain else math.nan,
        slope_deg=slope_deg(terrain, place) if terrain else math.nan,
        area_m2=None if field.outline is None else area_m2(field.outline),
        inside=next(inside, ""),
    )
