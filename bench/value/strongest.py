"""Strongest: the fastest wind told, drawn and come, below the stratosphere, over all places."""

from collections.abc import Iterable
from typing import Final, NamedTuple

import numpy as np

from bench.value.places import Pair, home_sortie
from bench.value.rules import drawn_for
from farglide.chances.making import air_of
from farglide.sortie.grain import Grain

TO_M: Final = 16_000.0


class Strongest(NamedTuple):
    """The fastest winds of one place below `TO_M`, m/s, and the share of draws below what came."""

    told_mps: float
    came_mps: float
    drawn_mps: float  # of the middle draw
    below_ratio: float


def strongest(pair: Pair) -> Strongest:
    """Return the fastest winds of a place."""
    sortie = home_sortie(pair)
    ensemble = drawn_for(sortie, pair)
    told, came = ensemble.air.scene.layers, air_of(sortie, pair.truth, Grain()).scene.layers
    n = int((TO_M - told.base_amsl_m) / told.step_m)
    swarm = ensemble.draws.swarm
    east = (told.u_mps[0] + swarm.out_east_mps)[:, :n]
    north = (told.v_mps[0] + swarm.out_north_mps)[:, :n]
    drawn = np.hypot(east, north).max(axis=1)
    most = [float(np.hypot(one.u_mps[0], one.v_mps[0])[:n].max()) for one in (told, came)]
    return Strongest(*most, float(np.median(drawn)), float((drawn < most[1]).mean()))


def strongest_rows(pairs: Iterable[Pair]) -> list[str]:
    """Return the means over places: a right doubt draws what came, half of it below."""
    told, came, drawn, below = np.mean([strongest(pair) for pair in pairs], axis=0)
    return [
        f"The fastest wind below {TO_M / 1e3:.0f} km, mean over places: told {told:.1f} m/s, "
        f"came {came:.1f} m/s,",
        f"of the middle draw {drawn:.1f} m/s; {below:.2f} of the draws lie below what came.",
    ]
