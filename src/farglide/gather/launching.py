"""Launching: prepared launch places held against barriers from files and against the ground."""

from farglide.atlas.terrain import Terrain
from farglide.earth.state import place_of
from farglide.errors import FlightFileError, Problem
from farglide.flightfile.flightfile import FlightFile
from farglide.sortie.launch_place import faults_of, sea_faults


def check_launch_places(flight: FlightFile, terrain: Terrain | None) -> None:
    """Refuse launch places in the sea, in a barrier or behind one, all of them in one go.

    `flight`: with the barriers of the files that it names.
    """
    sortie = flight.sortie
    home, problems = place_of(sortie.fields[0] if sortie.fields else sortie.launch, 0.0), []
    for i, one in enumerate(sortie.launch_places, start=1):
        faults = [*faults_of(one, home, sortie.barriers)]
        faults += sea_faults(one, terrain) if terrain is not None else ()
        for fault in faults:
            what = f'"{one.name}" {fault.what}'
            problems.append(Problem(f"[[launch_places]] {i}", what, fault.remedy))
    if problems:
        raise FlightFileError(str(flight.path), tuple(problems))
