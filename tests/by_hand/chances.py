"""The demo's chances by hand: 200 climbs and glides with errors, each with one wind out and home.

Winds err by 1.5 m/s and 8 % of their speed over 3 km of height, the glide ratio by 10 %, the climb
by 5 %, the bursting diameter by 6 %. Nothing here comes from the package.
"""

from functools import cache
from typing import Final, NamedTuple

import numpy as np

from .air import Air, FloatArray, air, wind_mps
from .climb import BURST_DIAMETER_M, burst_amsl_m, climb, volume_m3
from .glider import flown_speeds_mps, steady
from .reach import (
    GLIDE_AFTER_S,
    HOME,
    LAYER_M,
    OVER_FIELD_M,
    PACKS_END_S,
    Field,
    lost_m,
)

N_DRAWS: Final = 200
ANGLES: Final = np.radians(np.arange(0.0, 360.0, 5.0))
MIDDLES: Final = np.arange(0.5 * LAYER_M, 36_000.0, LAYER_M)
_N_SPEEDS: Final = 40
PRICES_MPS: Final = (0.0, 4.0, 10.0, 20.0)


class Draws(NamedTuple):
    """Draws on the first axis: winds by layer, shares of climb and glide, burst heights."""

    east_mps: FloatArray
    north_mps: FloatArray
    climb_ratio: FloatArray
    glide_ratio: FloatArray
    burst_amsl_m: FloatArray


class Odds(NamedTuple):
    """Draws by moments: whether each balloon is whole, and home in reach."""

    whole: np.ndarray  # type: ignore[type-arg]
    reached: np.ndarray  # type: ignore[type-arg]

    @property
    def home(self) -> FloatArray:
        """Return the share that is whole and reaches home, by moment."""
        return np.asarray((self.whole & self.reached).mean(axis=0))


def _wandering(rng: np.random.Generator) -> FloatArray:
    """Return errors of size 1 by layer that hang together over 3 km of height."""
    kept = np.exp(-LAYER_M / 3000.0)
    error = np.empty((N_DRAWS, len(MIDDLES)))
    error[:, 0] = rng.standard_normal(N_DRAWS)
    for k in range(1, len(MIDDLES)):
        fresh = rng.standard_normal(N_DRAWS)
        error[:, k] = kept * error[:, k - 1] + np.sqrt(1.0 - kept * kept) * fresh
    return error


@cache
def drawn(seed: int) -> Draws:
    """Return the draws of a seed."""
    rng = np.random.default_rng(seed)
    east, north = wind_mps(MIDDLES)
    size = 1.5 + 0.08 * np.hypot(east, north)
    winds = (east + size * _wandering(rng), north + size * _wandering(rng))
    diameters = BURST_DIAMETER_M * (1.0 + 0.06 * rng.standard_normal(N_DRAWS))
    bursts = np.array([burst_amsl_m(volume_m3(1.6), float(one)) for one in diameters])
    climbs, glides = (1.0 + sd * rng.standard_normal(N_DRAWS) for sd in (0.05, 0.10))
    return Draws(*winds, climbs, glides, bursts)


def layer_sums_m(
    east: FloatArray, north: FloatArray, glide_ratio: float, price_mps: float = 0.0
) -> FloatArray:
    """Return how far a draw comes towards each direction from 0 to each layer's base."""
    ends = [flown_speeds_mps(float(z))[[0, -1]] for z in MIDDLES]
    speeds = np.linspace(*np.array(ends).T, _N_SPEEDS, axis=1)
    here = Air(*(np.array(one)[:, None] for one in zip(*map(air, MIDDLES), strict=True)))  # type: ignore[arg-type]
    glides = steady(here, speeds, glide_ratio)
    tail = east[:, None] * np.sin(ANGLES) + north[:, None] * np.cos(ANGLES) - price_mps
    gained = (glides.level_mps[:, None, :] + tail[:, :, None]) / glides.sink_mps[:, None, :]
    layers = LAYER_M * gained.max(axis=2)
    return np.vstack([np.zeros(len(ANGLES)), np.cumsum(layers, axis=0)])


def asked(
    moments: FloatArray, out: Draws, back: Draws, by_height: bool = False, packs: bool = False
) -> Odds:
    """Return which draws are whole and reach home from releases at these minutes, or heights.

    `out`: the draws of the climbs; `back`: those of the winds home, the same or others; `packs`:
    whether they have to last, for releases at minutes.
    """
    plan = climb(bursting_m=12.0)
    base = LAYER_M * np.arange(len(MIDDLES) + 1)
    layer_s = np.diff(np.interp(base, plan.amsl_m, plan.t_s))
    whole = np.empty((N_DRAWS, len(moments)), dtype=bool)
    reached = whole.copy()
    for i in range(N_DRAWS):
        seconds = layer_s / out.climb_ratio[i]
        clock, east, north = (
            np.append(0.0, np.cumsum(one * seconds))
            for one in (1.0, out.east_mps[i], out.north_mps[i])
        )
        up = moments if by_height else np.interp(60.0 * moments, clock, base)
        winds = (back.east_mps[i], back.north_mps[i], float(back.glide_ratio[i]))
        prices = PRICES_MPS if packs else (0.0,)
        sums = [(price, layer_sums_m(*winds, price)) for price in prices]
        whole[i] = up < out.burst_amsl_m[i]
        for j, z in enumerate(up.tolist()):
            here = Field(float(np.interp(z, base, east)), float(np.interp(z, base, north)), z)
            left_s = PACKS_END_S - GLIDE_AFTER_S - 60.0 * float(moments[j])
            reached[i, j] = all(
                _is_reached(one, here._replace(amsl_m=z - lost_m(z)), price * left_s)
                for price, one in sums
            )
    return Odds(whole, reached)


def _is_reached(sums: FloatArray, here: Field, more_m: float) -> bool:
    to_m = HOME.amsl_m + OVER_FIELD_M
    if here.amsl_m <= to_m:
        return False
    along = (HOME.east_m - here.east_m) * np.sin(ANGLES)
    along += (HOME.north_m - here.north_m) * np.cos(ANGLES)
    high, low = (row_at(sums, z / LAYER_M) for z in (here.amsl_m, to_m))
    return bool((along <= high - low + more_m).all())


def row_at(sums: FloatArray, at: float) -> FloatArray:
    k = int(at)
    return np.asarray(sums[k] + (at - k) * (sums[min(k + 1, len(sums) - 1)] - sums[k]))
