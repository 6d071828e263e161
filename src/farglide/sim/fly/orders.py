"""Orders: what a whole flight begins with, what its crew does, and how it ends."""

from typing import NamedTuple

import numpy as np

from farglide.arrays import BoolArray, FloatArray, IntArray
from farglide.sim.core.losses import Fleet
from farglide.sim.core.scene import (
    Balloon,
)
from farglide.sim.core.states import CLIMBING, GLIDING
from farglide.sim.fly.climb import (
    Aloft,
)
from farglide.sim.fly.homing import Goal
from farglide.sim.reach.speeds import Speeds


class Orders(NamedTuple):
    """What the crew does, the same in every draw."""

    release_s: float  # after the launch; a burst before sends the release at once
    goal: Goal
    best_eas_mps: float  # at which the glide begins
    remains_area_m2: float  # C_d A near the ground of balloon remains and glider, tied together
    release_amsl_m: float = np.inf  # or at this height, whichever comes first


class Gear(NamedTuple):
    """What flies, the speeds flown on the way home, and how soon each crew lets go of remains."""

    balloon: Balloon
    fleet: Fleet
    speeds: Speeds
    reaction_s: FloatArray  # (n_draws,)


class Begins(NamedTuple):
    """Where each draw's flight goes on from, first axis the draw."""

    phase: IntArray  # CLIMBING, FALLING with the remains, or GLIDING
    states: FloatArray  # (n_draws, 4): time, height and offsets; NaN for none
    gas_kg: FloatArray  # left in a climbing balloon
    fall_mps: FloatArray  # of what is tied on and falls


class Ends(NamedTuple):
    """How each flight went, shape (n_draws,)."""

    burst: BoolArray  # before the release
    release_s: FloatArray  # NaN where nothing was released
    release_amsl_m: FloatArray
    level_amsl_m: FloatArray
    peak_mach: FloatArray
    over_field_amsl_m: FloatArray  # where it came to stay; NaN where it is not over the field
    over_field_s: FloatArray
    landed_s: FloatArray
    north_rad: FloatArray
    east_rad: FloatArray


class Log(NamedTuple):
    """Where one flight was at the end of each march; without room it keeps nothing."""

    rows: FloatArray  # (n, 5): time, height, offsets, phase
    n: IntArray  # (1,): how many are filled


def climbing(aloft: Aloft) -> Begins:
    """Return the begins of flights whose balloons climb."""
    n = len(aloft.gas_kg)
    return Begins(np.full(n, CLIMBING), aloft.states, aloft.gas_kg, np.zeros(n))


def gliding(states: FloatArray) -> Begins:
    """Return the begins of flights whose gliders are level."""
    n = len(states)
    return Begins(np.full(n, GLIDING), states, np.zeros(n), np.zeros(n))
