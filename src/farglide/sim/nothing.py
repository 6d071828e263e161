"""Nothing: scenes, gliders and draws of no flight, to ask kernels with."""

from collections.abc import Callable
from typing import Final

import numpy as np

from farglide.air.layers import Layers
from farglide.atlas.terrain import flat
from farglide.balloon.ascent import balance_of
from farglide.balloon.bands import N_BANDS
from farglide.balloon.envelope import Envelope
from farglide.glider.release import Drop
from farglide.glider.wing import Wing, polar_of
from farglide.sim.core.airerrors import no_air_errors
from farglide.sim.core.cube import no_cube
from farglide.sim.core.losses import Losses
from farglide.sim.core.release import Goals, Haste, Releases
from farglide.sim.core.scene import Balloon, Scene, Swarm
from farglide.sim.core.states import States
from farglide.sim.core.step import frame_of
from farglide.sim.core.tracks import Tracks
from farglide.sim.fly.particles import N_NOISES, Cloud, Floats, Movers, Noise
from farglide.sim.reach.bearings import N_BEARING
from farglide.sim.reach.drawnglider import DrawnGlider, Limits
from farglide.sim.reach.reaches import Reaches
from farglide.sim.reach.speeds import Speeds, speeds_of
from farglide.sim.reach.straight import Straight

N_LAYERS: Final = 4
N_DRAWS: Final = 0
WING: Final = Wing(0.68, 0.15, 0.17, 5.2, 0.78, 0.034)
DROP: Final = Drop(0.1, 13.0, 2.0, 0.14)
LIMITS: Final = Limits(32.0, 0.5, 0.0)


def no_scene() -> Scene:
    """Return calm air in four layers."""
    ones = [np.ones(N_LAYERS) for _ in range(9)]
    wind = np.zeros((1, N_LAYERS))
    layers = Layers._make([0.0, 100.0, *ones, wind, wind.copy()])
    return Scene(layers, frame_of(45.0, 0.0), no_cube())


def no_straight() -> Straight:
    """Return a table of reach of one draw that gets nowhere."""
    made_m = np.zeros((1, N_LAYERS + 1, N_BEARING), dtype=np.float32)
    beaten_m = np.zeros((1, N_BEARING, 2), dtype=np.float32)
    return Straight(0.0, 100.0, made_m, beaten_m, beaten_m[:, :, 0].copy())


def no_craft() -> DrawnGlider:
    """Return a glider like any other."""
    return DrawnGlider(polar_of(WING), LIMITS, 1.0)


def for_none(work: Callable[[int, int], None], n: int) -> None:
    """Call the work for none of the n."""
    work(0, 0)


def no_speeds() -> Speeds:
    """Return speeds to fly of one price."""
    return speeds_of(no_scene(), no_craft(), np.zeros(1), for_none)


def no_reaches() -> Reaches:
    """Return the tables of one draw."""
    return Reaches(no_straight(), no_straight(), np.ones(1), no_craft(), no_speeds())


def no_swarm(n: int) -> Swarm:
    """Return draws without errors."""
    ones = np.ones(n)
    return Swarm(
        ones, ones, ones, ones, np.ones((n, N_BANDS)), *no_air_errors(n, N_LAYERS), np.arange(n)
    )


def no_releases() -> Releases:
    """Return how none let go."""
    losses = Losses(np.ones((1, 9)), np.ones((1, 9)))
    return Releases(
        no_swarm(1), losses, Haste(np.ones(1), np.zeros(1), np.ones(N_LAYERS), np.ones(1))
    )


def no_states() -> States:
    """Return where no draw is."""
    nowhere = (np.full((1, 1), np.nan) for _ in range(5))
    return States(np.zeros((1, 1), np.uint8), *nowhere)


def no_goals() -> Goals:
    """Return one field at the launch."""
    return Goals(*(np.zeros(1) for _ in range(6)))


def no_balloon() -> Balloon:
    """Return a balloon like any other."""
    envelope = Envelope(1.0, 0.2, 14.0, 0.0, 0.0, 1.4, 6.0, 1.0, 0.0)
    return Balloon(envelope, balance_of(((1e5, 0.3),)), 1.0, np.ones(N_BANDS))


def no_movers() -> Movers:
    """Return by what no particle moves."""
    none = np.ones((4, N_DRAWS))
    tracks = Tracks(30.0, *(np.zeros((N_DRAWS, 3)) for _ in range(5)))
    noise = Noise(*(np.ones(N_NOISES) for _ in range(5)))
    return Movers(
        no_scene(), no_swarm(N_DRAWS), tracks, np.ones(N_DRAWS), none, none, polar_of(WING),
        no_speeds(), np.ones(N_DRAWS), no_goals(), flat(0.0).posts, 0.0, noise,
        Floats(np.zeros(N_DRAWS), np.ones(N_DRAWS)),
    )  # fmt: skip


def no_cloud() -> Cloud:
    """Return no particles."""
    codes, numbers = [np.zeros(0, np.int64) for _ in range(6)], [np.zeros(0) for _ in range(8)]
    wide = [np.zeros((0, 3)), np.zeros((0, 2, 3)), np.zeros((0, 4))]
    return Cloud._make([*codes, *numbers, *wide])
