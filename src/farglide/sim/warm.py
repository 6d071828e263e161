"""Warm: compiles the kernels of a plan without flying anything, in two halves for two processes."""

from typing import Final

import numpy as np

from farglide.air.column import Layers
from farglide.air.doubt import Knots
from farglide.balloon.ascent import Envelope, balance_of
from farglide.fall import Story, StoryKind
from farglide.glider.polar import Air, Wing, polar_of, speed_to_fly, steady_glide
from farglide.glider.release import Drop, _pull_out
from farglide.sim.climb import Balloon, Scene, Swarm, Tracks, climb
from farglide.sim.descend import descend
from farglide.sim.doors import Goals, Haste, Ways, _begin, doors, floors_of
from farglide.sim.flight import Craft, Orders, fly
from farglide.sim.losses import Losses, drop_losses
from farglide.sim.odds import burst_shares
from farglide.sim.passage import Turn, Way, aim, descent_s, east_north_m, fly_way
from farglide.sim.prepass import N_REYNOLDS, Rise, glide_of
from farglide.sim.reach import FREE, N_TERM, Reach, sum_reach
from farglide.sim.rose import support_between
from farglide.sim.step import _apart, _layer_index, frame_of
from farglide.sim.support import Limits, Support, tabulate

_N: Final = 4  # layers, and knots
_NONE: Final = 0  # draws


def _scene() -> Scene:
    ones = [np.ones(_N) for _ in range(9)]
    wind = np.zeros((1, _N))
    layers = Layers._make([0.0, 100.0, *ones, wind, wind.copy(), np.ones(_N)])
    knots = Knots(np.zeros(_N, dtype=np.int64), np.ones(_N), np.zeros(_N))
    return Scene(layers, knots, frame_of(45.0, 0.0), 0.0)


def _swarm(n: int) -> Swarm:
    return Swarm(*(np.ones(n) for _ in range(4)), *(np.zeros((n, _N)) for _ in range(3)))


def compile_climb_and_reach() -> None:
    """Compile climbs, pull-outs, support and reach tables."""
    scene, polar = _scene(), polar_of(Wing(0.68, 0.15, 0.17, 5.2, 0.78, 0.034))
    envelope = Envelope(1.0, 0.2, 14.0, 0.0, 0.0, 1.4, 6.0, 1.0, 0.0)
    balloon = Balloon(envelope, balance_of(((1e5, 0.3),)), 1.0)
    tracks, _ = climb(scene, _swarm(_NONE), balloon, (0.0, 30.0, 60.0))
    burst_shares(tracks, 6.0, 0.3)
    limits, drop = Limits(32.0, 0.5, 0.0), Drop(0.1, 13.0, 2.0, 0.14)
    nobody = np.ones(_NONE)
    drop_losses(scene.layers, (polar, drop), (nobody, nobody), 11.0)
    _pull_out((polar, drop, 1.0), scene.layers, 1.0, 11.0)
    support = Support(1.0, 1.0, np.ones((_N, 2, 2)), np.ones((_N, 2, 2)))
    sum_reach(scene, support, (_swarm(_NONE), nobody), FREE)
    tabulate(scene.layers._replace(tas_per_eas=np.ones(_N)), polar, limits, (0.9, 1.1))


def compile_doors_and_passages() -> None:
    """Compile doors and the single glides of an answer."""
    scene, polar = _scene(), polar_of(Wing(0.68, 0.15, 0.17, 5.2, 0.78, 0.034))
    air = Air(1.225, 1.8e-5, 1.0)
    steady_glide(polar, speed_to_fly(polar, air, 32.0), air)
    one = _swarm(1)
    losses = Losses(np.ones((1, 9)), np.ones((1, 9)))
    haste = Haste(np.ones(1), np.zeros(1), np.ones(_N), np.ones(1))
    reach = Reach(0.0, 100.0, np.zeros((1, _N + 1, N_TERM), dtype=np.float32))
    ways = Ways(reach, reach, np.ones(1))
    goals = Goals(*(np.zeros(1) for _ in range(4)))
    tracks = Tracks(30.0, *(np.full((1, 1), np.nan) for _ in range(4)))
    moments = np.zeros(1, dtype=np.int64)
    doors(scene, (one, losses, haste), (tracks, moments), ways, (goals, floors_of(ways, goals)))
    _begin(scene, one, losses, haste, (0, 100.0, 0.0, 0.0))
    aim(reach, (300.0, 100.0), (0.0, 0.0))
    support_between(reach, (300.0, 100.0))
    limits = Limits(32.0, 0.5, 0.0)
    fly_way(scene, (polar, limits, 1.0), Way(1.0, 0.0, 0.0), (100.0, 0.0, 0.0, 0.0), 100.0)
    descent_s(scene, (polar, limits, 1.0), (100.0, 100.0), Turn())
    east_north_m(scene, 0.0, 0.0)
    layered = [np.ones(_N) for _ in range(5)]
    rise = Rise._make([*layered, 0.0, 1.0, np.ones(N_REYNOLDS)])
    envelope = Envelope(1.0, 0.2, 14.0, 0.0, 0.0, 1.4, 6.0, 1.0, 0.0)
    balloon = Balloon(envelope, balance_of(((1e5, 0.3),)), 1.0)
    nobody = np.ones(_NONE)
    craft = Craft(polar, Drop(0.1, 13.0, 2.0, 0.14), nobody, nobody, nobody)
    orders = Orders(0.0, 0.0, 0.0, 0.0, 1.1, 11.0, 32.0, 11.0, 0.2)
    glide = glide_of(scene.layers, polar, limits, 1.0)
    fly(scene, (rise, glide), _swarm(_NONE), (balloon, craft, 0.0), orders)
    story = Story(kind=StoryKind.SPIN, sink_eas_mps=10.0)
    descend(scene, _swarm(_NONE), (story, 0.0), np.zeros((0, 4)))
    _apart(scene.frame, (0.0, 0.0), (0.0, 0.0))
    _layer_index(scene.layers, 1.0)
