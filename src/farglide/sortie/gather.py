"""Gather: reads the files a flight needs, once, into a pack."""

import math
from dataclasses import replace
from pathlib import Path
from typing import Final

from farglide.atlas.terrain import Box, Terrain
from farglide.constants import MEAN_EARTH_RADIUS_M
from farglide.earth.state import Place
from farglide.sortie.accept import accepted
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie
from farglide.sources.elevation import read_elevation
from farglide.sources.winds import read_winds

_ROUND_M: Final = 12_000.0
"""Ground read beyond the outermost field, stand and launch."""


def gather_terrain(sortie: Sortie) -> Terrain | None:
    """Return the ground round launch, fields and stands; None where the file names none."""
    if sortie.terrain is None:
        return None
    places = [(sortie.launch.lat_deg, sortie.launch.lon_deg)]
    places += [(field.lat_deg, field.lon_deg) for field in sortie.fields]
    places += [(stand.lat_deg, stand.lon_deg) for stand in sortie.stands]
    lats = [lat_deg for lat_deg, _ in places]
    lons = [(lon_deg - sortie.launch.lon_deg + 180.0) % 360.0 - 180.0 for _, lon_deg in places]
    round_deg = math.degrees(_ROUND_M / MEAN_EARTH_RADIUS_M)
    wide_deg = round_deg / math.cos(math.radians(sortie.launch.lat_deg))
    west, east = (
        (sortie.launch.lon_deg + edge + 180.0) % 360.0 - 180.0
        for edge in (min(lons) - wide_deg, max(lons) + wide_deg)
    )
    box = Box(
        south_deg=min(lats) - round_deg,
        west_deg=west,
        north_deg=max(lats) + round_deg,
        east_deg=east,
    )
    void = sortie.terrain.void_amsl_m
    paths = [Path(path) for path in sortie.terrain.paths]
    return read_elevation(paths, box, math.nan if void is None else void)


def gather(sortie: Sortie, winds: Path, flight_text: str = "") -> Pack:
    """Return the pack of a flight with the winds of a file, if they are near enough."""
    launch = sortie.launch
    place = Place(lat_deg=launch.lat_deg, lon_deg=launch.lon_deg, amsl_m=launch.amsl_m)
    sounding = read_winds(winds, place, launch.t_s)
    pack = accepted(sortie, sounding, str(winds), flight_text)
    return replace(pack, terrain=gather_terrain(sortie))
