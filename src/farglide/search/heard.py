"""Heard: below which height it was heard no more, and what that says of where it lies."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from farglide.arrays import FloatArray
from farglide.atlas.cells import in_sight
from farglide.atlas.terrain import Terrain, height_amsl_m
from farglide.earth.geodesy import distances_m
from farglide.earth.state import Place
from farglide.errors import InputError, check_range

OWN_END_RATIO: Final = 0.3
"""Chance that it fell silent by itself, above where the ground would have hidden it: a guess."""
WRONG_RATIO: Final = 0.02  # heard by an echo, or over ground that the terrain has too high
_UP_TO_M: Final = 4000.0  # over ground: higher, no hill of the neighbourhood hides anything
_N_HALVINGS: Final = 9
_FARTHEST_M: Final = 490_000.0  # as far as horizons are looked for


@dataclass(frozen=True, slots=True, kw_only=True)
class LastHeard:
    """The height above sea level at which a stand heard it last; its error is one deviation."""

    stand: Place  # of the antenna
    name: str
    amsl_m: float
    sd_m: float = 50.0

    def __post_init__(self) -> None:
        check_range("height last heard", self.amsl_m, "m", (-500.0, 100_000.0))
        check_range("error of the height last heard", self.sd_m, "m", (1.0, 10_000.0))


def hidden_below_m(
    terrain: Terrain, stand: Place, lat_deg: FloatArray, lon_deg: FloatArray
) -> FloatArray:
    """Return the height above sea level below which each point is hidden from a stand.

    To 8 m. The ground itself where that is in sight; NaN where ground is not known, hides 4 km, or
    lies 490 km off.
    Source: as `atlas.cells.in_sight`: line of sight over an earth of 4/3 its radius, by halving.
    """
    found = np.full(lat_deg.shape, np.nan)
    near = distances_m(stand, lat_deg, lon_deg) < _FARTHEST_M
    if near.any():
        found[near] = _hidden_below_m(terrain, stand, lat_deg[near], lon_deg[near])
    return found


def _hidden_below_m(
    terrain: Terrain, stand: Place, lat_deg: FloatArray, lon_deg: FloatArray
) -> FloatArray:
    ground_m = height_amsl_m(terrain, lat_deg, lon_deg)
    low, high = ground_m.copy(), ground_m + _UP_TO_M
    known = in_sight(terrain, stand, lat_deg, lon_deg, high)
    open_ground = in_sight(terrain, stand, lat_deg, lon_deg, ground_m)
    for _ in range(_N_HALVINGS):
        middle = 0.5 * (low + high)
        seen = in_sight(terrain, stand, lat_deg, lon_deg, middle)
        low, high = np.where(seen, low, middle), np.where(seen, middle, high)
    return np.where(known, np.where(open_ground, ground_m, high), np.nan)


def likelihood(
    heard: LastHeard, terrain: Terrain, lat_deg: FloatArray, lon_deg: FloatArray
) -> FloatArray:
    """Return how well points fit the height at which it was last heard, (n_points,).

    It fits where the ground hides it just below that height; less where it should have been heard
    lower, since senders end by themselves as well; hardly where it was hidden before. Points of
    which nothing is known keep the mean of the others.
    """
    hidden_m = hidden_below_m(terrain, heard.stand, lat_deg, lon_deg)
    off = (hidden_m - heard.amsl_m) / heard.sd_m
    lower = OWN_END_RATIO + (1.0 - OWN_END_RATIO) * np.exp(-0.5 * off**2)
    higher = WRONG_RATIO + (1.0 - WRONG_RATIO) * np.exp(-0.5 * off**2)
    found = np.where(off <= 0.0, lower, higher)
    told = ~np.isnan(hidden_m)
    if not told.any():
        remedy = "Take terrain that covers stand and points."
        raise InputError("ground of the points", "unknown", "known ground", remedy)
    return np.where(told, found, found[told].mean())
