"""Ride tasks: what a ride asks of kernels beside a plan, asked of nothing, to be compiled."""

from typing import Final

import numpy as np

from farglide.balloon.burst import Bursting
from farglide.sim.core.shares import burst_shares_since
from farglide.sim.fly.climb import Clock, climb
from farglide.sim.fly.conditioned import Sight, conditioned
from farglide.sim.fly.others import Bounds, Tries, strains, tried
from farglide.sim.fly.rising import rises_mps
from farglide.sim.fly.stories import moved
from farglide.sim.nothing import (
    N_DRAWS,
    N_LAYERS,
    no_balloon,
    no_cloud,
    no_goals,
    no_movers,
    no_reaches,
    no_releases,
    no_scene,
    no_states,
    no_swarm,
)
from farglide.sim.reach.doors import floors_of
from farglide.sim.reach.spares import spares
from farglide.sim.tasks import Task


def particles() -> None:
    """Compile what moves and weighs the stories of a glider after its release."""
    movers, nobody = no_movers(), no_cloud()
    moved(movers, nobody, 0.0, 1.0)
    sink_mps, codes, numbers = np.ones(N_LAYERS), np.zeros(0, np.int64), np.zeros(0)
    conditioned(movers.scene.frame, nobody, Sight(0.0, 0.0, 0.0, 1.0, 1.0, 0.0, 0.0), numbers)
    none = np.zeros(0, np.bool_)
    tries = Tries(none, codes, none, numbers, numbers, numbers, codes, numbers, codes)
    tried(movers, sink_mps, nobody, tries, Bounds(1.0, 1.0, 1.0))
    strains(movers, sink_mps, nobody)


def balloons_onward() -> None:
    """Compile what is asked of a balloon that is in the air: its bursts, and what leaks do."""
    scene, balloon, law = no_scene(), no_balloon(), Bursting(6.0, 0.3, 0.03, 1.5)
    rises_mps(scene, balloon, np.full(1, 100.0), np.ones(1))
    climbed = climb(scene, no_swarm(N_DRAWS), balloon, Clock(0.0, 30.0, 60.0))
    burst_shares_since(climbed.tracks, np.zeros(N_DRAWS), law)


def heights_to_spare() -> None:
    """Compile how much height a glider has over its fields."""
    scene, releases, reaches = no_scene(), no_releases(), no_reaches()
    spares(scene, releases, no_states(), reaches, floors_of(scene, releases, reaches, no_goals()))


RIDE_TASKS: Final = (
    Task(balloons_onward, 0.05),
    Task(heights_to_spare, 0.06),
    Task(particles, 0.10),
)
"""What is compiled for a ride beside: the first tables of the day wait for no compiler."""
