"""The demo's reach by hand: sums over layers of the best glide towards each of 72 directions.

A field is in reach if its distance along every direction is no more than the sum. With a time limit
each price of time has its own sum. A plane earth; no speed lost on the way down. Nothing here comes
from the package.
"""

import math
from collections.abc import Callable
from functools import cache
from typing import Final, NamedTuple

import numpy as np

from .air import RHO0_KGPM3, FloatArray, air, wind_mps
from .climb import Climb
from .glider import drop, flown_speeds_mps, steady, to_fly

LAYER_M: Final = 100.0
TOP_M: Final = 32_000.0
OVER_FIELD_M: Final = 300.0
GLIDE_AFTER_S: Final = 30.0  # from the release, in which it stays over its place
PACKS_END_S: Final = 126.9 * 60.0  # three minutes before they are empty
PRICES_MPS: Final = (0.0, 2.0, 4.0, 6.0, 8.0, 10.0, 14.0, 20.0, 30.0)
_ANGLES: Final = np.radians(np.arange(0.0, 360.0, 5.0))
_MIDDLES: Final = np.arange(0.5 * LAYER_M, TOP_M, LAYER_M)


class Field(NamedTuple):
    east_m: float
    north_m: float
    amsl_m: float


def _field(along_km: float, left_km: float, amsl_m: float) -> Field:
    """Return a field by its place along and left of the drift's bearing of 130 degrees."""
    east = 0.7660 * along_km + 0.6428 * left_km
    return Field(1e3 * east, 1e3 * (0.7660 * left_km - 0.6428 * along_km), amsl_m)


HOME: Final = _field(0.0, 0.0, 240.0)
TANSY: Final = _field(22.0, 3.0, 255.0)
BRACKMOOR: Final = _field(41.0, -2.0, 265.0)
CORRAND: Final = _field(58.0, 5.0, 285.0)
FIELDS: Final = (HOME, TANSY, BRACKMOOR, CORRAND)


class Flying(NamedTuple):
    """What may be otherwise: shares of glide ratio and wind, one speed held, drag's exponent."""

    glide_ratio: float = 1.0
    wind_ratio: float = 1.0
    held_eas_mps: float = 0.0
    exponent: float = 0.4


PLAN: Final = Flying()


@cache
def sums_m(flying: Flying = PLAN, price_mps: float = 0.0) -> FloatArray:
    """Return how far it comes from 0 to each layer's base by direction, less price times time.

    Shape (n_layers + 1, 72).
    """
    rows = [np.zeros(len(_ANGLES))]
    for z in _MIDDLES:
        speeds = flown_speeds_mps(z)
        if flying.held_eas_mps:
            speeds = np.array([min(flying.held_eas_mps, float(speeds[-1]))])
        glides = steady(air(z), speeds, flying.glide_ratio, flying.exponent)
        u, v = (flying.wind_ratio * one for one in wind_mps(float(z)))
        tail = (u * np.sin(_ANGLES) + v * np.cos(_ANGLES))[:, None]
        gained = (glides.level_mps + tail - price_mps) / glides.sink_mps
        rows.append(rows[-1] + LAYER_M * gained.max(axis=1))
    return np.array(rows)


def _to(sums: FloatArray, amsl_m: float) -> FloatArray:
    """Return the sum from 0 to a height."""
    at = amsl_m / LAYER_M
    low = int(at)
    return np.asarray(sums[low] + (at - low) * (sums[min(low + 1, len(sums) - 1)] - sums[low]))


def is_reached(
    here: Field, field: Field, over_m: float = OVER_FIELD_M, flying: Flying = PLAN,
    left_s: float = math.inf,
) -> bool:  # fmt: skip
    """Tell whether a field is in reach so high over it, in time."""
    to_m = field.amsl_m + over_m
    if here.amsl_m <= to_m:
        return False
    along = (field.east_m - here.east_m) * np.sin(_ANGLES)
    along += (field.north_m - here.north_m) * np.cos(_ANGLES)
    for price in (0.0,) if math.isinf(left_s) else PRICES_MPS:
        sums = sums_m(flying, price)
        far = _to(sums, here.amsl_m) - _to(sums, to_m)
        if (along > far + (price * left_s if price else 0.0)).any():
            return False
    return True


