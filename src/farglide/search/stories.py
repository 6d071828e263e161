"""Stories: from the last true position to points on the ground, as the plan carries its falls."""

import math
from collections.abc import Mapping
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.atlas.terrain import Terrain, height_amsl_m
from farglide.chances.ensemble import Ensemble
from farglide.chances.falls import HANDS_OFF, SPIN, SPIRAL, TANGLED, glider_falls, tangled
from farglide.earth.geodesy import EastNorth
from farglide.earth.radii import _meridian_radius_m, _normal_radius_m
from farglide.earth.state import offset_rad, wrapped_azimuth_deg
from farglide.errors import ContradictionError, InputError
from farglide.search.afloat import SurfaceWind
from farglide.search.datum import SECTOR_DEG, LastSeen
from farglide.search.points import GroundPoints, joined
from farglide.sim.core.draws import normals
from farglide.sim.fly.descend import Falls, Sinks, descend, one_eas, trails
from farglide.sim.reach.drawnglider import sinks_mps

STRAIGHT: Final = "glider, straight on"
USUAL: Final[Mapping[str, float]] = {
    HANDS_OFF: 0.35, SPIRAL: 0.15, SPIN: 0.05, STRAIGHT: 0.35, TANGLED: 0.10,
}  # fmt: skip
"""Weights of the stories before anything is known of the last minutes: a guess, no source."""
_N_MOMENTS: Final = 400
_APART: Final = 77_000_000
"""Added to the seed: turns and shares of a glide straight on are no draw's other numbers."""


class _Glide(NamedTuple):
    """How far each draw glides for a metre of height, and where to, (n_draws,)."""

    ratio: FloatArray
    heading_rad: FloatArray


class _Way(NamedTuple):
    """What each draw comes down like: how fast, how far aside."""

    name: str
    sinks: Sinks
    glide: _Glide


def ground_points(
    ensemble: Ensemble,
    terrain: Terrain | None,
    last: LastSeen,
    weights: Mapping[str, float] = USUAL,
) -> GroundPoints:
    """Return where the stories come down from the last place, one point a draw and story.

    Each falls at its draw's own sink through its draw's own wind onto the ground of the terrain, or
    of the first field. Straight on, the glider gets some share of what its best glide reaches, into
    every direction, or within 30 degrees of the last heading; even over that area.
    Raises InputError for a place in the ground, or above the air of the plan.
    """
    known_ways = _ways(ensemble, last, _checked_ground_m(ensemble, terrain, last))
    ways = [one for one in known_ways if weights.get(one.name, 0.0) > 0.0]
    if not ways:
        known = ", ".join(one.name for one in known_ways)
        raise ContradictionError("no story is left.", f"Give one of these a weight: {known}.")
    starts = _starts(ensemble, last)
    parts = [_landed(ensemble, terrain, starts, one) for one in ways]
    return joined(parts, [weights[one.name] for one in ways])


def glide_ratio(ensemble: Ensemble, from_amsl_m: float, to_amsl_m: float) -> float:
    """Return the mean glide ratio through still air at the best speed, as flown by hand."""
    sortie, column = ensemble.sortie, ensemble.air.column
    ratio = _ratios(ensemble)
    heights = np.linspace(to_amsl_m, max(from_amsl_m, to_amsl_m + 1.0), 30)
    flown = sortie.glider.glide_factor.value * sortie.glider.flown_ratio
    return flown * float(np.interp(heights, column.middles_amsl_m, ratio).mean())


def glide_drift_m(ensemble: Ensemble, from_amsl_m: float, to_amsl_m: float) -> EastNorth:
    """Return how far the wind carries such a glide from one height down to another."""
    column, sortie = ensemble.air.column, ensemble.sortie
    layers, edges = column.layers, column.edges_amsl_m
    inside_m = np.clip(
        np.minimum(edges[1:], from_amsl_m) - np.maximum(edges[:-1], to_amsl_m), 0.0, None
    )
    flown = sortie.glider.glide_factor.value * sortie.glider.flown_ratio
    craft = ensemble.craft
    seconds = inside_m * flown / sinks_mps(layers, craft.polar, craft.best_eas_mps)
    return EastNorth(float(seconds @ layers.u_mps[0]), float(seconds @ layers.v_mps[0]))


