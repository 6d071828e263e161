"""Coverage of an area in words, and as a GeoJSON layer (RFC 7946) for other programs."""

import json
import math
from collections.abc import Iterator
from textwrap import wrap
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from farglide.outlook.coverage import STEPS_DB, Coverage, Ray
from farglide.present.draw.cell_rings import Node, cell_polygons
from farglide.present.say.hearing import ASSUMED
from farglide.present.say.text import compass_words, km_text, number_text
from farglide.sim.hear.coverage import Level

FloatArray = NDArray[np.float64]

NOT_KNOWN: Final = "no answer: ground unknown, or higher than the glider"
_WIDTH: Final = 100
_N_DECIMALS: Final = 5  # of a degree: a metre
_SLIVER_DEG: Final = 1.0e-5  # what is narrower would be rounded to a line
_ENDS: Final = {
    "range": "range: the distance takes all there is",
    "ground": "the ground",
    "antenna": "the pattern of the antennas",
    "unknown": "the ground beyond is not in the files",
}


def step_words(step: int) -> str:
    """Return what a step of margins means.

    >>> [step_words(step) for step in range(4)]
    ['lost', '0 to 3 dB in hand', '3 to 10 dB in hand', '10 dB or more in hand']
    """
    if step == 0:
        return "lost"
    low = number_text(STEPS_DB[step - 1])
    if step == len(STEPS_DB):
        return f"{low} dB or more in hand"
    return f"{low} to {number_text(STEPS_DB[step])} dB in hand"


def level_words(level: Level) -> str:
    """Return how high the glider is.

    >>> level_words(Level(amsl_m=26e3)), level_words(Level(agl_m=300.0))
    ('26.0 km above sea level', '300 m above the ground')
    """
    if level.amsl_m is not None:
        return f"{km_text(level.amsl_m)} km above sea level"
    return f"{number_text(level.agl_m or 0.0)} m above the ground"


def title(cover: Coverage) -> str:
    """Return what the area shows: link, stand, height, and what was taken off."""
    less_db = cover.asked.less_db
    less = f", {number_text(less_db, 1)} dB taken off" if less_db else ""
    what = f"{cover.link.name} at {cover.stand.name}"
    return f"{what}, glider {level_words(cover.asked.level)}{less}"


def ground_words(cover: Coverage) -> str:
    """Return where the ground comes from."""
    if cover.ground:
        beyond = ", and beyond it ways are higher than any ground" if cover.is_high else ""
        return f"Ground: {cover.ground}{beyond}."
    height = number_text(cover.flat_amsl_m)
    return f"Flat ground assumed, {height} m above sea level: hills do not count."


def coverage_lines(cover: Coverage) -> list[str]:
    """Return how far the link holds in eight directions and what ends it."""
    lines = [f"{cover.name}: {title(cover)}", "", f"  {'direction':<13}{'holds':<18}what ends it"]
    lines += [
        f"  {compass_words(ray.bearing_deg):<13}{_stretch(ray):<18}{_end(ray)}"
        for ray in cover.rays
    ]
    doubt = (
        f"Where range or ground ends it the odds are even: the doubt about the budget, "
        f"{number_text(cover.sd_db, 1)} dB either way two times in three, is not taken "
        "off. Use --less-db for that, or for an antenna that is damaged or aimed badly."
    )
    known = f"{ground_words(cover)} {ASSUMED}"
    return [*lines, "", *wrap(doubt, _WIDTH), "", *wrap(known, _WIDTH)]


def _stretch(ray: Ray) -> str:
    if math.isnan(ray.to_m):
        return "nowhere"
    if ray.from_m > 0.0:
        return f"{km_text(ray.from_m)} to {km_text(ray.to_m)} km"
    return f"to {km_text(ray.to_m)} km"


def _end(ray: Ray) -> str:
    if ray.end == "edge":
        return f"edge of the area, {number_text(math.floor(ray.left_db))} dB in hand there"
    again = f"; in places again, the last at {km_text(ray.again_m)} km" if ray.again_m else ""
    return f"{_ENDS[ray.end]}{again}"


def coverage_geojson(cover: Coverage) -> str:
    """Return the stand as a point and each step of margins as a multi-polygon.

    Rings turn as RFC 7946, 3.1.6 wants them and are cut at the 180th meridian as 3.1.9 does.
    """
    steps = cover.steps
    features = [_feature(_stand_geometry(cover), {"kind": "stand", "name": cover.stand.name})]
    for step in reversed(range(len(STEPS_DB) + 1)):
        polygons = list(_polygons(cover, steps == step))
        if polygons:
            shape = {"type": "MultiPolygon", "coordinates": polygons}
            features.append(_feature(shape, _says(cover, step)))
    collection = {"type": "FeatureCollection", "features": features}
    return json.dumps(collection, ensure_ascii=False, allow_nan=False, separators=(",", ":")) + "\n"


def _feature(geometry: dict[str, Any], says: dict[str, Any]) -> dict[str, Any]:
    return {"type": "Feature", "geometry": geometry, "properties": says}


def _stand_geometry(cover: Coverage) -> dict[str, Any]:
    return {"type": "Point", "coordinates": [cover.mast.lon_deg, cover.mast.lat_deg]}


def _says(cover: Coverage, step: int) -> dict[str, Any]:
    """Return the properties of a step; a margin without an end that way is null."""
    level, asked = cover.asked.level, cover.asked
    height = {"agl_m": level.agl_m} if level.amsl_m is None else {"amsl_m": level.amsl_m}
    return {
        "kind": "coverage",
        "name": step_words(step),
        "margin_from_db": STEPS_DB[step - 1] if step else None,
        "margin_to_db": STEPS_DB[step] if step < len(STEPS_DB) else None,
        "link": cover.link.name,
        "stand": cover.stand.name,
        **height,
        "less_db": asked.less_db,
        "radius_m": asked.radius_m,
        "ground": cover.ground or "flat ground assumed",
    }


def _polygons(cover: Coverage, mask: NDArray[np.bool_]) -> Iterator[Any]:
    """Yield polygons of cells as GeoJSON coordinates, longitude first."""
    lats = np.round(cover.patch.lat_edges_deg, _N_DECIMALS).tolist()
    for first, last, lons in _halves(cover.patch.lon_edges_deg):

        def closed(ring: tuple[Node, ...], lons: list[float] = lons) -> list[list[float]]:
            return [[lons[column], lats[row]] for row, column in (*ring, ring[0])]

        for polygon in cell_polygons(mask[:, first:last]):
            yield [closed(ring) for ring in (polygon.outer, *polygon.holes)]


def _halves(lon_edges_deg: FloatArray) -> Iterator[tuple[int, int, list[float]]]:
    """Yield stretches of columns, first and last + 1, that end at the 180th meridian, with edges.

    A column across it comes twice, cut in two; what is left of one within a metre is left out.
    """
    turned = np.floor((lon_edges_deg + 180.0) / 360.0)
    for turn in range(int(turned[0]), int(turned[-1]) + 1):
        west, east = 360.0 * turn - 180.0, 360.0 * turn + 180.0
        begins, ends = (
            lon_edges_deg[:-1] < east - _SLIVER_DEG,
            lon_edges_deg[1:] > west + _SLIVER_DEG,
        )
        inside = np.flatnonzero(begins & ends)
        if not len(inside):  # the outermost edge is the meridian itself
            continue
        first, last = int(inside[0]), int(inside[-1]) + 1
        edges = np.clip(lon_edges_deg[first : last + 1], west, east) - 360.0 * turn
        yield first, last, np.round(edges, _N_DECIMALS).tolist()
