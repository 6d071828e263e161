"""Heard: below which height it was heard no more, and what that says of where it lies."""

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from farglide.arrays import FloatArray
from farglide.atlas.cells import in_sight
from farglide.atlas.sweep import STANDARD_EARTH_RATIO
from farglide.atlas.terrain import Terrain, height_amsl_m
from farglide.constants import MEAN_EARTH_RADIUS_M
from farglide.earth.geodesy import distances_m
from farglide.earth.state import Place
from farglide.errors import check_range

OWN_END_RATIO: Final = 0.3
"""Chance that it fell silent by itself, above where the ground would have hidden it: a guess."""
WRONG_RATIO: Final = 0.02  # heard by an echo, or over ground that the terrain has too high
_UP_TO_M: Final = 4000.0  # over ground: higher, no hill of the neighbourhood hides anything
_N_HALVINGS: Final = 9
_FARTHEST_M: Final = 100_000.0  # beyond, the curve hides more than most hills


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

    To 8 m. The ground itself where that is in sight. Where ground is not known, hides more than
    4 km or lies 100 km off, what the earth's curve alone hides over the terrain's median height.
    Source: as `atlas.cells.in_sight`: line of sight over an earth of 4/3 its radius, by halving.
    """
    away_m = distances_m(stand, lat_deg, lon_deg)
    level_m = float(np.nanmedian(terrain.heights_amsl_m))
    found = smooth_hidden_below_m(stand.amsl_m, level_m, away_m)
    near = away_m < _FARTHEST_M
    if near.any():
        over_ground = _over_ground_m(terrain, stand, lat_deg[near], lon_deg[near])
        found[near] = np.where(np.isnan(over_ground), found[near], over_ground)
    return found


def smooth_hidden_below_m(stand_amsl_m: float, level_m: float, away_m: FloatArray) -> FloatArray:
    """Return that height over even ground, (n_points,). A stand below it counts as on it.

    Source: (d - d_h)^2 / 2 a behind the horizon d_h = sqrt(2 a h), ITU-R P.526 geometry.
    """
    earth_m = STANDARD_EARTH_RATIO * MEAN_EARTH_RADIUS_M
    horizon_m = math.sqrt(2.0 * earth_m * max(stand_amsl_m - level_m, 0.0))
    return np.asarray(level_m + np.maximum(away_m - horizon_m, 0.0) ** 2 / (2.0 * earth_m))


def _over_ground_m(
    terrain: Terrain, stand: Place, lat_deg: FloatArray, lon_deg: FloatArray
) -> FloatArray:
    """Return that height over the ground of the terrain; NaN where it does not tell."""
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
    lower, since senders end by themselves as well; hardly where it was hidden before.
    """
    off = (hidden_below_m(terrain, heard.stand, lat_deg, lon_deg) - heard.amsl_m) / heard.sd_m
    normal = np.exp(-0.5 * off**2)
    lower = OWN_END_RATIO + (1.0 - OWN_END_RATIO) * normal
    higher = WRONG_RATIO + (1.0 - WRONG_RATIO) * normal
    return np.where(off <= 0.0, lower, higher)
