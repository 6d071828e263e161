"""Spares: the height that a glider released now could still have over each field."""

import numpy as np
from numpy.typing import NDArray

from farglide.kernel import compiled
from farglide.sim.climb import Scene, Swarm, Tracks
from farglide.sim.doors import Floors, Goals, Haste, _begin
from farglide.sim.losses import Losses
from farglide.sim.reach import Reach
from farglide.sim.rose import COARSE, LANES, Rose, _along, _margin, _support_at
from farglide.sim.spread import Spread, in_one_go
from farglide.sim.step import _apart

FloatArray = NDArray[np.float64]


@compiled
def _held_below(
    reach: Reach,
    i: int,
    rose: Rose,
    between: tuple[float, float],
    supports: tuple[NDArray[np.float32], NDArray[np.float32]],
) -> float:
    """Return the greatest height, up to the upper of `between`, from which the field can be held.

    `supports`: at the field's ground, and the still zero.
    """
    ground, still = supports
    low, lanes = np.empty_like(rose.east), np.empty(LANES, np.float32)
    _support_at(reach, i, between[1], rose, low)
    if _margin(low, ground, still, lanes) >= 0.0:
        return between[1]
    bottom, top = between
    while top - bottom > 50.0:
        middle = 0.5 * (bottom + top)
        _support_at(reach, i, middle, rose, low)
        if _margin(low, ground, still, lanes) >= 0.0:
            bottom = middle
        else:
            top = middle
    return bottom


@compiled
def _spares_some(
    scene: Scene,
    drawn: tuple[Swarm, Losses, Haste],
    climbs: tuple[Tracks, int],
    free: tuple[Reach, Rose],
    asked: tuple[Goals, Floors],
    some: tuple[int, int],
    out: FloatArray,
) -> None:
    """Fill the height over each field that draws `some` could still have."""
    swarm, losses, haste = drawn
    tracks, moment = climbs
    reach, rose = free
    goals, floors = asked
    high, low = np.empty_like(rose.east), np.empty_like(rose.east)
    along, still = np.empty_like(rose.east), np.zeros_like(rose.east)
    lanes = np.empty(LANES, np.float32)
    for i in range(some[0], some[1]):
        z = tracks.amsl_m[i, moment]
        if np.isnan(z):
            continue
        at = (i, z, tracks.north_rad[i, moment], tracks.east_rad[i, moment])
        z, north, east, _ = _begin(scene, swarm, losses, haste, at)
        _support_at(reach, i, z, rose, high)
        for f in range(len(goals.north_rad)):
            d_east, d_north = _apart(
                scene.frame, (north, east), (goals.north_rad[f], goals.east_rad[f])
            )
            _along(rose, d_east, d_north, along)
            bottom, top = goals.arrival_amsl_m[f], z
            if top <= bottom:
                continue
            inside = _margin(high, floors.free_coarse[i, f], along, lanes)
            if inside < 0.0 or not floors.held[i, f]:
                continue
            outside = -np.sqrt(d_east * d_east + d_north * d_north)
            side, low_at = 0, np.nan
            while top - bottom > 50.0:  # false position, kept from creeping (Illinois rule)
                share = min(max(inside / (inside - outside), 0.002), 0.998)
                middle = bottom + share * (top - bottom)
                _support_at(reach, i, middle, rose, low)
                low_at = middle
                margin = _margin(high, low, along, lanes)
                if margin >= 0.0:
                    outside = 0.5 * outside if side > 0 else outside
                    bottom, inside, side = middle, margin, 1
                    if margin < 150.0:  # metres of ground: less than 50 m of height
                        break
                else:
                    inside = 0.5 * inside if side < 0 else inside
                    top, outside, side = middle, margin, -1
            ground = floors.ground_coarse[i, f]
            if low_at != bottom:
                _support_at(reach, i, bottom, rose, low)
            if _margin(low, ground, still, lanes) < 0.0:
                between = (goals.arrival_amsl_m[f], bottom)
                bottom = _held_below(reach, i, rose, between, (ground, still))
            out[i, f] = bottom - goals.ground_amsl_m[f]


def spares(
    scene: Scene,
    drawn: tuple[Swarm, Losses, Haste],
    climbs: tuple[Tracks, int],
    free: Reach,
    goals: tuple[Goals, Floors],
    spread: Spread = in_one_go,
) -> FloatArray:
    """Return the spare height over each field for a release at one moment, NaN where out of reach.

    `climbs`: the tracks and the index of the moment; `goals`: fields and floors. Shape
    (n_draws, n_fields), to 50 m.
    """
    out = np.full((len(drawn[2].end_s), len(goals[0].north_rad)), np.nan)
    roses = (free, COARSE)
    spread(lambda a, b: _spares_some(scene, drawn, climbs, roses, goals, (a, b), out), len(out))
    return out