@cache
def _lost_high_m(km: int) -> float:
    return drop(1e3 * km).level_lost_m


def lost_m(amsl_m: float) -> float:
    """Return the height lost in the drop: from 60 m at the ground in a line to that of 8 km."""
    if amsl_m < 8000.0:
        return 60.0 + (_lost_high_m(8) - 60.0) * amsl_m / 8000.0
    return float(np.interp(amsl_m / 1e3, range(8, 33), [_lost_high_m(km) for km in range(8, 33)]))


def released(flown: Climb, minute: float) -> Field:
    """Return where a glider let go then is gliding."""
    east, north, up = (1e3 * one for one in flown.at_min(minute))
    return Field(east, north, up - lost_m(up))


def open_minutes(
    flown: Climb, field: Field, flying: Flying = PLAN, packs: bool = False
) -> list[tuple[float, float]]:
    """Return from when to when a field is open, by half minutes up to the burst."""
    minutes = [0.5 * k for k in range(int(2.0 * flown.burst_min) + 1)]
    spans: list[tuple[float, float]] = []
    for t in minutes:
        left_s = PACKS_END_S - 60.0 * t - GLIDE_AFTER_S if packs else math.inf
        if not is_reached(released(flown, t), field, flying=flying, left_s=left_s):
            continue
        if spans and t - spans[-1][1] < 0.75:
            spans[-1] = (spans[-1][0], t)
        else:
            spans.append((t, t))
    return spans


def _highest(is_so: Callable[[float], bool], low: float, high: float, within: float) -> float:
    """Return the largest value for which something holds, by halving."""
    while high - low > within:
        middle = 0.5 * (low + high)
        low, high = (middle, high) if is_so(middle) else (low, middle)
    return low


def spare_m(here: Field, field: Field) -> float:
    """Return the greatest height over a field."""
    return _highest(lambda h: is_reached(here, field, h), 0.0, here.amsl_m - field.amsl_m, 1.0)


def quickest_s(here: Field, field: Field, over_m: float) -> float:
    """Return the least time to so high over a field."""
    return _highest(lambda s: not is_reached(here, field, over_m, left_s=s), 0.0, 20e3, 1.0)


def sunk_s(from_m: float, to_m: float, sink_eas_mps: float) -> float:
    """Return the time down at one sink in equivalent airspeed."""
    heights = np.arange(to_m + 5.0, from_m, 10.0)
    return float(sum(10.0 * math.sqrt(air(h).rho / RHO0_KGPM3) for h in heights) / sink_eas_mps)


def best_glide_s(from_m: float, to_m: float) -> float:
    """Return the time down at the flattest glide of each height in still air."""
    total = 0.0
    for z in np.arange(to_m + 25.0, from_m, 50.0):
        eas, _ = to_fly(float(z), 0.0)
        total += 50.0 / float(steady(air(float(z)), np.array([eas])).sink_mps[0])
    return total


def flattest_s(here: Field, field: Field) -> float:
    """Return the time to most height over a field, at the best speeds towards the tightest side."""
    to_m = field.amsl_m + spare_m(here, field)
    along = (field.east_m - here.east_m) * np.sin(_ANGLES)
    along += (field.north_m - here.north_m) * np.cos(_ANGLES)
    side = _ANGLES[int(np.argmin(_to(sums_m(), here.amsl_m) - _to(sums_m(), to_m) - along))]
    total = 0.0
    for z in np.arange(to_m + 25.0, here.amsl_m, 50.0):
        u, v = wind_mps(float(z))
        eas, _ = to_fly(float(z), float(u * np.sin(side) + v * np.cos(side)))
        total += 50.0 / float(steady(air(float(z)), np.array([eas])).sink_mps[0])
    return total
