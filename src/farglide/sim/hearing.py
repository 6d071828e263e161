"""Hearing: how far above its threshold each link is at each stand, along many flights at once."""

import math
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from farglide.atlas.horizon import flattened_m
from farglide.earth.radii import _ecef_m
from farglide.kernel import compiled, inner
from farglide.radio.diffraction import _meeting_nu, _over_edge_db
from farglide.sim.ears import N_GAS, N_SINES, TOP_M, Ears, Waves
from farglide.sim.step import Frame
from farglide.sim.workers import Workers, in_one_go

FloatArray = NDArray[np.float64]
SingleArray = NDArray[np.float32]

_NEAREST_M: Final = 1.0
_FREE: Final = -1e9
_N_NEAR: Final = 8
_STEEP: Final = 0.05  # so far above its horizon a way is clear near the stand, whatever the wave
_HIGH_M: Final = 150.0  # and so far above the ground below it, clear near the point
_TOUCH_M: Final = 1e-6  # lower than this over the way an edge only touches it: no rays meet


class Seen(NamedTuple):
    """A point as one stand has it: what every link's margin is made of."""

    range_m: float
    sine: float  # of the elevation
    distance_m: float
    low_m: float  # heights above sea level of the two ends, the lower first
    high_m: float
    edge_root_m: (
        float  # nu of the edge that stands for the ground, times the root of the wavelength
    )


@compiled
def seen_from(ears: Ears, s: int, at: tuple[float, float, float, float]) -> Seen:
    """Return how stand `s` has a point; `at`: geocentric x, y, z and height above sea level."""
    dx = at[0] - ears.origin_m[s, 0]
    dy = at[1] - ears.origin_m[s, 1]
    dz = at[2] - ears.origin_m[s, 2]
    axes = ears.axes
    east = axes[s, 0, 0] * dx + axes[s, 0, 1] * dy + axes[s, 0, 2] * dz
    north = axes[s, 1, 0] * dx + axes[s, 1, 1] * dy + axes[s, 1, 2] * dz
    up = axes[s, 2, 0] * dx + axes[s, 2, 1] * dy + axes[s, 2, 2] * dz
    level2 = east * east + north * north
    range_m = max(math.sqrt(level2 + up * up), _NEAREST_M)
    from_m = ears.amsl_m[s]
    level_m = math.sqrt(level2)
    bend_pm = (
        ears.curvature_pm[s, 0] * east * east + ears.curvature_pm[s, 1] * north * north
    ) / max(level2, 1.0)
    # The ground below the point is nearer than its level distance: plumb lines meet.
    turn = level_m * bend_pm / (1.0 + bend_pm * (from_m + up))
    distance_m = level_m / (1.0 + bend_pm * (from_m + up)) * (1.0 - turn * turn / 3.0)
    edge = _FREE
    ring = min(int(distance_m / ears.step_m), ears.before.shape[2]) - 1
    if ring >= 0:
        n = ears.before.shape[1]
        ray = int(math.atan2(east, north) * (n / (2.0 * math.pi)) + n + 0.5) % n
        if not math.isnan(ears.steepest_ratio[s, ray]):
            edge = _edge_root_m(ears, (s, ray, ring), at[3], distance_m)
    low_m, high_m = (from_m, at[3]) if from_m < at[3] else (at[3], from_m)
    return Seen(range_m, up / range_m, distance_m, low_m, high_m, edge)


@inner
def _edge_root_m(ears: Ears, cell: tuple[int, int, int], amsl_m: float, distance_m: float) -> float:
    """Return nu, times the root of the wavelength, of the edge that stands for all ground between.

    The ground is that of the nearest ray of the fan. Out of sight the edge is where the rays of
    both horizons meet, in sight the post that comes nearest to the line.
    Source: Bullington's construction of ITU-R P.526, its posts thinned to those of the taut string
    and the eight nearest to each end.
    """
    s, ray, ring = cell
    earth_m, from_m = ears.earth_m, ears.amsl_m[s]
    point = flattened_m(amsl_m, distance_m, earth_m)
    sight = (point - from_m) / distance_m
    k = ring
    if math.isnan(ears.ground_amsl_m[s, ray, k]):
        k = ears.before[s, ray, k]
    if k < 0:
        return _FREE
    is_high = amsl_m - ears.ground_amsl_m[s, ray, k] > _HIGH_M
    if is_high and sight - ears.steepest_ratio[s, ray] > _STEEP:
        return _FREE
    slope, highest, above = -1e9, _FREE, -1e9
    d = ears.step_m
    while k >= 0:
        d = (k + 1) * ears.step_m
        left = max(distance_m - d, 0.5 * ears.step_m)
        ground = flattened_m(ears.ground_amsl_m[s, ray, k], d, earth_m)
        above = ground - from_m - sight * d  # of the straight way
        slope = max(slope, above / left - sight)
        highest = max(highest, above * math.sqrt(2.0 * distance_m / (d * left)))
        k = ears.before[s, ray, k]
    if above > _TOUCH_M:  # the last one touched is the stand's own horizon
        return _meeting_nu((from_m, point, distance_m), (sight + above / d, slope), 1.0)
    ends = (from_m, sight, distance_m)
    n = min(ring + 1, _N_NEAR)
    highest = max(highest, _highest_post(ears, (s, ray), (0, n), ends))
    return max(highest, _highest_post(ears, (s, ray), (max(ring + 1 - _N_NEAR, n), ring + 1), ends))


