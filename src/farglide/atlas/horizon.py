"""What the ground hides: profiles, horizon angles round a stand, and the fan of them."""

import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from farglide.arrays import FloatArray, SingleArray
from farglide.atlas.groundline import Headed, walk_ground
from farglide.atlas.posts import Posts
from farglide.atlas.sweep import Sweep
from farglide.atlas.terrain import Terrain, height_amsl_m
from farglide.earth.state import Place
from farglide.errors import InputError
from farglide.kernel import inlined, inner, roomy


class Rings(NamedTuple):
    """What the fan's kernel writes, see `Fan`."""

    tangent_ratio: SingleArray
    edge_m: SingleArray
    ground_amsl_m: SingleArray
    before: NDArray[np.int16]
    known_to_m: FloatArray


class FanScale(NamedTuple):
    """The height of a fan's stand, how far apart its rings are, and the effective earth radius."""

    from_amsl_m: float
    step_m: float
    radius_m: float


class _Walk(NamedTuple):
    """From where and in which directions a fan is walked; see `Sweep`."""

    lat_rad: float
    lon_rad: float
    azimuths_rad: FloatArray
    clear_m: float
    scale: FanScale


@dataclass(frozen=True, slots=True, kw_only=True)
class Fan:
    """How steeply one must look up from a stand to see over all ground so far, on every ring.

    Ring j of a direction lies `(j + 1) * sweep.step_m` from the stand. `tangent_ratio` (n_azimuths,
    n_rings): the largest `sight_tangent_ratio` of the ground from the first ring to this one, NaN
    while none is known; `edge_m`, alike: how far off that ground stands. `ground_amsl_m`, alike:
    the ground itself, NaN where unknown or left out. `before`, alike: the ring on which a taut
    string from the stand over all ground to this ring last touches, -1 for the stand itself; on a
    ring without ground, the last ring with some. `known_to_m`, one for each azimuth: the last
    sample before the first without a height; beyond, ground may be missing here.
    """

    stand: Place
    sweep: Sweep
    rings: Rings


class SkyLine(NamedTuple):
    """Elevation of the horizon for each azimuth, NaN without ground, and how far off it stands."""

    elevation_deg: FloatArray
    distance_m: FloatArray
    known_to_m: FloatArray


def sky_line(terrain: Terrain, stand: Place, sweep: Sweep) -> SkyLine:
    """Return the steepest elevation angle to the ground within reach, for each azimuth.

    The height of the stand is that of the antenna. Valid and Source: as `fan`.
    """
    rings = fan(terrain, stand, sweep).rings
    elevation_deg = np.degrees(np.arctan(rings.tangent_ratio[:, -1].astype(np.float64)))
    return SkyLine(elevation_deg, rings.edge_m[:, -1].astype(np.float64), rings.known_to_m)


def fan(terrain: Terrain, stand: Place, sweep: Sweep) -> Fan:
    """Return the fan of horizons round a stand, whose height is that of the antenna.

    Valid: reach up to 500 km, an antenna above the ground, NaN beyond 85 deg of latitude. Crests
    between samples are missed: in mountains and steps of 90 m by 0.1 deg in the median, by up to
    1.4 deg near the stand; in steps of 45 m by half of that. Source: as `sight_tangent_ratio`.
    """
    blank = blank_fan(terrain, stand, sweep)
    fill_fan(terrain, blank, 0, len(sweep.azimuths_deg))
    return blank


def blank_fan(terrain: Terrain, stand: Place, sweep: Sweep) -> Fan:
    """Return a fan for `fill_fan` to fill, once it is sure that the antenna stands in the open."""
    ground_m = float(height_amsl_m(terrain, np.array(stand.lat_deg), np.array(stand.lon_deg)))
    where = f"{stand.lat_deg:g}, {stand.lon_deg:g}°"
    if math.isnan(ground_m):
        remedy = "Take terrain that covers it, or fill the holes."
        raise InputError("ground at the stand", f"unknown at {where}", "known ground", remedy)
    if not stand.amsl_m >= ground_m:
        allowed = f"{ground_m:.1f} m, the ground there, or more"
        remedy = "Give the ground of the terrain plus the mast."
        raise InputError(f"amsl_m of the stand at {where}", f"{stand.amsl_m:g} m", allowed, remedy)
    shape = len(sweep.azimuths_deg), sweep.n_rings
    tangent, edge, ground = (np.full(shape, np.nan, np.float32) for _ in range(3))
    before = np.full(shape, -1, np.int16)
    rings = Rings(tangent, edge, ground, before, np.full(shape[0], np.nan))
    return Fan(stand=stand, sweep=sweep, rings=rings)


