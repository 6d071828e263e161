"""Sights: what a bearing, the sun in the picture or a barrier's edge says of where a glider is."""

import math
from typing import Final

import numpy as np

from farglide.arrays import FloatArray
from farglide.atlas.outline import Outline
from farglide.constants import MEAN_EARTH_RADIUS_M
from farglide.earth.sun import sun_position
from farglide.sim.core.step import _metres_per_rad
from farglide.track.filter.observed import Aimed, EdgeSeen, SunSeen
from farglide.track.filter.particles import Laws, Particles, with_likelihood

WRONG_RATIO: Final = 0.01
"""So often what is typed of a sight says nothing of where it is: a side lobe, another wood."""
_RIGHT_SIDE_RATIO: Final = 0.9
_STEERED_RAD: Final = math.radians(12.0)
"""A crew keeps its heading by eye: 10 to 15 degrees; common practice, no source."""
_TURN: Final = 2.0 * math.pi


def after_bearing(laws: Laws, particles: Particles, aimed: Aimed) -> Particles:
    """Return the particles after a bearing: weighed, not moved.

    A particle is sure of its place within hundreds of metres, a bearing within kilometres: what it
    does not know itself is added to the error. Source: plane geometry at the middle latitude less
    the convergence of the meridians, and a sphere for the elevation.
    """
    frame, cloud = laws.movers.scene.frame, particles.cloud
    north = math.radians(aimed.stand.lat_deg) - frame.lat_rad
    east = math.remainder(math.radians(aimed.stand.lon_deg) - frame.lon_rad, _TURN)
    middle = 0.5 * (cloud.north_rad + north)
    meridian_m, parallel_m = _each_metres(laws, middle)
    away_e, away_n = parallel_m * (cloud.east_rad - east), meridian_m * (cloud.north_rad - north)
    away_m = np.maximum(np.hypot(away_e, away_n), 1.0)
    convergence = 0.5 * (cloud.east_rad - east) * np.sin(frame.lat_rad + middle)
    azimuth = np.arctan2(away_e, away_n) - convergence
    sd_rad = math.radians(aimed.sd_deg)
    level, up = cloud.spread[:, 0, 0], cloud.spread[:, 1, 0]
    missed = np.remainder(math.radians(aimed.azimuth_deg) - azimuth + math.pi, _TURN) - math.pi
    fit = _fit(missed, np.sqrt(sd_rad**2 + level / away_m**2))
    if aimed.elevation_deg is not None:
        turn = away_m / MEAN_EARTH_RADIUS_M
        high, low = MEAN_EARTH_RADIUS_M + cloud.amsl_m, MEAN_EARTH_RADIUS_M + aimed.stand.amsl_m
        elevation = np.arctan2(high * np.cos(turn) - low, high * np.sin(turn))
        missed = math.radians(aimed.elevation_deg) - elevation
        fit = fit * _fit(missed, np.sqrt(sd_rad**2 + _across(level, up, away_m, elevation)))
    return with_likelihood(particles, np.log(fit))


def _across(
    level: FloatArray, up: FloatArray, away_m: FloatArray, elevation: FloatArray
) -> FloatArray:
    """Return the variance of an elevation, rad2, by those of the place along the ground and up.

    Across the line of sight lies the sine of the one and the cosine of the other.
    """
    across = level * np.sin(elevation) ** 2 + up * np.cos(elevation) ** 2
    return np.asarray(across * (np.cos(elevation) / away_m) ** 2)


