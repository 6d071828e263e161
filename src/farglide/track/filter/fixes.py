"""Fixes: particles conditioned on a place or a height, each by what it does not know of itself."""

import math
from typing import Final

import numpy as np

from farglide.sim.fly.conditioned import Conditioned, Sight, conditioned
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
_LOG_SOUND: Final = math.log(1.0 - WILD_RATIO)
_LOG_WILD: Final = math.log(WILD_RATIO)
_LOG_LEVEL: Final = -float(np.log(WILD_M[:2]).sum())
_LOG_UP: Final = -math.log(WILD_M[2])


def at_fix(laws: Laws, particles: Particles, fix: Placed | High) -> Particles:
    """Return the particles after a fix, weighed by how well each foresaw it, its place corrected.

    For the law see `sim.fly.conditioned`.
    """
    frame, cloud, sight = laws.movers.scene.frame, particles.cloud, _sight(laws, fix)
    found = conditioned(frame, cloud, sight, off_middle_m2(laws, cloud))
    weighed = with_likelihood(particles, found.log_fit)
    is_place = isinstance(fix, Placed)
    placed_s = particles.after_launch_s if is_place else particles.placed_s
    if float(weighed.weight @ found.fits) >= 0.5:
        return weighed._replace(cloud=_moved(cloud, found), n_missed=0, placed_s=placed_s)
    if particles.n_missed + 1 < LOST_AFTER:
        return weighed._replace(n_missed=particles.n_missed + 1)
    lost = _in_the_air(laws, _unsure(cloud, sight), fix)
    around_m2 = off_middle_m2(laws, lost)
    after = _moved(lost, conditioned(frame, lost, sight, around_m2, always=True))
    return particles._replace(cloud=after, n_missed=0, placed_s=placed_s)


def _sight(laws: Laws, fix: Placed | High) -> Sight:
    """Return a fix in the frame of the launch, and how likely it is right."""
    frame, log_wild, up_sd_m = laws.movers.scene.frame, _LOG_WILD, fix.sd_m
    north_rad = east_rad = level_m2 = math.nan
    if isinstance(fix, Placed):
        log_wild, up_sd_m = log_wild + _LOG_LEVEL, fix.amsl_sd_m
        north_rad = math.radians(fix.lat_deg) - frame.lat_rad
        east_rad = math.remainder(math.radians(fix.lon_deg) - frame.lon_rad, 2.0 * math.pi)
        level_m2 = fix.sd_m**2
    return Sight(
        north_rad=north_rad,
        east_rad=east_rad,
        amsl_m=math.nan if fix.amsl_m is None else fix.amsl_m,
        level_m2=level_m2,
        up_m2=up_sd_m**2,
        log_sound=_LOG_SOUND,
        log_wild=log_wild if fix.amsl_m is None else log_wild + _LOG_UP,
    )


def _moved(cloud: Cloud, found: Conditioned) -> Cloud:
    """Return particles where a fix has put them."""
    return cloud._replace(
        amsl_m=found.amsl_m,
        north_rad=found.north_rad,
        east_rad=found.east_rad,
        off_mps=found.off_mps,
        spread=found.spread,
    )


def _unsure(cloud: Cloud, sight: Sight) -> Cloud:
    """Return particles that could be as far off as they are, where something was seen."""
    spread = cloud.spread.copy()
    for block, seen, wild_m in (
        (_LEVEL, sight.north_rad, WILD_M[0]),
        (_UP, sight.amsl_m, WILD_M[2]),
    ):
        if not math.isnan(seen):
            spread[:, block, 0] = wild_m**2
            spread[:, block, 1] = 0.0
    return cloud._replace(spread=spread)


def _in_the_air(laws: Laws, cloud: Cloud, fix: Placed | High) -> Cloud:
    """Return what lies on the ground falling again, if a fix has it in the air."""
    high_m = fix.amsl_m
    is_up = high_m is not None and high_m > laws.movers.flat_amsl_m + _UP_AGAIN_M
    down = (cloud.story == GROUND) & is_up
    return cloud._replace(
        story=np.where(down, cloud.was, cloud.story), down_s=np.where(down, np.nan, cloud.down_s)
    )