def surface_wind(ensemble: Ensemble) -> SurfaceWind:
    """Return the forecast wind in the lowest layer."""
    layers = ensemble.air.scene.layers
    u_mps, v_mps = float(layers.u_mps[0, 0]), float(layers.v_mps[0, 0])
    from_deg = wrapped_azimuth_deg(math.degrees(math.atan2(-u_mps, -v_mps)))
    return SurfaceWind(from_deg=from_deg, mps=math.hypot(u_mps, v_mps))


def _ratios(ensemble: Ensemble) -> FloatArray:
    """Return distance for height in each layer at the speed of the best glide."""
    layers, craft = ensemble.air.scene.layers, ensemble.craft
    sink_mps = sinks_mps(layers, craft.polar, craft.best_eas_mps)
    speed_mps = craft.best_eas_mps * layers.tas_per_eas
    return np.asarray(np.sqrt(np.maximum(speed_mps**2 - sink_mps**2, 0.0)) / sink_mps)


def _checked_ground_m(ensemble: Ensemble, terrain: Terrain | None, last: LastSeen) -> float:
    """Return the ground under the last place; refuse one below it, or above the air of the plan."""
    ground_m = last_ground_m(ensemble, terrain, last)
    top_m = float(ensemble.air.column.edges_amsl_m[-1])
    if not ground_m <= last.place.amsl_m <= top_m:
        allowed = f"{ground_m:.0f} m, the ground there, to {top_m:.0f} m above sea level"
        remedy = "Was it counted from the ground? Then type: 120 m above ground."
        raise InputError("height last seen", f"{last.place.amsl_m:g} m", allowed, remedy)
    return ground_m


def last_ground_m(ensemble: Ensemble, terrain: Terrain | None, last: LastSeen) -> float:
    """Return the ground under the last place: of the first field where it is not known."""
    at = (np.array([value]) for value in _lat_lon(last))
    return float(_ground_m(ensemble, terrain, *at)[0])


def _lat_lon(last: LastSeen) -> tuple[float, float]:
    return last.place.lat_deg, last.place.lon_deg


def _ways(ensemble: Ensemble, last: LastSeen, ground_m: float) -> list[_Way]:
    n = len(ensemble.draws.glide_factor)
    still = _Glide(np.zeros(n), np.zeros(n))
    found = [_Way(one.what, one.sinks, still) for one in glider_falls(ensemble)]
    found.append(_Way(TANGLED, tangled(ensemble).sinks, still))
    factor = ensemble.draws.glide_factor
    ratio = factor * (glide_ratio(ensemble, last.place.amsl_m, ground_m) / factor.mean())
    sink_mps = ensemble.craft.best_eas_mps / np.maximum(ratio, 0.5)
    return [*found, _Way(STRAIGHT, one_eas(sink_mps), _glides(ensemble, last, ratio))]


def _glides(ensemble: Ensemble, last: LastSeen, ratio: FloatArray) -> _Glide:
    """Return glides even over the circle or the sector that the best of them reach."""
    seed = (ensemble.grain.seed + _APART) % 2**63
    even = _even(normals(len(ratio), 2, seed))
    share, turn = np.sqrt(even[:, 0]), even[:, 1] - 0.5
    if last.heading_deg is None:
        return _Glide(ratio * share, 2.0 * math.pi * turn)
    return _Glide(ratio * share, np.radians(last.heading_deg + SECTOR_DEG * turn))


def _even(normal: FloatArray) -> FloatArray:
    """Return numbers even between 0 and 1 of standard normal ones."""
    half = math.sqrt(0.5)
    share = np.vectorize(lambda z: 0.5 * (1.0 + math.erf(z * half)), otypes=[np.float64])
    return np.asarray(share(normal))


