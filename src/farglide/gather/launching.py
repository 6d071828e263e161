"""Launching: prepared launch places held against barriers from files and against the ground."""

from collections.abc import Iterator

import numpy as np

from farglide.atlas.terrain import Terrain, height_amsl_m
from farglide.errors import FlightFileError, Problem
from farglide.flightfile.flightfile import FlightFile
from farglide.sortie.launch_place import Fault, LaunchPlace, faults_of


def check_launch_places(flight: FlightFile, terrain: Terrain | None) -> None:
    """Refuse launch places in the sea, in a barrier or behind one, all of them in one go.

    `flight`: with the barriers of the files that it names.
    """
    sortie = flight.sortie
    at_home, problems = sortie.fields[0] if sortie.fields else sortie.launch, []
    home = at_home.lat_deg, at_home.lon_deg
    for i, one in enumerate(sortie.launch_places, start=1):
        faults = [*faults_of(one, home, sortie.barriers)]
        faults += sea_faults(one, terrain) if terrain is not None else ()
        for fault in faults:
            what = f'"{one.name}" {fault.what}'
            problems.append(Problem(f"[[launch_places]] {i}", what, fault.remedy))
    if problems:
        raise FlightFileError(str(flight.path), tuple(problems))


def sea_faults(place: LaunchPlace, terrain: Terrain) -> Iterator[Fault]:
    """Yield that the terrain has no ground at a place, or the sea."""
    ground_m = float(height_amsl_m(terrain, np.array(place.lat_deg), np.array(place.lon_deg)))
    remedy = "Are its signs right, and the files of [terrain]? Else take it out."
    if ground_m <= 0.0 < place.amsl_m:
        what = f"lies in the sea: the terrain has {ground_m:.0f} m there, not {place.amsl_m:.0f} m."
        yield Fault(what, remedy)
    elif np.isnan(ground_m) and _is_within(terrain, place):
        yield Fault("lies in a hole of the terrain: no ground is known there.", remedy)


def _is_within(terrain: Terrain, place: LaunchPlace) -> bool:
    """Tell whether a place lies between the outermost posts: beyond, nothing is said of it."""
    n_rows, n_columns = terrain.heights_amsl_m.shape
    down_deg = terrain.north_deg - place.lat_deg
    right_deg = (place.lon_deg - terrain.west_deg) % 360.0
    is_in_rows = 0.0 <= down_deg <= (n_rows - 1) * terrain.step_lat_deg
    return is_in_rows and bool(right_deg <= (n_columns - 1) * terrain.step_lon_deg)