def fill_fan(terrain: Terrain, fan: Fan, first: int, last: int) -> None:
    """Work out the directions `first` to `last` - 1 of a blank fan; safe to call from threads."""
    stand, sweep = fan.stand, fan.sweep
    n = len(sweep.azimuths_deg)
    if not 0 <= first <= last <= n:
        raise InputError("directions", f"{first} to {last}", f"a stretch of 0 to {n}")
    scale = FanScale(stand.amsl_m, sweep.step_m, sweep.radius_m)
    lat_rad, lon_rad = math.radians(stand.lat_deg), math.radians(stand.lon_deg)
    walk = _Walk(lat_rad, lon_rad, np.radians(sweep.azimuths_deg), sweep.clear_m, scale)
    _fill_fan(terrain.posts, walk, first, last, fan.rings)


@inlined
def sight_tangent_ratio(scale: FanScale, amsl_m: float, cosine: float, sine: float) -> float:
    """Return the tangent of the elevation at which a point is seen, above the local level.

    `cosine` and `sine` are those of ground distance over the effective earth radius. Over such an
    earth a ray that air refracts evenly is straight, so this is plain trigonometry.
    Valid: as far as air refracts evenly, the lowest one to two kilometres; above, rays bend less.
    Source: Rec. ITU-R P.452, eq. 152 as an open implementation has it, the arc tangent of
    (h_i - h_ts) / d_i - d_i / 2 a_e, here without its small angles (0.0006 degrees at 100 km).
    """
    from_m, to_m = scale.radius_m + scale.from_amsl_m, scale.radius_m + amsl_m
    return (to_m * cosine - from_m) / (to_m * sine)


@roomy
def _fill_fan(posts: Posts, walk: _Walk, first: int, last: int, rings: Rings) -> None:
    """Fill the rows `first` to `last` - 1."""
    scale, step_m = walk.scale, walk.scale.step_m
    n = rings.tangent_ratio.shape[1]
    heights, cosines, sines = np.empty(n + 1), np.empty(n + 1), np.empty(n + 1)
    for k in range(n + 1):
        around = k * (step_m / scale.radius_m)
        cosines[k], sines[k] = math.cos(around), math.sin(around)
    open_from = math.ceil(walk.clear_m / step_m)
    for row in range(first, last):
        start = Headed(walk.lat_rad, walk.lon_rad, walk.azimuths_rad[row])
        walk_ground(posts, start, step_m, heights)
        steepest, edge, known_to, latest = math.nan, math.nan, n, -1
        for k in range(1, n + 1):
            if math.isnan(heights[k]):
                known_to = min(known_to, k - 1)
            if k < open_from or math.isnan(heights[k]):
                rings.before[row, k - 1] = latest
            else:
                tangent = sight_tangent_ratio(scale, heights[k], cosines[k], sines[k])
                if not tangent <= steepest:  # also for the first, when there is none yet
                    steepest, edge = tangent, k * step_m
                rings.ground_amsl_m[row, k - 1] = heights[k]
                ground, touched = rings.ground_amsl_m[row], rings.before[row]
                touched[k - 1] = _touched(ground, touched, scale, latest, k - 1)
                latest = k - 1
            rings.tangent_ratio[row, k - 1], rings.edge_m[row, k - 1] = steepest, edge
        rings.known_to_m[row] = known_to * step_m


@inlined
def flattened_m(amsl_m: float, distance_m: float, radius_m: float) -> float:
    """Return a height above the plane that is level at the stand: the earth curves away below it.

    Valid: distances small against the radius. Source: ITU-R P.526, d^2 / 2 a.
    """
    return amsl_m - distance_m * distance_m / (2.0 * radius_m)


@inner
def _touched(
    ground: SingleArray, before: NDArray[np.int16], scale: FanScale, last: int, ring: int
) -> int:
    """Return where a taut string from the stand to the ground on a ring last touches before it.

    `ground` and `before`: of this direction, so far; `last`: the last ring with ground.
    Source: the upper convex hull, one post at a time (Andrew, Information Processing Letters
    9(5) (1979) 216-219).
    """
    step_m, radius_m = scale.step_m, scale.radius_m
    here_m = (ring + 1) * step_m
    here = flattened_m(ground[ring], here_m, radius_m)
    while last >= 0:
        at_m = (last + 1) * step_m
        at = flattened_m(ground[last], at_m, radius_m)
        prior = before[last]
        prior_m = (prior + 1) * step_m
        below = scale.from_amsl_m if prior < 0 else flattened_m(ground[prior], prior_m, radius_m)
        if (here - at) * (at_m - prior_m) < (at - below) * (here_m - at_m):
            return last
        last = prior
    return -1
