"""Hearing: how far above its threshold each link is at each stand, along many flights at once."""

import math
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import SingleArray
from farglide.earth.radii import _ecef_m
from farglide.kernel import compiled, inner
from farglide.radio.ends.gear import N_SINES
from farglide.radio.path.bulge import NO_EDGE_ROOT_M
from farglide.radio.path.diffraction import FREE_NU, _over_edge_db
from farglide.radio.path.parts import Heights, WaveOverEarth
from farglide.radio.path.smooth_earth import LAND, scaled_admittance, smooth_earth_db
from farglide.sim.core.step import Frame
from farglide.sim.core.tracks import Trails
from farglide.sim.core.workers import Stretch, Workers, in_one_go
from farglide.sim.hear.ears import (
    N_GAS,
    TOP_M,
    Ears,
    FanPost,
    Listeners,
    Waves,
)
from farglide.sim.hear.edges import _edge_root_m
from farglide.sim.hear.smoothed import Obstacle, _smoothed

_NEAREST_M: Final = 1.0


class Geocentric(NamedTuple):
    """A point by geocentric coordinates, and how high it is."""

    x_m: float
    y_m: float
    z_m: float
    amsl_m: float


class Seen(NamedTuple):
    """A point as one stand has it: what every link's margin is made of."""

    range_m: float
    sine: float  # of the elevation
    distance_m: float
    low_m: float  # heights above sea level of the two ends, the lower first
    high_m: float
    obstacle: Obstacle
    earth_m: float


@inner
def seen_from(ears: Ears, s: int, at: Geocentric) -> Seen:
    """Return how stand `s` has a point."""
    dx = at.x_m - ears.origin_m[s, 0]
    dy = at.y_m - ears.origin_m[s, 1]
    dz = at.z_m - ears.origin_m[s, 2]
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
    obstacle = Obstacle(NO_EDGE_ROOT_M, NO_EDGE_ROOT_M, Heights(0.0, 0.0))
    ring = min(int(distance_m / ears.step_m), ears.before.shape[2]) - 1
    if ring >= 0:
        n = ears.before.shape[1]
        ray = int(math.atan2(east, north) * (n / (2.0 * math.pi)) + n + 0.5) % n
        if not math.isnan(ears.steepest_ratio[s, ray]):
            post = FanPost(s, ray, ring)
            edge = _edge_root_m(ears, post, at.amsl_m, distance_m)
            if edge > NO_EDGE_ROOT_M:
                obstacle = _smoothed(ears, post, at.amsl_m, distance_m, edge)
    low_m, high_m = (from_m, at.amsl_m) if from_m < at.amsl_m else (at.amsl_m, from_m)
    return Seen(range_m, up / range_m, distance_m, low_m, high_m, obstacle, ears.earth_m)


@inner
def heard_db(waves: Waves, k: int, seen: Seen, spread_db: float) -> float:
    """Return the margin of link `k` over one edge; `spread_db`: 20 log of the range.

    What `bulge_db` returns is still to be taken off where the way has a bulge: not here, for few
    ways have, and with that inside the rest takes twice as long.
    """
    margin = waves.near_db[k] - spread_db
    if seen.obstacle.edge_root_m > NO_EDGE_ROOT_M:
        margin -= _over_edge_db(seen.obstacle.edge_root_m * waves.root_pm[k], seen.distance_m)
    straight = _gas_at(waves, k, seen.high_m) - _gas_at(waves, k, seen.low_m)
    margin -= straight / math.sqrt(seen.sine * seen.sine + waves.thickness[k])
    cell = (seen.sine + 1.0) * (0.5 * (N_SINES - 1))
    i = min(max(int(cell), 0), N_SINES - 2)
    share = cell - i
    row = waves.pattern_db[k]
    return margin + row[i] + share * (row[i + 1] - row[i])


@inner
def bulge_db(root_pm: float, seen: Seen) -> float:
    """Return what a round earth takes more than its one edge does, for one wave.

    Source: ITU-R P.526, complete "delta-Bullington" model; the ground is medium dry land, the plane
    of the wave vertical, as in `radio.path.diffraction`.
    """
    bulge_root_m, over_m = seen.obstacle.bulge_root_m, seen.obstacle.over_m
    if bulge_root_m * root_pm <= FREE_NU:
        return 0.0
    wave_m = 1.0 / (root_pm * root_pm)
    admittance = scaled_admittance(wave_m, LAND, True)
    over = WaveOverEarth(wave_m, seen.earth_m)
    round_db = smooth_earth_db(over, seen.distance_m, over_m, admittance)
    edge_db = _over_edge_db(bulge_root_m * root_pm, seen.distance_m)
    return max(round_db - edge_db, 0.0)


@inner
def _gas_at(waves: Waves, k: int, amsl_m: float) -> float:
    cell = min(max(amsl_m, 0.0) * ((N_GAS - 1) / TOP_M), N_GAS - 1.000001)
    i = int(cell)
    row = waves.zenith_db[k]
    return row[i] + (cell - i) * (row[i + 1] - row[i])


@inner
def _placed(frame: Frame, north_rad: float, east_rad: float, amsl_m: float) -> Geocentric:
    """Return where a place is that is given as offsets from the launch."""
    x, y, z = _ecef_m(frame.lat_rad + north_rad, frame.lon_rad + east_rad, amsl_m)
    return Geocentric(x, y, z, amsl_m)


@compiled
def _margins_some(
    listeners: Listeners, frame: Frame, flights: Trails, some: Stretch, out: SingleArray
) -> None:
    ears, waves = listeners
    amsl, north, east = flights
    n_stands, n_links = len(ears.amsl_m), len(waves.near_db)
    for i in range(some.first, some.last):
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
                    margin = heard_db(waves, k, seen, spread_db)
                    if seen.obstacle.bulge_root_m > NO_EDGE_ROOT_M:
                        margin -= bulge_db(waves.root_pm[k], seen)
                    out[i, s, k, j] = margin


def margins_db(
    listeners: Listeners, frame: Frame, flights: Trails, workers: Workers = in_one_go
) -> SingleArray:
    """Return the margin of every link at every stand along flights that start from a frame.

    Shape (n_flights, n_stands, n_links, n_steps), decibels above the threshold; NaN where a flight
    is over.

    Valid: 30 MHz to 15 GHz, below 100 MHz with the gases of 100 MHz; points to 42 km.
    Source: ITU-R P.525, P.676, `_edge_root_m` and `bulge_db`.
    """
    even = Trails._make(np.ascontiguousarray(each, dtype=np.float64) for each in flights)
    n, n_steps = even.amsl_m.shape
    n_stands, n_links = len(listeners.ears.amsl_m), len(listeners.waves.near_db)
    out = np.empty((n, n_stands, n_links, n_steps), np.float32)
    workers(lambda a, b: _margins_some(listeners, frame, even, Stretch(a, b), out), n)
    return out
