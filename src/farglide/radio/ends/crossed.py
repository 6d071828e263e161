"""Crossed: what the polarisations of two ends lose, over the rolls of the one that flies."""

import math
from typing import Final, NamedTuple

import numpy as np

from farglide.radio.antenna.polarisation import (
    Polarisation,
    Sense,
    best_mismatch_db,
    mean_mismatch_db,
    mismatch_db,
    worst_mismatch_db,
)
from farglide.radio.ends.end import UNSTATED, End

_N_ROLLS: Final = 720
_TILTS_DEG: Final = {"linear level": 0.0, "linear upright": 90.0}
_BETWEEN_DEG: Final = 45.0


class PolarisationGear(NamedTuple):
    """What two polarisations lose over the rolls, and when one end is turned for the best."""

    mean_db: float
    sd_db: float
    worst_db: float
    best_db: float


def polarisation_gear(one: End, other: End) -> PolarisationGear | None:
    """Return what two polarisations lose, over the rolls of the end that flies.

    With its swing unstated, over all rolls alike; else over tilts of that swing to each side. None
    where one of them is not stated.
    """
    if UNSTATED in (one.polarisation, other.polarisation):
        return None
    waves = _wave(one), _wave(other)
    flies = one if one.aboard else other
    worst_db, best_db = worst_mismatch_db(*waves), best_mismatch_db(*waves)
    share = (np.arange(_N_ROLLS) + 0.5) / _N_ROLLS
    if flies.swing_deg is None:
        lost_db = np.array([mismatch_db(*waves, float(360.0 * roll)) for roll in share])
        return PolarisationGear(mean_mismatch_db(*waves), float(lost_db.std()), worst_db, best_db)
    tilts = flies.swing_deg * np.sin(2.0 * math.pi * share)
    lost_db = np.array([mismatch_db(*waves, float(tilt)) for tilt in tilts])
    return PolarisationGear(
        float(lost_db.mean()), float(lost_db.std()), float(lost_db.max()), best_db
    )


def tilt_at_deg(end: End) -> float:
    """Return the tilt of a wave's field from level; 45 for a circular one, and where unstated."""
    return _TILTS_DEG.get(end.polarisation, _BETWEEN_DEG)


def _wave(end: End) -> Polarisation:
    if end.polarisation in _TILTS_DEG:
        return Polarisation(sense=Sense.LINEAR, tilt_deg=tilt_at_deg(end))
    return Polarisation(sense=Sense(end.polarisation), axial_ratio_db=end.axial_ratio_db)
