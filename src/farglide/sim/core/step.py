"""Step: the ellipsoid round the launch, the errors of one draw, and how fast a balloon rises."""

from typing import NamedTuple

import numpy as np

from farglide.air.between import AirAt
from farglide.air.layers import Layers
from farglide.arrays import SingleArray
from farglide.balloon.ascent import Balance, _balance_mps, _displaced
from farglide.balloon.envelope import Envelope
from farglide.constants import SEA_LEVEL_DENSITY_KGPM3
from farglide.earth.geodesy import EastNorth
from farglide.earth.radii import _meridian_radius_m, _normal_radius_m
from farglide.kernel import compiled, inner, merged


class Frame(NamedTuple):
    """The ellipsoid around the launch: positions are offsets in latitude and longitude, radians.

    Offsets in longitude know no 180 degree meridian. The radii are linear in latitude around the
    launch: within 2 m over 200 km.
    """

    lat_rad: float
    lon_rad: float
    cosine: float
    sine: float
    meridian_m: float
    meridian_slope_m: float
    normal_m: float
    normal_slope_m: float


class Offset(NamedTuple):
    """Where a place is: radians of latitude and longitude from the launch."""

    north_rad: float
    east_rad: float


def frame_of(lat_deg: float, lon_deg: float) -> Frame:
    """Return the frame around a launch place."""
    lat_rad, lon_rad = float(np.radians(lat_deg)), float(np.radians(lon_deg))
    nearby = 0.002  # 13 km: wide enough for a slope, narrow enough for a straight line
    north, south = lat_rad + nearby, lat_rad - nearby
    return Frame(
        lat_rad=lat_rad,
        lon_rad=lon_rad,
        cosine=float(np.cos(lat_rad)),
        sine=float(np.sin(lat_rad)),
        meridian_m=float(_meridian_radius_m(lat_rad)),
        meridian_slope_m=float(_meridian_radius_m(north) - _meridian_radius_m(south))
        / (2.0 * nearby),
        normal_m=float(_normal_radius_m(lat_rad)),
        normal_slope_m=float(_normal_radius_m(north) - _normal_radius_m(south)) / (2.0 * nearby),
    )


@compiled
def _metres_per_rad(frame: Frame, north_rad: float) -> tuple[float, float]:
    """Return metres per radian of latitude and of longitude at this offset in latitude."""
    cosine = frame.cosine - north_rad * (frame.sine + 0.5 * frame.cosine * north_rad)
    meridian = frame.meridian_m + frame.meridian_slope_m * north_rad
    return meridian, (frame.normal_m + frame.normal_slope_m * north_rad) * cosine


@compiled
def _moved(frame: Frame, at: Offset, east_m: float, north_m: float) -> Offset:
    """Return the offset after a ground displacement in metres."""
    meridian, _ = _metres_per_rad(frame, at.north_rad)
    d_north = north_m / meridian
    _, parallel = _metres_per_rad(frame, at.north_rad + 0.5 * d_north)
    return Offset(at.north_rad + d_north, at.east_rad + east_m / parallel)


@compiled
def apart_m(frame: Frame, at: Offset, to: Offset) -> EastNorth:
    """Return metres east and north from one place to another, by the mid-latitude formula.

    Valid: over 150 km within 5 m of the geodesic at 46 deg of latitude, 120 m at 80, 520 m at 85.
    """
    meridian, parallel = _metres_per_rad(frame, 0.5 * (at.north_rad + to.north_rad))
    return EastNorth(
        parallel * (to.east_rad - at.east_rad), meridian * (to.north_rad - at.north_rad)
    )


class Errors(NamedTuple):
    """One draw's errors of the air in each layer, on one way: up, or home."""

    east_mps: SingleArray
    north_mps: SingleArray
    up_mps: SingleArray
    number: int  # of the draw


@compiled
def layer_index(layers: Layers, amsl_m: float) -> int:
    """Return the layer that holds a height; the lowest or uppermost outside the column."""
    k = int((amsl_m - layers.base_amsl_m) / layers.step_m)
    return min(max(k, 0), len(layers.rho_kgpm3) - 1)


class Masses(NamedTuple):
    """What changes on the way up, and what hangs below."""

    gas_kg: float
    hanging_kg: float


@merged
def _rise_mps(
    envelope: Envelope, balance: Balance, masses: Masses, air: AirAt, guess_m: float
) -> tuple[float, float]:
    """Return the balloon's speed upward through the air and its diameter."""
    gas_kg, hanging_kg = masses
    air_kg, diameter_m = _displaced(envelope, gas_kg, air, guess_m)
    lift_n = air.gravity_mps2 * (air_kg - gas_kg - envelope.balloon_kg - hanging_kg)
    return _balance_mps(balance, lift_n, diameter_m, air, envelope.drag_factor), diameter_m


@inner
def _leaked(envelope: Envelope, gas_kg: float, rho_kgpm3: float, step_s: float) -> float:
    """Return the gas lost in a step: a share of what is left, as the root of the air's density.

    Source: Bernoulli outflow under a constant film pressure, m' = A sqrt(2 dp rho); that the hole
    shrinks with the gas that is left is common practice, no source.
    """
    share = envelope.leak_ratio_ps * np.sqrt(rho_kgpm3 / SEA_LEVEL_DENSITY_KGPM3)
    return gas_kg * share * step_s