@inner
def _highest_post(
    ears: Ears,
    ray: tuple[int, int],
    rings: tuple[int, int],
    ends: tuple[float, float, float],
) -> float:
    """Return the largest nu, times the root of the wavelength, of the posts on some rings.

    Near either end the zone of the wave is narrow, and a post well below the string can touch it.
    `ends`: height of the stand, slope of the straight way and its length.
    """
    from_m, sight, whole = ends
    highest = _FREE
    for k in range(rings[0], rings[1]):
        d = (k + 1) * ears.step_m
        left = max(whole - d, 0.5 * ears.step_m)
        above = flattened_m(ears.ground_amsl_m[ray[0], ray[1], k], d, ears.earth_m) - from_m
        nu = (above - sight * d) * math.sqrt(2.0 * whole / (d * left))
        if nu > highest:  # not where the ground is unknown
            highest = nu
    return highest


@compiled
def heard_db(waves: Waves, k: int, seen: Seen, spread_db: float) -> float:
    """Return the margin of link `k`; `spread_db`: 20 log of the range, the same for all links."""
    margin = waves.near_db[k] - spread_db
    if seen.edge_root_m > _FREE:
        margin -= _over_edge_db(seen.edge_root_m * waves.root_pm[k], seen.distance_m)
    straight = _gas_at(waves, k, seen.high_m) - _gas_at(waves, k, seen.low_m)
    margin -= straight / math.sqrt(seen.sine * seen.sine + waves.thickness[k])
    cell = (seen.sine + 1.0) * (0.5 * (N_SINES - 1))
    i = min(max(int(cell), 0), N_SINES - 2)
    share = cell - i
    row = waves.pattern_db[k]
    return margin + row[i] + share * (row[i + 1] - row[i])


@inner
def _gas_at(waves: Waves, k: int, amsl_m: float) -> float:
    cell = min(max(amsl_m, 0.0) * ((N_GAS - 1) / TOP_M), N_GAS - 1.000001)
    i = int(cell)
    row = waves.zenith_db[k]
    return row[i] + (cell - i) * (row[i + 1] - row[i])


@inner
def _placed(
    frame: Frame, north_rad: float, east_rad: float, amsl_m: float
) -> tuple[float, float, float, float]:
    """Return geocentric x, y, z and the height of a place given as offsets from the launch."""
    x, y, z = _ecef_m(frame.lat_rad + north_rad, frame.lon_rad + east_rad, amsl_m)
    return x, y, z, amsl_m


@compiled
def _margins_some(
    heard: tuple[Ears, Waves, Frame],
    flights: tuple[FloatArray, FloatArray, FloatArray],
    some: tuple[int, int],
    out: SingleArray,
) -> None:
    ears, waves, frame = heard
    amsl, north, east = flights
    n_stands, n_links = len(ears.amsl_m), len(waves.near_db)
    for i in range(some[0], some[1]):
        for j in range(amsl.shape[1]):
            if math.isnan(amsl[i, j]):
                for s in range(n_stands):  # in loops: a slice takes seconds to compile
                    for k in range(n_links):
                        out[i, s, k, j] = math.nan
                continue
            at = _placed(frame, north[i, j], east[i, j], amsl[i, j])
            for s in range(n_stands):
                seen = seen_from(ears, s, at)
                spread_db = 20.0 * math.log10(seen.range_m)
                for k in range(n_links):
                    out[i, s, k, j] = heard_db(waves, k, seen, spread_db)


def margins_db(
    heard: tuple[Ears, Waves, Frame],
    flights: tuple[FloatArray, FloatArray, FloatArray],
    workers: Workers = in_one_go,
) -> SingleArray:
    """Return the margin of every link at every stand along flights.

    `flights`: heights above sea level and offsets north and east of the frame in radians, shape
    (n_flights, n_steps), NaN where a flight is over. Shape of the answer: (n_flights, n_stands,
    n_links, n_steps), decibels above the threshold.

    Valid: 30 MHz to 15 GHz, below 100 MHz with the gases of 100 MHz; points to 42 km.
    Source: ITU-R P.525, P.676, `_edge_root_m`.
    """
    amsl, north, east = (np.ascontiguousarray(each, dtype=np.float64) for each in flights)
    shape = (amsl.shape[0], len(heard[0].amsl_m), len(heard[1].near_db), amsl.shape[1])
    out = np.empty(shape, np.float32)
    workers(lambda a, b: _margins_some(heard, (amsl, north, east), (a, b), out), shape[0])
    return out
