"""Coverage: how far above its threshold each link is at one stand, over an area at one height."""

import math
from typing import Final

import numpy as np

from farglide.arrays import FloatArray, SingleArray
from farglide.atlas.posts import Posts, ground_amsl_m, row_column
from farglide.atlas.terrain import HIGHEST_GROUND_M, Terrain
from farglide.constants import MEAN_EARTH_RADIUS_M
from farglide.earth.radii import _ecef_m
from farglide.errors import InputError
from farglide.kernel import compiled
from farglide.radio.path.bulge import NO_EDGE_ROOT_M
from farglide.sim.core.workers import Stretch, Workers, in_one_go
from farglide.sim.hear.ears import CLEAR_M, Ears, Listeners
from farglide.sim.hear.groundcircle import (
    _TWO_TURNS_DEG,
    LAST_LAT_DEG,
    Above,
    GroundCircle,
    GroundPoints,
    Level,
)
from farglide.sim.hear.hearing import Geocentric, bulge_db, heard_db, seen_from

FINE_STEP_DEG: Final = 0.125
"""Between the rays of a fan for an area: 130 m at 60 km. Half a degree serves flights, but on a map
shadows of ridges come out as wedges."""


def coverage_db(
    listeners: Listeners,
    terrain: Terrain,
    circle: GroundCircle,
    level: Level,
    workers: Workers = in_one_go,
) -> SingleArray:
    """Return the margin of every link at a stand for a glider over the middle of each cell.

    Shape (n_links, n_rows, n_columns), decibels above the threshold. NaN under the ground, where
    the ground is unknown, and outside the circle.

    Valid: as `points_db`; for ears whose fan reaches as far as the circle, its rays `FINE_STEP_DEG`
    apart. Over mountains nineteen cells of twenty that the ground weakens are within 1 dB of the
    whole profile's loss, 3 dB where only what stands next to the stand is in the way.
    Source: as `sim.hear.hearing.margins_db`.
    """
    margins = points_db(listeners, terrain, circle.points_deg, level, workers)
    margins[:, ~circle.inside] = np.nan
    return margins


def points_db(
    listeners: Listeners,
    terrain: Terrain,
    points_deg: GroundPoints,
    level: Level,
    workers: Workers = in_one_go,
) -> SingleArray:
    """Return the margin of every link at the first stand for a glider over points.

    Shape (n_links, n_rows, n_columns), NaN under the ground and where the ground is unknown.
    Valid: 30 MHz to 15 GHz, up to 42 km. Source: as `sim.hear.hearing.margins_db`.
    """
    lat, lon = (np.asarray(one, dtype=np.float64) for one in points_deg)
    if lat.ndim != 2 or lat.shape != lon.shape:
        given = f"{lat.shape} latitudes, {lon.shape} longitudes"
        raise InputError("points_deg", given, "as many of both, in rows and columns")
    if not ((np.abs(lat) <= LAST_LAT_DEG).all() and (np.abs(lon) <= _TWO_TURNS_DEG).all()):
        allowed = f"latitudes up to {LAST_LAT_DEG:g}°, longitudes within two turns"
        raise InputError("points_deg", "beyond", allowed)
    lat, lon, posts, above = np.radians(lat), np.radians(lon), terrain.posts, level.above
    out = np.empty((len(listeners.waves.near_db), *lat.shape), np.float32)
    workers(
        lambda a, b: _heard_some(listeners, posts, lat, lon, above, Stretch(a, b), out), len(lat)
    )
    return out


def clears_all_ground(ears: Ears, level: Level, radius_m: float) -> bool:
    """Tell whether each way from the first stand is above all ground where ground is unknown.

    Then what is unknown cannot matter: no ground is higher than `HIGHEST_GROUND_M`. Only ever for
    heights above sea level. Asked of the lowest way, to the rim, where it comes to the nearest
    unknown ground, over the true earth, which bulges up more than the effective one.
    """
    if level.amsl_m is None:
        return False
    first = math.ceil(CLEAR_M / ears.step_m)
    unknown = np.isnan(ears.ground_amsl_m[0, :, first - 1 :]).any(axis=0)
    near_m = radius_m
    if unknown.any():
        near_m = min((first - 1 + int(np.argmax(unknown))) * ears.step_m, radius_m)
    from_m = float(ears.amsl_m[0])
    bulge_m = near_m * (radius_m - near_m) / (2.0 * MEAN_EARTH_RADIUS_M)
    way_m = from_m + (level.amsl_m - from_m) * near_m / radius_m - bulge_m
    return way_m > HIGHEST_GROUND_M


@compiled
def _heard_some(
    listeners: Listeners,
    posts: Posts,
    lat: FloatArray,
    lon: FloatArray,
    above: Above,
    some: Stretch,
    out: SingleArray,
) -> None:
    """Fill some rows of points, given in radians."""
    ears, waves = listeners
    for i in range(some.first, some.last):
        for j in range(lat.shape[1]):
            row, column = row_column(posts, lat[i, j], lon[i, j])
            ground = ground_amsl_m(posts, row, column)
            amsl = above.height_m + above.ground_share * ground
            if not amsl >= ground:  # also where it is unknown
                out[:, i, j] = math.nan
                continue
            x, y, z = _ecef_m(lat[i, j], lon[i, j], amsl)
            seen = seen_from(ears, 0, Geocentric(x, y, z, amsl))
            spread_db = 20.0 * math.log10(seen.range_m)
            for k in range(len(waves.near_db)):
                margin = heard_db(waves, k, seen, spread_db)
                if seen.obstacle.bulge_root_m > NO_EDGE_ROOT_M:
                    margin -= bulge_db(waves.root_pm[k], seen)
                out[k, i, j] = margin
