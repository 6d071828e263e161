"""Gather: reads the files a flight needs, once, into a pack."""

from pathlib import Path

from farglide.earth.state import Place
from farglide.sortie.accept import accepted
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie
from farglide.sources.winds import read_winds


def gather(sortie: Sortie, winds: Path, flight_text: str = "") -> Pack:
    """Return the pack of a flight with the winds of a file, if they are near enough."""
    launch = sortie.launch
    place = Place(lat_deg=launch.lat_deg, lon_deg=launch.lon_deg, amsl_m=launch.amsl_m)
    sounding = read_winds(winds, place, launch.t_s)
    return accepted(sortie, sounding, str(winds), flight_text)
