"""Fixes: particles conditioned on a place or a height, each by what it does not know of itself."""

import math
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import BoolArray, FloatArray
from farglide.sim.core.step import Frame, _metres_per_rad
from farglide.sim.fly.particles import GROUND, Cloud
from farglide.track.filter.circling import off_middle_m2
from farglide.track.filter.observed import High, Placed
from farglide.track.filter.particles import Laws, Particles, with_likelihood

WILD_RATIO: Final = 0.01
"""So often a fix that was believed is wrong after all, and lies anywhere in `WILD_M`: so no single
one kills the truth. Common practice, no source."""
WILD_M: Final = np.array([20_000.0, 20_000.0, 10_000.0])
LOST_AFTER: Final = 3
"""After so many fixes in a row that fit nowhere it is where they say."""
_UP_AGAIN_M: Final = 500.0
"""Over ground that nobody knows: so much higher it does not lie on it."""
_LEVEL, _UP = 0, 1


class _Seen(NamedTuple):
    """One axis: which block of the spread, how far the fix is off each particle, its variance."""

    axis: int  # of `off_mps`
    block: int
    missed_m: FloatArray
    noise_m2: FloatArray | float  # of the fix, and of the circle on which each may be


class _Fitted(NamedTuple):
    log_fit: FloatArray  # (n,)
    fits: BoolArray  # which particles a sound fix may come from


def at_fix(laws: Laws, particles: Particles, fix: Placed | High) -> Particles:
    """Return the particles after a fix, weighed by how well each foresaw it, its place corrected.

    What each particle does not know of its own place and speed is Gaussian, so both are exact.
    Source: Kalman update, and its predictive likelihood as weight: Doucet, Godsill & Andrieu,
    Statistics and Computing 10 (2000), 197, from memory.
    """
    seen = _seen(laws, particles.cloud, fix)
    fitted = _fitted(particles.cloud, seen)
    weighed = with_likelihood(particles, fitted.log_fit)
    is_place = isinstance(fix, Placed)
    placed_s = particles.after_launch_s if is_place else particles.placed_s
    if float(weighed.weight @ fitted.fits) >= 0.5:
        cloud = _corrected(laws, particles.cloud, fix, seen, fitted.fits)
        return weighed._replace(cloud=cloud, n_missed=0, placed_s=placed_s)
    if particles.n_missed + 1 < LOST_AFTER:
        return weighed._replace(n_missed=particles.n_missed + 1)
    every = np.ones(len(weighed.weight), np.bool_)
    found = _in_the_air(laws, _unsure(particles.cloud, seen), fix)
    cloud = _corrected(laws, found, fix, _seen(laws, found, fix), every)
    return particles._replace(cloud=cloud, n_missed=0, placed_s=placed_s)


def _seen(laws: Laws, cloud: Cloud, fix: Placed | High) -> list[_Seen]:
    """Return the axes that a fix tells of."""
    frame = laws.movers.scene.frame
    if isinstance(fix, High):
        return [_Seen(2, _UP, fix.amsl_m - cloud.amsl_m, fix.sd_m**2)]
    north_rad = _north_rad(frame, fix)
    east_rad = math.remainder(math.radians(fix.lon_deg) - frame.lon_rad, 2.0 * math.pi)
    meridian_m, parallel_m = _metres_per_rad(frame, north_rad)
    level_m2 = fix.sd_m**2 + off_middle_m2(laws, cloud)
    found = [
        _Seen(0, _LEVEL, parallel_m * (east_rad - cloud.east_rad), level_m2),
        _Seen(1, _LEVEL, meridian_m * (north_rad - cloud.north_rad), level_m2),
    ]
    if fix.amsl_m is not None:
        found.append(_Seen(2, _UP, fix.amsl_m - cloud.amsl_m, fix.amsl_sd_m**2))
    return found


def _north_rad(frame: Frame, fix: Placed) -> float:
    return math.radians(fix.lat_deg) - frame.lat_rad


def _fitted(cloud: Cloud, seen: list[_Seen]) -> _Fitted:
    sound = np.full(len(cloud.story), math.log(1.0 - WILD_RATIO))
    wild = math.log(WILD_RATIO)
    for one in seen:
        variance = cloud.spread[:, one.block, 0] + one.noise_m2
        sound -= 0.5 * (one.missed_m**2 / variance + np.log(2.0 * math.pi * variance))
        wild -= math.log(WILD_M[one.axis])
    return _Fitted(np.logaddexp(sound, wild), sound > wild)


def _corrected(
    laws: Laws, cloud: Cloud, fix: Placed | High, seen: list[_Seen], which: BoolArray
) -> Cloud:
    """Return particles with places, speeds and what is not known of them corrected by a fix."""
    frame, off, spread = laws.movers.scene.frame, cloud.off_mps.copy(), cloud.spread.copy()
    north_rad = _north_rad(frame, fix) if isinstance(fix, Placed) else 0.0
    moved_m = np.zeros((3, len(off)))
    for one in seen:
        place, both, _ = cloud.spread[:, one.block].T
        over = np.where(which, 1.0 / (place + one.noise_m2), 0.0)
        moved_m[one.axis] = place * over * one.missed_m
        off[:, one.axis] += both * over * one.missed_m
        spread[:, one.block, 0] = place - place * place * over
        spread[:, one.block, 1] = both - place * both * over
        spread[:, one.block, 2] = cloud.spread[:, one.block, 2] - both * both * over
    meridian_m, parallel_m = _metres_per_rad(frame, north_rad)
    return cloud._replace(
        amsl_m=cloud.amsl_m + moved_m[2],
        north_rad=cloud.north_rad + moved_m[1] / meridian_m,
        east_rad=cloud.east_rad + moved_m[0] / parallel_m,
        off_mps=off,
        spread=spread,
    )


def _unsure(cloud: Cloud, seen: list[_Seen]) -> Cloud:
    """Return particles that could be as far off as they are."""
    spread = cloud.spread.copy()
    for one in seen:
        spread[:, one.block, 0] = WILD_M[one.axis] ** 2
        spread[:, one.block, 1] = 0.0
    return cloud._replace(spread=spread)


def _in_the_air(laws: Laws, cloud: Cloud, fix: Placed | High) -> Cloud:
    """Return what lies on the ground falling again, if a fix has it in the air."""
    high_m = fix.amsl_m
    is_up = high_m is not None and high_m > laws.movers.flat_amsl_m + _UP_AGAIN_M
    down = (cloud.story == GROUND) & is_up
    return cloud._replace(
        story=np.where(down, cloud.was, cloud.story), down_s=np.where(down, np.nan, cloud.down_s)
    )
