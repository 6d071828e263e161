"""Own kind: the drag table of balloons of one kind, by how their other flights climbed."""

from functools import cache
from typing import Final

import numpy as np

from bench.odds.climbs import N_BANDS, DragTable, Lifter, band_ratios, high_flights
from bench.odds.fit_climb import POOLED, fit_drag
from farglide.arrays import FloatArray

_LEAST_FLIGHTS: Final = 2
"""A band that fewer were flown through is taken as usual."""


@cache
def own_table(campaign: str, t_s: int, lifter: Lifter) -> DragTable:
    """Return the drag table that a crew has of its kind of balloon without the flight of `t_s`.

    A campaign flies one kind of balloon; its other flights above 20 km are known, the later ones
    too. `lifter`: what climbs on that table.
    """
    rows = [band_ratios(one) for one in high_flights()
            if one.campaign == campaign and int(one.sounding.t_s) != t_s]  # fmt: skip
    bands = own_bands(np.array(rows).reshape(-1, N_BANDS))
    return fit_drag(bands.tolist(), (lifter,))


def own_bands(ratios: FloatArray) -> FloatArray:
    """Return the median speed in each band over the mean of the climb, as usual where unknown.

    `ratios`: the same of each flight, (n_flights, n_bands), NaN where it was not flown through.
    """
    found = np.array(POOLED)
    known = np.isfinite(ratios).sum(axis=0) >= _LEAST_FLIGHTS
    if known.any():
        found[known] = np.nanmedian(ratios[:, known], axis=0)
    return found
