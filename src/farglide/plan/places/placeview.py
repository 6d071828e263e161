"""Place view: a flight file and its winds in, all that is known of its places out."""

import math
from typing import Final

import numpy as np

from farglide.atlas.barriers import Places
from farglide.atlas.fields import Field
from farglide.atlas.outline import area_m2, contains
from farglide.atlas.terrain import Terrain, height_amsl_m, slope_deg
from farglide.chances.case import median_drift, median_place, with_few_draws
from farglide.earth.state import place_of
from farglide.errors import InputError
from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.places import FieldView, PlaceView
from farglide.plan.places.barrier_heights import barrier_ways
from farglide.plan.places.outlanding import outlandings
from farglide.plan.planned import planned, settled
from farglide.sim.core.workers import Workers, in_one_go
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack

_N_DRAWS: Final = 200


def see_places(flight: FlightFile, pack: Pack, workers: Workers = in_one_go) -> PlaceView:
    """Return what is known of a flight's places; at least one field is needed.

    The release is that of the plan; heights at barriers and places to come down otherwise are asked
    of the first of its draws.
    """
    if not flight.sortie.fields:
        raise InputError("fields", "none", "one or more, home first", "Write [[fields]].")
    flight = settled(flight, pack)
    sortie, terrain = flight.sortie, pack.terrain
    found = planned(sortie, pack, Grain(), workers)
    release = median_place(found.case.drawn, found.release_s)
    start = "the planned release" if found.decision else "the burst"
    few = with_few_draws(found.case, _N_DRAWS)
    return PlaceView(
        name=sortie.name,
        launch=sortie.launch,
        release_after_launch_s=found.release_s,
        release_planned=found.decision is not None,
        release=release,
        drift=median_drift(found.case.drawn, found.release_s),
        open_ratio=sortie.wish.open_ratio,
        arrival_agl_m=sortie.wish.arrival_agl_m,
        fields=tuple(_field(field, flight, terrain) for field in sortie.fields),
        ways=barrier_ways(few, (start, release)),
        otherwise=outlandings(few, found.chances),
        places=Places(fields=sortie.fields, barriers=sortie.barriers, landmarks=sortie.landmarks),
        stands=sortie.stands,
        ground=terrain.origin if terrain else "",
        notes=flight.notes,
    )


def _field(field: Field, flight: FlightFile, terrain: Terrain | None) -> FieldView:
    at = np.array([field.lat_deg]), np.array([field.lon_deg])
    place = place_of(field, 0.0)
    inside = (one.name for one in flight.sortie.barriers if contains(one.outline, *at)[0])
    return FieldView(
        field=field,
        ground_amsl_m=float(height_amsl_m(terrain, *at)[0]) if terrain else math.nan,
        slope_deg=slope_deg(terrain, place) if terrain else math.nan,
        area_m2=None if field.outline is None else area_m2(field.outline),
        inside=next(inside, ""),
    )
