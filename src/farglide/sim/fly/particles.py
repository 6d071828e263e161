"""Particles: what a glider may be after its release, as many particles, and by what they move."""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray, IntArray
from farglide.atlas.posts import Posts
from farglide.glider.wing import Polar
from farglide.sim.core.release import Goals
from farglide.sim.core.scene import Scene, Swarm
from farglide.sim.core.tracks import Tracks
from farglide.sim.reach.speeds import Speeds

CARRIED: Final = np.int64(0)  # a bare 0 is a type of its own to the compiler
FLOATING: Final = np.int64(1)
GLIDING: Final = np.int64(2)
HANDS_OFF: Final = np.int64(3)
SPIRAL: Final = np.int64(4)
SPIN: Final = np.int64(5)
TANGLED: Final = np.int64(6)
GROUND: Final = np.int64(7)
N_STORIES: Final = 8
DROPPING: Final = np.int64(8)
"""The row of `Noise` of what was let go and does not make way yet, whatever its story."""
N_NOISES: Final = 9
DIVES: Final = np.int64(0)
SPIRALS: Final = np.int64(1)
CIRCLES: Final = np.int64(2)
N_DOWN_WAYS: Final = 3
SETTLED_MPS: Final = 1e9
"""The speed of a fall that has none to gather any more."""


class Noise(NamedTuple):
    """How far each story's speed may be off its law, (N_NOISES,), and how long that lasts.

    The error of a speed hangs together as exp(-t / holds_s). Its deviation is `fixed_mps`, and
    `ratio` times the airspeed (level) or the sink (upward).
    """

    level_mps: FloatArray
    level_ratio: FloatArray
    up_mps: FloatArray
    up_ratio: FloatArray
    holds_s: FloatArray


class Floats(NamedTuple):
    """How each draw's balloon ends that climbs no more, (n_draws,).

    One that leaks sinks ever faster: the square of its sink grows by `leak_m2ps3` each second; 0
    for none. `burst_s`: after the launch, NaN for never.
    """

    leak_m2ps3: FloatArray
    burst_s: FloatArray


class Movers(NamedTuple):
    """By what particles move: the air of each draw, its balloon, how its glider glides and sinks.

    `burst_s` (n_draws,) NaN for never; `sink_eas_mps`, `thin_exponent` (4, n_draws): of hands-off,
    spiral, spun and tangled falls.
    """

    scene: Scene
    swarm: Swarm
    tracks: Tracks
    burst_s: FloatArray
    sink_eas_mps: FloatArray
    thin_exponent: FloatArray
    polar: Polar
    speeds: Speeds
    glide_factor: FloatArray
    goals: Goals
    ground: Posts
    flat_amsl_m: float  # where the ground is not known
    noise: Noise
    floats: Floats


class Cloud(NamedTuple):
    """Particles, arrays (n,): what each is, whose air it is in, where it is and how it moves.

    `factor`: so many times as fast as its draw it sinks; `speed_mps`: of a fall that gathers speed,
    and the sink of a balloon that leaks;
    `down_way`: how it flies off its height over its field: straight on as fast as it may (DIVES),
    in steep spirals (SPIRALS) or flat (CIRCLES); `over`: 1 while it does so, else 0;
    `drop_s`: how long it takes until it makes way, and `drop` (n, 4) how, see `sim.fly.drops`:
    what has longer to go than that drop lasts still hangs on its line;
    `off_mps` (n, 3): how far its speed to east, north and up is off the law, as far as known;
    `spread` (n, 2, 3): level and upward, the variances of place and speed and between them the
    covariance, as (place, both, speed).
    """

    story: IntArray
    was: IntArray  # the story in the air, of what is on the ground
    draw: IntArray
    goal: IntArray
    down_way: IntArray
    over: IntArray
    factor: FloatArray
    amsl_m: FloatArray
    north_rad: FloatArray
    east_rad: FloatArray
    speed_mps: FloatArray
    drop_s: FloatArray
    heading_rad: FloatArray  # of the nose; NaN for what goes round or hangs
    down_s: FloatArray  # after the launch; NaN in the air
    off_mps: FloatArray
    spread: FloatArray
    drop: FloatArray
