"""Diameter: how wide a balloon was when it burst, or when it was seen whole for the last time."""

import math
from typing import Final

import numpy as np

from farglide.air.sounding import Sounding
from farglide.balloon.burst import EARLY_END_RATIO
from farglide.chances.ensemble import plain_climbs
from farglide.review.parted import Parted
from farglide.review.pooled import Shown
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Sortie

_GRAIN: Final = Grain(clock_s=30.0, prices_mps=(8.0,), slab=5)
_SHAPE_RATIO: Final = 0.01
"""A balloon is no sphere, and the last fix is some metres below its burst: a choice, no source."""
_AIR_K: Final = 220.0


def diameter_shown(
    sortie: Sortie, sounding: Sounding, flight: Parted, neck_lift: Shown
) -> Shown | None:
    """Return the bursting diameter that a flight shows: a value, or that it is larger than one.

    None where nothing tells of it: no climb was seen, or it lost gas, so that nobody knows how
    wide it was. A balloon let go whole, or last seen whole, would have burst wider: an observation
    cut off there (censored). The diameter follows from the height and from the gas: a third of the
    error of either, and of the warmth of the gas, is its own.
    Source: the gas law; volume of a sphere.
    """
    if flight.top_m is None or flight.ended in ("topped", "not seen"):
        return None
    climbs = plain_climbs(sortie, sounding, _GRAIN)
    amsl_m, wide_m = climbs.tracks.amsl_m[0], climbs.tracks.diameter_m[0]
    known = np.flatnonzero(np.isfinite(amsl_m))
    rising = np.maximum.accumulate(amsl_m[known])
    if not rising[0] <= flight.top_m <= rising[-1]:
        return None
    planned_m = float(np.interp(flight.top_m, rising, wide_m[known]))
    balloon = sortie.balloon
    lifted_kg = balloon.neck_lift_kg.value + balloon.mass_kg
    gas_ratio = (neck_lift.value + balloon.mass_kg) / lifted_kg
    gas_sd = neck_lift.sd / lifted_kg
    third = math.hypot(gas_sd, balloon.gas_warmer_k.sd / _AIR_K) / 3.0
    diameter_m = planned_m * float(np.cbrt(gas_ratio))
    sd_m = diameter_m * math.hypot(third, _SHAPE_RATIO)
    return Shown(diameter_m, sd_m, at_least=flight.ended != "burst")


def is_early(shown: Shown, diameter_m: float) -> bool:
    """Tell whether a burst was an early one, which says nothing of the others' diameter."""
    return not shown.at_least and shown.value < EARLY_END_RATIO * diameter_m - 2.0 * shown.sd
