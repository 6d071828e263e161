"""Gather: reads the files a flight needs, once, into a pack."""

import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Final

import numpy as np

from farglide.air.sounding import Sounding
from farglide.atlas.barriers import Barrier, Places, check_barriers
from farglide.atlas.fields import check_fields
from farglide.atlas.terrain import Terrain, fill_holes, height_amsl_m
from farglide.earth.box import Box
from farglide.earth.state import place_of, wrapped_lon_deg
from farglide.errors import ContradictionError, SourceError
from farglide.flightfile.flightfile import FlightFile
from farglide.gather.accept import accepted
from farglide.gather.forecast import Files, gather_forecast
from farglide.radio.antenna.measured import Measured
from farglide.radio.ends.end import End
from farglide.radio.ends.gear import far_off
from farglide.rig.area import needed_area, part_way, wide_area
from farglide.sortie.pack import Pack
from farglide.sortie.sources import BarrierSource, PlacesSource, TerrainSource
from farglide.sortie.spec import LinkSpec, Sortie
from farglide.sources.antenna_pattern import read_antenna_pattern
from farglide.sources.elevation.elevation import read_elevation, read_elevation_within
from farglide.sources.places.places import read_places
from farglide.sources.winds import format_of, read_winds

if TYPE_CHECKING:  # else every plan would load the kernels of an area
    from farglide.sim.hear.groundcircle import GroundCircle

_NEAR_DEG: Final = 0.02
_FILLED_POSTS: Final = 3
_SHARES: Final = (1.0, 0.75, 0.5, 0.25)
"""Of the way from the needed to the wide area: the first that the files cover is taken."""


def gather_terrain(sortie: Sortie) -> Terrain | None:
    """Return the ground round launch, fields and stands; None where the file names none.

    With that round barriers and landmarks as far as the files cover it, in quarters of the way.
    """
    if sortie.terrain is None:
        return None
    needed, wide = needed_area(sortie), wide_area(sortie)
    for share in _SHARES if wide != needed else ():
        try:
            return _elevation(sortie.terrain, part_way(needed, wide, share))
        except SourceError:  # not covered so far out, or unreadable: then the last try says so
            continue
    return _elevation(sortie.terrain, needed)


def gather_circle(sortie: Sortie, circle: "GroundCircle") -> Terrain | None:
    """Return the ground of a circle as far as the files reach; None where the file names none."""
    if sortie.terrain is None:
        return None
    return _elevation(sortie.terrain, circle.box, read_elevation_within)


def gather_places(flight: FlightFile) -> FlightFile:
    """Return a flight with the fields, barriers and landmarks of the files that it names.

    A field whose file states no height takes that of `[terrain]`, else that of the launch; what
    was taken for granted is added to the notes.
    """
    sortie = flight.sortie
    if not (sortie.places.paths or sortie.places.barriers):
        return flight
    near, guessed = place_of(sortie.launch), list[str]()
    paths = [Path(path) for path in sortie.places.paths]
    found = read_places(paths, near, lambda lat, lon: _ground_m(flight.sortie, lat, lon, guessed))
    for source in sortie.places.barriers:
        found += _barrier_parts(source, read_places([Path(source.path)], near, lambda *_: 0.0))
    if not sortie.fields and not found.fields:
        guessed.append("The files of places hold no field.")
    fields, barriers = sortie.fields + found.fields, sortie.barriers + found.barriers
    if fields:
        check_fields(fields)
    check_barriers(barriers)
    landmarks, unread = sortie.landmarks + found.landmarks, PlacesSource()
    sortie = replace(sortie, fields=fields, barriers=barriers, landmarks=landmarks, places=unread)
    return replace(flight, sortie=sortie, notes=(*flight.notes, *found.notes, *guessed))


def gather_patterns(flight: FlightFile) -> FlightFile:
    """Return a flight with the measured patterns of its antennas, out of the files it names.

    A stated gain more than 3 dB off the peak of the file is asked about.
    """
    links = tuple(
        replace(
            link,
            sender_end=_measured(link, link.sender_end),
            receiver_end=_measured(link, link.receiver_end),
        )
        for link in flight.sortie.links
    )
    return replace(flight, sortie=replace(flight.sortie, links=links))