def after_sun(laws: Laws, particles: Particles, seen: SunSeen) -> Particles:
    """Return the particles after the sun was seen: those that fly on, by their headings.

    What goes round or falls heads anywhere, and fits as well as an even chance.
    """
    frame, cloud = laws.movers.scene.frame, particles.cloud
    lat_deg = math.degrees(frame.lat_rad + float(particles.weight @ cloud.north_rad))
    lon_deg = math.degrees(frame.lon_rad + float(particles.weight @ cloud.east_rad))
    lon_deg = (lon_deg + 180.0) % 360.0 - 180.0
    sun = sun_position(laws.launch_t_s + particles.after_launch_s, lat_deg, lon_deg)
    heading = math.radians(sun.azimuth_deg - 30.0 * seen.clock_h)
    missed = np.remainder(heading - cloud.heading_rad + math.pi, _TURN) - math.pi
    sd_rad = math.hypot(math.radians(seen.sd_deg), _STEERED_RAD)
    density = np.exp(-0.5 * (missed / sd_rad) ** 2) / (math.sqrt(_TURN) * sd_rad)
    even = 1.0 / _TURN
    fit = np.where(np.isnan(missed), even, WRONG_RATIO * even + (1.0 - WRONG_RATIO) * density)
    return with_likelihood(particles, np.log(fit))


def after_edge(laws: Laws, particles: Particles, seen: EdgeSeen) -> Particles:
    """Return the particles after the nearest edge of a barrier was seen left or right of the nose.

    Of several of its kind each particle sees the nearest. What goes round sees it on either side.
    """
    cloud = particles.cloud
    edges = [_edge(laws, particles, one) for one in seen.outlines]
    nearest = np.argmin([e**2 + n**2 for e, n in edges], axis=0)
    rows = np.arange(len(nearest))
    to_e, to_n = (np.array(one)[nearest, rows] for one in zip(*edges, strict=True))
    nose_e, nose_n = np.sin(cloud.heading_rad), np.cos(cloud.heading_rad)
    is_left = nose_e * to_n - nose_n * to_e > 0.0
    right_side = np.where(is_left == seen.is_left, _RIGHT_SIDE_RATIO, 1.0 - _RIGHT_SIDE_RATIO)
    return with_likelihood(particles, np.log(np.where(np.isnan(nose_e), 0.5, right_side)))


def _edge(laws: Laws, particles: Particles, outline: Outline) -> tuple[FloatArray, FloatArray]:
    """Return the nearest point of an outline to each particle, metres to east and north."""
    cloud, frame = particles.cloud, laws.movers.scene.frame
    north, east = (np.radians(np.array(one)) for one in zip(*outline.points, strict=True))
    east = np.remainder(east - frame.lon_rad + math.pi, _TURN) - math.pi
    meridian_m, parallel_m = _each_metres(laws, cloud.north_rad)
    corners_e = (east[None, :] - cloud.east_rad[:, None]) * parallel_m[:, None]
    corners_n = (north[None, :] - frame.lat_rad - cloud.north_rad[:, None]) * meridian_m[:, None]
    return _nearest(corners_e, corners_n)


def _each_metres(laws: Laws, north_rad: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return metres for a radian of latitude and of longitude at each particle."""
    frame = laws.movers.scene.frame
    pairs = [_metres_per_rad(frame, one) for one in north_rad.tolist()]
    found = np.array(pairs)
    return found[:, 0], found[:, 1]


def _nearest(east_m: FloatArray, north_m: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return the nearest point of a closed line to each origin; corners are (n, n_corners)."""
    after_e, after_n = np.roll(east_m, -1, axis=1), np.roll(north_m, -1, axis=1)
    along_e, along_n = after_e - east_m, after_n - north_m
    length2 = np.maximum(along_e**2 + along_n**2, 1e-9)
    share = np.clip(-(east_m * along_e + north_m * along_n) / length2, 0.0, 1.0)
    at_e, at_n = east_m + share * along_e, north_m + share * along_n
    row, best = np.arange(len(at_e)), np.argmin(at_e**2 + at_n**2, axis=1)
    return at_e[row, best], at_n[row, best]


def _fit(missed: FloatArray, sd: FloatArray) -> FloatArray:
    """Return how well each fits: a normal law over a floor, so no sight kills what is true."""
    largest = float(sd.min())
    normal = np.exp(-0.5 * (missed / sd) ** 2) * largest / sd
    return np.asarray(WRONG_RATIO + (1.0 - WRONG_RATIO) * normal)