def _starts(ensemble: Ensemble, last: LastSeen) -> FloatArray:
    """Return time, height and offsets of each draw, (n_draws, 4), spread as the place is known."""
    launch, n = ensemble.sortie.launch, len(ensemble.draws.glide_factor)
    north, east = offset_rad(launch, *_lat_lon(last))
    off_m = last.spread_m * normals(n, 2, (ensemble.grain.seed + 2 * _APART) % 2**63)
    lat_rad = math.radians(last.place.lat_deg)
    starts = np.empty((n, 4))
    starts[:, 0], starts[:, 1] = last.t_s - launch.t_s, last.place.amsl_m
    starts[:, 2] = north + off_m[:, 0] / _meridian_radius_m(lat_rad)
    starts[:, 3] = east + off_m[:, 1] / (_normal_radius_m(lat_rad) * math.cos(lat_rad))
    return starts


def _ground_m(
    ensemble: Ensemble, terrain: Terrain | None, lat_deg: FloatArray, lon_deg: FloatArray
) -> FloatArray:
    """Return the ground under points: of the first field, or the launch, where it is not known."""
    sortie = ensemble.sortie
    flat_m = (sortie.fields[0] if sortie.fields else sortie.launch).amsl_m
    if terrain is None:
        return np.full(lat_deg.shape, flat_m)
    found = height_amsl_m(terrain, lat_deg, lon_deg)
    return np.where(np.isnan(found), flat_m, found)


def _landed(
    ensemble: Ensemble, terrain: Terrain | None, starts: FloatArray, way: _Way
) -> GroundPoints:
    """Return where and when each draw meets the ground."""
    scene, swarm, launch = ensemble.air.scene, ensemble.draws.swarm, ensemble.sortie.launch
    falls = Falls(starts, way.sinks, scene.layers.base_amsl_m)
    ends = descend(scene, swarm, falls, ensemble.workers)
    clock_s = np.linspace(starts[0, 0], float(ends[:, 0].max()), _N_MOMENTS)
    trail = trails(scene, swarm, falls, clock_s, ensemble.workers)
    high, north, east = (
        np.where(np.isnan(one), ends[:, k + 1 : k + 2], one) for k, one in enumerate(trail)
    )
    away_m = way.glide.ratio[:, None] * (starts[:, 1:2] - high)
    lat_rad = math.radians(launch.lat_deg) + north
    north = north + away_m * np.cos(way.glide.heading_rad)[:, None] / _RADIUS_M
    east = east + away_m * np.sin(way.glide.heading_rad)[:, None] / (_RADIUS_M * np.cos(lat_rad))
    lat_deg = launch.lat_deg + np.degrees(north)
    lon_deg = (launch.lon_deg + np.degrees(east) + 180.0) % 360.0 - 180.0
    over_m = high - _ground_m(ensemble, terrain, lat_deg, lon_deg)
    return _first_met(way.name, over_m, (lat_deg, lon_deg, launch.t_s + clock_s))


_RADIUS_M: Final = _meridian_radius_m(math.radians(45.0))


def _first_met(name: str, over_m: FloatArray, at: tuple[FloatArray, ...]) -> GroundPoints:
    """Return the points where the height over ground first falls to nothing, by straight lines."""
    lat_deg, lon_deg, t_s = at
    n, rows = len(over_m), np.arange(len(over_m))
    met = over_m <= 0.0
    k = np.where(met.any(axis=1), np.argmax(met, axis=1), over_m.shape[1] - 1)
    before = np.maximum(k - 1, 0)
    high, low = over_m[rows, before], over_m[rows, k]
    share = np.where(high > low, np.clip(high / np.where(high > low, high - low, 1.0), 0, 1), 0.0)
    turn = (lon_deg[rows, k] - lon_deg[rows, before] + 180.0) % 360.0 - 180.0
    lon = (lon_deg[rows, before] + share * turn + 180.0) % 360.0 - 180.0
    lat = lat_deg[rows, before] + share * (lat_deg[rows, k] - lat_deg[rows, before])
    return GroundPoints(
        lat_deg=lat, lon_deg=lon, weight=np.full(n, 1.0 / n), story=np.zeros(n, np.int64),
        down_t_s=t_s[before] + share * (t_s[k] - t_s[before]), names=(name,),
    )  # fmt: skip