def _measured(link: LinkSpec, end: End) -> End:
    if not end.pattern_paths or end.antenna is not None:
        return end
    planes = [read_antenna_pattern(Path(path)) for path in end.pattern_paths]
    upright = planes[1] if len(planes) > 1 else None
    read = replace(end, antenna=Measured(level=planes[0], upright=upright))
    try:
        asked = far_off(read)
    except ContradictionError as error:
        raise SourceError(", ".join(end.pattern_paths), "", str(error), "") from error
    if asked:
        what = f"{link.name}: the stated gain {asked}"
        raise SourceError(end.pattern_paths[0], "", what, "Which of them is right?")
    return read


def _barrier_parts(source: BarrierSource, found: Places) -> Places:
    """Return the areas of a file as one barrier, its parts numbered."""
    outlines = [one.outline for one in found.barriers]
    outlines += [one.outline for one in found.fields if one.outline is not None]
    if not outlines:
        remedy = "Draw it as a Polygon, or as a closed route or track."
        raise SourceError(source.path, "", f"holds no area for {source.name!r}.", remedy)
    parts = tuple(
        Barrier(
            name=source.name if i == 1 else f"{source.name} {i}",
            kind=source.kind,
            outline=outline,
            note=source.note,
        )
        for i, outline in enumerate(outlines, start=1)
    )
    return Places(barriers=parts, notes=found.notes)


def _ground_m(sortie: Sortie, lat_deg: float, lon_deg: float, notes: list[str]) -> float:
    """Return the height of the ground at a place, and note where it comes from."""
    where = f"The field at {lat_deg:.4f}, {lon_deg:.4f} has no height stated"
    if sortie.terrain is not None:
        half_deg = _NEAR_DEG / math.cos(math.radians(lat_deg))
        box = Box(
            south_deg=lat_deg - _NEAR_DEG,
            west_deg=wrapped_lon_deg(lon_deg - half_deg),
            north_deg=lat_deg + _NEAR_DEG,
            east_deg=wrapped_lon_deg(lon_deg + half_deg),
        )
        terrain = _elevation(sortie.terrain, box)
        ground_m = float(height_amsl_m(terrain, np.array([lat_deg]), np.array([lon_deg]))[0])
        if not math.isnan(ground_m):
            notes.append(f"{where}: {ground_m:.0f} m, that of the ground's files, is taken.")
            return ground_m
    notes.append(f"{where}: that of the launch, {sortie.launch.amsl_m:.0f} m, is taken.")
    return sortie.launch.amsl_m


def _elevation(
    source: TerrainSource, box: Box, read: Callable[..., Terrain] = read_elevation
) -> Terrain:
    """Return the ground with holes up to six posts wide closed, wider ones as far from their rims.

    A hole lets every ray through, and radar leaves its small ones on steep slopes: just there a
    ridge would be gone. What stays open is told among the notes.
    """
    terrain = read([Path(path) for path in source.paths], box, source.void_amsl_m)
    has_holes = bool(np.isnan(terrain.heights_amsl_m).any())
    return fill_holes(terrain, _FILLED_POSTS) if has_holes else terrain


def gather_winds(sortie: Sortie, winds: Path) -> Sounding:
    """Return the sounding of a file that fits the launch best, near enough or not.

    With that of a forecast goes what it tells of the air around and later.
    """
    if format_of(winds) == "GRIB":
        return gather_forecast(sortie, Files(winds=[winds]))
    return read_winds(winds, place_of(sortie.launch), sortie.launch.t_s)


def gather(sortie: Sortie, winds: Path, flight_text: str = "") -> Pack:
    """Return the pack of a flight with the winds of a file, if they are near enough."""
    pack = accepted(sortie, gather_winds(sortie, winds), str(winds), flight_text)
    return replace(pack, terrain=gather_terrain(sortie))
