"""Coverage of an area as a GeoJSON layer (RFC 7946) for other programs."""

import json
from collections.abc import Iterator
from typing import Any, Final

import numpy as np

from farglide.arrays import BoolArray, FloatArray
from farglide.outlook.coverage import STEPS_DB, Coverage
from farglide.present.draw.maps.cell_rings import Node, cell_polygons
from farglide.present.say.links.coverage import step_words

_N_DECIMALS: Final = 5  # of a degree: a metre
_SLIVER_DEG: Final = 1.0e-5  # what is narrower would be rounded to a line


def coverage_geojson(cover: Coverage) -> str:
    """Return the stand as a point and each step of margins as a multi-polygon.

    Rings turn as RFC 7946, 3.1.6 wants them and are cut at the 180th meridian as 3.1.9 does.
    """
    steps = cover.steps
    mast = {"type": "Point", "coordinates": [cover.mast.lon_deg, cover.mast.lat_deg]}
    features = [_feature(mast, {"kind": "stand", "name": cover.stand.name})]
    for step in reversed(range(len(STEPS_DB) + 1)):
        polygons = list(_polygons(cover, steps == step))
        if polygons:
            shape = {"type": "MultiPolygon", "coordinates": polygons}
            features.append(_feature(shape, _says(cover, step)))
    collection = {"type": "FeatureCollection", "features": features}
    return json.dumps(collection, ensure_ascii=False, allow_nan=False, separators=(",", ":")) + "\n"


def _feature(geometry: dict[str, Any], says: dict[str, Any]) -> dict[str, Any]:
    return {"type": "Feature", "geometry": geometry, "properties": says}


def _says(cover: Coverage, step: int) -> dict[str, Any]:
    """Return the properties of a step; a margin without an end that way is null."""
    asked, level = cover.asked, cover.asked.level
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


def _polygons(cover: Coverage, mask: BoolArray) -> Iterator[Any]:
    """Yield polygons of cells as GeoJSON coordinates, longitude first."""
    lats = np.round(cover.circle.lat_edges_deg, _N_DECIMALS).tolist()
    for first, last, lons in _halves(cover.circle.lon_edges_deg):

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
        begins = lon_edges_deg[:-1] < east - _SLIVER_DEG
        inside = np.flatnonzero(begins & (lon_edges_deg[1:] > west + _SLIVER_DEG))
        if not len(inside):  # the outermost edge is the meridian itself
            continue
        first, last = int(inside[0]), int(inside[-1]) + 1
        edges = np.clip(lon_edges_deg[first : last + 1], west, east) - 360.0 * turn
        yield first, last, np.round(edges, _N_DECIMALS).tolist()
