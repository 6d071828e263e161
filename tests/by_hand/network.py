"""The demo's gear in the winds of any sounding by hand, without errors, launched up-drift of home.

Winds are linear between the heights reported and go on as they are beyond. Nothing here comes from
the package.
"""

from typing import Final, NamedTuple

import numpy as np

from .air import FloatArray
from .chances import ANGLES, MIDDLES, PRICES_MPS, layer_sums_m, row_at
from .climb import climb
from .reach import GLIDE_AFTER_S, HOME, LAYER_M, OVER_FIELD_M, PACKS_END_S, lost_m

UP_DRIFT_KM: Final = np.arange(0.0, 161.0, 10.0)
HIGH_M: Final = 20e3
_MINUTES: Final = np.arange(3, 84)


class Answer(NamedTuple):
    """By launch place: open above 20 km by reach, and with the packs; minutes shut; the drift."""

    reach: np.ndarray  # type: ignore[type-arg]
    packs: np.ndarray  # type: ignore[type-arg]
    shut_min: FloatArray
    drift_km: float


def asked_of(amsl_m: FloatArray, east_mps: FloatArray, north_mps: FloatArray) -> Answer:
    """Return what a day's winds allow, by whole minutes from T+3 to the burst."""
    winds = [np.interp(MIDDLES, amsl_m, one) for one in (east_mps, north_mps)]
    plan = climb()
    base = LAYER_M * np.arange(len(MIDDLES) + 1)
    layer_s = np.diff(np.interp(base, plan.amsl_m, plan.t_s))
    tracks = [np.append(0.0, np.cumsum(one * layer_s)) for one in winds]
    up = np.interp(60.0 * _MINUTES, plan.t_s, plan.amsl_m)
    away = np.array([np.interp(up, base, one) for one in tracks])
    last = away[:, int(76 - _MINUTES[0])]
    along = 1e3 * np.outer(UP_DRIFT_KM, last / np.hypot(*last))  # of home, from each launch place
    sums = [(price, layer_sums_m(*winds, 1.0, price)) for price in PRICES_MPS]
    is_open = np.array(
        [_is_open(sums, along - away[:, j], float(up[j]), float(t)) for j, t in enumerate(_MINUTES)]
    )
    high = up > HIGH_M
    reach, packs = (is_open[high, :, k].any(axis=0) for k in (0, 1))
    shut = (~is_open[:, :, 0]).sum(axis=0).astype(float)
    return Answer(reach, packs, shut, float(np.hypot(*last)) / 1e3)


def _is_open(
    sums: list[tuple[float, FloatArray]], away_m: FloatArray, up_m: float, minute: float
) -> np.ndarray:  # type: ignore[type-arg]
    """Return by launch place whether home is in reach, and in time: shape (n_places, 2)."""
    from_m, to_m = up_m - lost_m(up_m), HOME.amsl_m + OVER_FIELD_M
    if from_m <= to_m:
        return np.zeros((len(away_m), 2), dtype=bool)
    needed = away_m @ np.array([np.sin(ANGLES), np.cos(ANGLES)])
    left_s = PACKS_END_S - GLIDE_AFTER_S - 60.0 * minute
    held = []
    for price, one in sums:
        far = row_at(one, from_m / LAYER_M) - row_at(one, to_m / LAYER_M) + price * left_s
        held.append((needed <= far).all(axis=1))
    return np.stack([held[0], np.all(held, axis=0)], axis=1)
