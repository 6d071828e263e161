"""Liftoff: when a balloon left the hand, by the heights that its own fixes tell."""

from collections.abc import Iterable
from typing import Final

import numpy as np

from farglide.track.heights import amsl_m
from farglide.track.reports import Fix

SURE_M: Final = 300.0
"""So far above the launch it has left the hand for good, and the moment can be told."""
_OFF_M: Final = 20.0
_MOST_M: Final = 1000.0
_CLIMBS_MPS: Final = (1.0, 15.0)
_ON_HAND_S: Final = 120.0


def liftoff_t_s(fixes: Iterable[Fix], ground_amsl_m: float) -> float | None:
    """Return when a balloon left the hand, UTC; None where its first climb was not seen.

    A straight line through its heights from 20 m to 1000 m above the ground, down to the ground:
    the mean height of the last two minutes on the hand, else as it is stated. Valid: fixes rising
    in time. To half a second from fixes each second, to some seconds from one each minute.
    """
    rows = [(one.t_s, amsl_m(one)) for one in fixes if one.t_s is not None]
    table = np.array([(t_s, z) for t_s, z in rows if z is not None], dtype=np.float64)
    if not len(table):
        return None
    t_s, over_m = table[:, 0], table[:, 1] - ground_amsl_m
    low = np.flatnonzero(over_m < _OFF_M)
    first = int(low[-1]) + 1 if len(low) else 0
    on_hand = over_m[(t_s < t_s[min(first, len(t_s) - 1)]) & (over_m < _OFF_M)][-int(_ON_HAND_S) :]
    base_m = float(on_hand.mean()) if len(on_hand) else 0.0
    up = np.arange(len(t_s)) >= first
    up &= (over_m >= _OFF_M) & (over_m <= _MOST_M)
    if up.sum() < 2 or over_m[up].max() < SURE_M or np.ptp(t_s[up]) <= 0.0:
        return None
    middle_s = float(t_s[up].mean())
    climb_mps, middle_m = np.polyfit(t_s[up] - middle_s, over_m[up], 1)
    if not _CLIMBS_MPS[0] <= climb_mps <= _CLIMBS_MPS[1]:
        return None
    return middle_s - (float(middle_m) - base_m) / float(climb_mps)
