"""Pairs of soundings: one as the forecast, a later or a neighbouring one as the truth."""

from dataclasses import dataclass
from functools import cache
from itertools import combinations
from typing import Final

import numpy as np
from pyproj import Geod

from bench.odds.data import Flown, darwin, network_to, prague
from farglide.air.layers import LAYER_M
from farglide.arrays import FloatArray
from farglide.earth.heights import geometric_at_m

_GEOD: Final = Geod(ellps="WGS84")
EDGES_M: Final = np.arange(500.0, 32_001.0, LAYER_M)
"""Layers in which winds are compared: those of the program."""
LONGEST_H: Final = 72.0
FARTHEST_KM: Final = 700.0
_LOWEST_TOP_M: Final = 12_000.0
_WIDEST_GAP_M: Final = 3000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """Two soundings, and how far apart they are in time and over the ground."""

    forecast: Flown
    truth: Flown
    age_h: float
    distance_km: float

    @property
    def group(self) -> str:
        """Return the day and place that a bootstrap draws together."""
        return f"{self.forecast.campaign}, day {self.forecast.day}"


def pair_of(forecast: Flown, truth: Flown) -> Pair:
    """Return the pair, its age without a sign."""
    a, b = forecast.sounding, truth.sounding
    away_m = _GEOD.inv(a.lon_deg, a.lat_deg, b.lon_deg, b.lat_deg)[2]
    age_h = abs(b.t_s - a.t_s) / 3600.0
    return Pair(forecast=forecast, truth=truth, age_h=age_h, distance_km=away_m / 1e3)


def aged_pairs(longest_h: float = LONGEST_H) -> list[Pair]:
    """Return the pairs of flights from one place, the earlier first."""
    found = []
    for campaign in (darwin(), prague()):
        high = [one for one in campaign if one.sounding.top_gph_m > _LOWEST_TOP_M]
        found += [pair_of(a, b) for a, b in combinations(high, 2)]
    return [pair for pair in found if pair.age_h <= longest_h]


def apart_pairs(farthest_km: float = FARTHEST_KM) -> list[Pair]:
    """Return the pairs of neighbours in the network, both as well sampled as a flight needs.

    A place that sent two reports is left out of pairs with itself. The nominal hour is one; how far
    apart the balloons really left, up to an hour, the reports do not say.
    """
    found = []
    for a, b in combinations(network_to(_LOWEST_TOP_M, _WIDEST_GAP_M), 2):
        if abs(a.sounding.lat_deg - b.sounding.lat_deg) * 110.0 < farthest_km:
            pair = pair_of(a, b)
            if 20.0 < pair.distance_km <= farthest_km:
                found.append(pair)
    return found


@cache
def _winds(key: int) -> FloatArray:
    sounding = _KNOWN[key].sounding
    z_m = np.array([geometric_at_m(float(h), sounding.lat_deg) for h in sounding.gph_m])
    knots = np.union1d(z_m, EDGES_M)
    means = []
    for wind in (sounding.u_mps, sounding.v_mps):
        at = np.interp(knots, z_m, wind)
        area = np.concatenate([[0.0], np.cumsum(0.5 * (at[1:] + at[:-1]) * np.diff(knots))])
        mean = np.diff(np.interp(EDGES_M, knots, area)) / LAYER_M
        mean[(EDGES_M[1:] > z_m[-1]) | (EDGES_M[:-1] < z_m[0])] = np.nan
        means.append(mean)
    return np.array(means)


_KNOWN: Final[dict[int, Flown]] = {}


def layer_winds(flown: Flown) -> FloatArray:
    """Return the mean winds east and north of each layer, (2, n_layers), NaN where unknown."""
    _KNOWN[id(flown)] = flown  # kept, so that its number stays its own
    return _winds(id(flown))
