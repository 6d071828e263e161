"""Skies: how high the ground stands round each stand."""

import numpy as np

from farglide.arrays import BoolArray
from farglide.outlook.links import HIDDEN_DEG, StandSky
from farglide.rig.listening import Listening
from farglide.sortie.spec import Sortie


def skies(sortie: Sortie, listening: Listening | None) -> tuple[StandSky, ...]:
    """Return the sky of each stand; none over flat ground, where nothing stands up.

    Angles over the level of the antenna, the earth's curve and the usual bending taken off, to
    within half a degree of azimuth and what the posts of the ground leave out. The first 300 m
    count as clear: the crew steps aside from a hedge.
    """
    if listening is None:
        return ()
    found = []
    for stand, ratio in zip(sortie.stands, listening.ears.steepest_ratio, strict=True):
        up_deg = np.degrees(np.arctan(ratio))
        if np.isnan(up_deg).all():
            continue
        step_deg = 360.0 / len(up_deg)
        k = int(np.nanargmax(up_deg))
        found.append(
            StandSky(
                stand=stand.name,
                highest_deg=float(up_deg[k]),
                highest_azimuth_deg=k * step_deg,
                hidden=sectors_deg(up_deg > HIDDEN_DEG, step_deg),
            )
        )
    return tuple(found)


def sectors_deg(is_high: BoolArray, step_deg: float) -> tuple[tuple[float, float], ...]:
    """Return the runs of azimuths that are high, from the first to the last of each, clockwise.

    >>> sectors_deg(np.array([True, False, True, True, False, True]), 60.0)
    ((120.0, 180.0), (300.0, 0.0))
    >>> sectors_deg(np.ones(4, bool), 90.0)
    ((0.0, 360.0),)
    """
    if is_high.all():
        return ((0.0, 360.0),)
    begins = np.flatnonzero(is_high & ~np.roll(is_high, 1))
    ends = np.flatnonzero(is_high & ~np.roll(is_high, -1))
    if len(ends) and ends[0] < begins[0]:
        ends = np.roll(ends, -1)
    return tuple(
        (float(first * step_deg), float(last * step_deg))
        for first, last in zip(begins, ends, strict=True)
    )
