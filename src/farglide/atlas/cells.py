"""Cells: ground looked at square by square for a place to come down where no field is.

What counts, and how much, is common practice without a source: flat ground, 100 to 300 m beside a
road but never on it, in sight of the crew, away from barriers, houses, wires and rails. Nothing
here knows crops, fences, animals or people.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import BoolArray, FloatArray, IntArray, SingleArray
from farglide.atlas.barriers import Barrier, Landmark
from farglide.atlas.horizon import Fan, FanScale, fan, sight_tangent_ratio
from farglide.atlas.outline import contains, edge_distance_m, line_distance_m
from farglide.atlas.sweep import Sweep
from farglide.atlas.terrain import Terrain, height_amsl_m, slope_deg
from farglide.earth.box import Box
from farglide.earth.radii import _meridian_radius_m, _normal_radius_m
from farglide.earth.state import Place, wrapped_lon_deg
from farglide.errors import InputError, check_range
from farglide.kernel import compiled

STEEPEST_DEG: Final = 6.0  # a tenth
BESIDE_ROAD_M: Final = (100.0, 300.0)
FAR_FROM_ROAD_M: Final = 3000.0
"""So far from a road a walk counts for nothing any more."""
ROAD_WEIGHT: Final = 2.0
CLEAR_OF_M: Final = {"road": 100.0, "rail": 150.0, "wires": 150.0, "house": 150.0}
CLEAR_OF_BARRIER_M: Final = 200.0
SEEN_AGL_M: Final = 50.0
"""Height over a cell down to which the line of sight from a stand is asked for."""
MOST_CELLS: Final = 200_000
_FAN_STEP_M: Final = 100.0
_AZIMUTHS: Final = 720


class _Points(NamedTuple):
    """Points as a fan sees them: its row that way, how far off, and how high."""

    row: IntArray
    away_m: FloatArray
    amsl_m: FloatArray


class Cells(NamedTuple):
    """Squares of ground by their middles, all of shape (n_cells,).

    NaN is unknown. `seen` counts the stands in whose sight a cell lies.
    """

    lat_deg: FloatArray
    lon_deg: FloatArray
    amsl_m: FloatArray
    slope_deg: FloatArray
    road_m: FloatArray  # to the nearest road; infinite where none is known
    seen: IntArray
    shut_out: BoolArray  # in or beside a barrier, or too near to something


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """What is known of the ground: heights, barriers, landmarks, and antennas in their places."""

    terrain: Terrain | None
    barriers: Sequence[Barrier] = ()
    landmarks: Sequence[Landmark] = ()
    stands: Sequence[Place] = ()


def grid_of(box: Box, step_m: float) -> tuple[FloatArray, FloatArray]:
    """Return latitudes and longitudes of the middles of squares over an area, in rows.

    Valid: steps of 50 m to 5 km, up to 200 000 squares.
    """
    check_range("step_m of cells", step_m, "m", (50.0, 5000.0))
    middle_rad = math.radians(0.5 * (box.south_deg + box.north_deg))
    north_deg = math.degrees(step_m / _meridian_radius_m(middle_rad))
    east_deg = math.degrees(step_m / _normal_radius_m(middle_rad) / math.cos(middle_rad))
    n_rows = max(int((box.north_deg - box.south_deg) / north_deg), 1)
    n_columns = max(int(box.width_deg / east_deg), 1)
    if n_rows * n_columns > MOST_CELLS:
        raise InputError("cells", n_rows * n_columns, f"1 to {MOST_CELLS}", "Take longer steps.")
    lat = box.south_deg + north_deg * (np.arange(n_rows) + 0.5)
    lon = box.west_deg + east_deg * (np.arange(n_columns) + 0.5)
    lat, lon = (one.ravel() for one in np.meshgrid(lat, lon, indexing="ij"))
    return lat, np.array([wrapped_lon_deg(one) for one in lon.tolist()])


def cells_at(ground: Ground, lat_deg: FloatArray, lon_deg: FloatArray) -> Cells:
    """Return what is known of the ground at the middles of cells.

    Without terrain heights and slopes are NaN and nothing is seen.
    """
    shut_out = np.zeros(lat_deg.shape, np.bool_)
    for barrier in ground.barriers:
        shut_out |= contains(barrier.outline, lat_deg, lon_deg)
        shut_out |= edge_distance_m(barrier.outline, lat_deg, lon_deg) < CLEAR_OF_BARRIER_M
    road_m = np.full(lat_deg.shape, np.inf)
    for landmark in ground.landmarks:
        away_m = line_distance_m(landmark.points, lat_deg, lon_deg)
        shut_out |= away_m < CLEAR_OF_M[landmark.kind]
        if landmark.kind == "road":
            road_m = np.minimum(road_m, away_m)
    amsl_m, slope = np.full(lat_deg.shape, np.nan), np.full(lat_deg.shape, np.nan)
    seen = np.zeros(lat_deg.shape, np.int64)
    if ground.terrain is not None:
        amsl_m = height_amsl_m(ground.terrain, lat_deg, lon_deg)
        at = zip(lat_deg.ravel().tolist(), lon_deg.ravel().tolist(), strict=True)
        places = [Place(lat_deg=lat, lon_deg=lon, amsl_m=0.0) for lat, lon in at]
        slopes = [slope_deg(ground.terrain, place) for place in places]
        slope = np.array(slopes, np.float64).reshape(lat_deg.shape)
        for stand in ground.stands:
            seen += in_sight(ground.terrain, stand, lat_deg, lon_deg, amsl_m + SEEN_AGL_M)
    return Cells(lat_deg, lon_deg, amsl_m, slope, road_m, seen, shut_out)


def in_sight(
    terrain: Terrain, stand: Place, lat_deg: FloatArray, lon_deg: FloatArray, amsl_m: FloatArray
) -> BoolArray:
    """Tell to which points no ground stands in the way of an antenna.

    Ground nearer than 100 m to the point is not looked at. False where ground is not known.
    Valid: as `horizon.fan`, in directions half a degree apart: 300 m aside at 35 km. Source: as it.
    """
    at_lat = np.radians(lat_deg - stand.lat_deg)
    at_lon = (lon_deg - stand.lon_deg + 180.0) % 360.0 - 180.0
    middle = np.radians(0.5 * (lat_deg + stand.lat_deg))
    # Plane: the fan is asked in a direction and a distance, both coarser than this.
    stand_rad = math.radians(stand.lat_deg)
    north = at_lat * _meridian_radius_m(stand_rad)
    east = np.radians(at_lon) * _normal_radius_m(stand_rad) * np.cos(middle)
    away_m = np.hypot(east, north)
    reach_m = max(float(away_m.max(initial=0.0)) + 2.0 * _FAN_STEP_M, 2.0 * _FAN_STEP_M)
    azimuths = np.arange(_AZIMUTHS, dtype=np.float64) * (360.0 / _AZIMUTHS)
    sky = fan(terrain, stand, Sweep(azimuths_deg=azimuths, reach_m=reach_m, step_m=_FAN_STEP_M))
    row = np.rint(np.degrees(np.arctan2(east, north)) * _AZIMUTHS / 360.0).astype(np.int64)
    out = np.zeros(away_m.shape, np.bool_)
    scale = FanScale(sky.stand.amsl_m, sky.sweep.step_m, sky.sweep.radius_m)
    _fill_seen(_tangents(sky), _Points(row % _AZIMUTHS, away_m, amsl_m), scale, out)
    return out


def scores(cells: Cells, knows_roads: bool, knows_sight: bool) -> FloatArray:
    """Return how good each cell is, 0 to 1; 0 for what is shut out, too steep or unknown.

    The mean of how flat it is, how near a road (counting twice) and whether a stand sees it; what
    is not known of the whole area is left out of the mean. Source: common practice, no source.
    """
    flat = 1.0 - cells.slope_deg / STEEPEST_DEG
    total, weight = flat.copy(), 1.0
    if knows_roads:
        beyond = np.maximum(cells.road_m - BESIDE_ROAD_M[1], 0.0)
        near = np.maximum(1.0 - beyond / (FAR_FROM_ROAD_M - BESIDE_ROAD_M[1]), 0.0)
        total, weight = total + ROAD_WEIGHT * near, weight + ROAD_WEIGHT
    if knows_sight:
        total, weight = total + (cells.seen > 0), weight + 1.0
    usable = ~cells.shut_out & (flat > 0.0)
    return np.where(usable, total / weight, 0.0)


def _tangents(sky: Fan) -> SingleArray:
    """Return the fan's tangents, NaN from the first unknown ground on."""
    ring_m = (np.arange(sky.sweep.n_rings) + 1.0) * sky.sweep.step_m
    known = ring_m[None, :] <= sky.rings.known_to_m[:, None]
    return np.where(known, sky.rings.tangent_ratio, np.float32(np.nan))


@compiled
def _fill_seen(tangents: SingleArray, points: _Points, scale: FanScale, out: BoolArray) -> None:
    """Tell for each point whether it stands higher in the sky than all ground before it."""
    away_m, amsl_m = points.away_m, points.amsl_m
    for k in range(len(out)):
        ring = int(away_m[k] / scale.step_m) - 2  # the last one a whole step before the point
        if ring < 0:
            out[k] = amsl_m[k] == amsl_m[k]
            continue
        angle = away_m[k] / scale.radius_m
        tangent = sight_tangent_ratio(scale, amsl_m[k], math.cos(angle), math.sin(angle))
        out[k] = tangent > tangents[points.row[k], ring]
