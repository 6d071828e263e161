"""Flown: shifted draws give what a launch from the spot itself gives."""

import numpy as np
import pytest

from farglide.earth.state import Place, place_of
from farglide.rig.listening import listening_of
from farglide.season.cell import cell_of
from farglide.season.flown import Wanted, asked_from, ensembles
from farglide.season.places import Lattice, anchors_of, compared_spots
from farglide.season.world import World
from farglide.sim.core.workers import in_one_go
from farglide.sortie.grain import Grain

from .made import GRAIN, changing, world

SPOTS = compared_spots(world().flight.sortie, None, Lattice(30e3, 45e3))


def chances(made: World, anchor: Place, numbers: tuple[int, ...]) -> list[tuple[float, float]]:
    sortie = made.flight.sortie
    heard = listening_of(sortie, made.terrain)
    wanted = Wanted(sortie.launch.t_s, anchor)
    (one,) = ensembles(made, wanted, Grain(n_draws=100), heard, in_one_go)
    asked = asked_from(one, tuple(SPOTS[k] for k in numbers), sortie)
    cells = [cell_of(each, k) for k, each in zip(numbers, asked, strict=True)]
    return [(each.home_ratio, each.any_field_ratio) for each in cells]


@pytest.mark.parametrize(("east", "later", "most"), [(0.0, 0.0, 0.005), (2.0, 0.5, 0.021)])
def test_draws_shifted_from_an_anchor_give_what_own_draws_give(
    east: float, later: float, most: float
) -> None:
    made = changing(east, later)
    sortie, apart = made.flight.sortie, []
    for anchor in anchors_of(sortie, SPOTS, are_winds_around=True):
        shifted = chances(made, anchor.place, anchor.spots)
        for k, told in zip(anchor.spots, shifted, strict=True):
            own = place_of(SPOTS[k].place, sortie.launch.amsl_m)
            apart.append(np.abs(np.subtract(told, chances(made, own, (k,))[0])))
    assert len(apart) == len(SPOTS)
    assert float(np.max(apart)) <= most


def test_each_fill_is_flown_and_more_gas_climbs_faster() -> None:
    made, launch = world(), world().flight.sortie.launch
    wanted = Wanted(launch.t_s, place_of(launch), (1.9, 2.4))
    slow, fast = ensembles(made, wanted, GRAIN, None, in_one_go)
    assert slow.sortie.balloon.neck_lift_kg.value == 1.9
    assert fast.sortie.balloon.neck_lift_kg.value == 2.4
    when = [float(np.nanmedian(one.climbs.burst.after_launch_s)) for one in (slow, fast)]
    assert when[0] > when[1]


def test_an_older_run_is_doubted_more() -> None:
    made, launch = world(), world().flight.sortie.launch
    doubts = []
    for hours in (6.0, 120.0):
        wanted = Wanted(launch.t_s, place_of(launch), (), launch.t_s - 3600.0 * hours)
        (one,) = ensembles(made, wanted, GRAIN, None, in_one_go)
        doubts.append(one.air.column.doubt.deep_mps)
    assert doubts[0] < doubts[1]


def test_without_a_stand_in_time_nothing_counts() -> None:
    made = world()
    sortie = made.flight.sortie
    far = compared_spots(sortie, None, Lattice(140e3, 150e3))[-1]
    heard = listening_of(sortie, made.terrain)
    wanted = Wanted(sortie.launch.t_s, place_of(sortie.launch))
    (one,) = ensembles(made, wanted, GRAIN, heard, in_one_go)
    (asked,) = asked_from(one, (far,), sortie)
    assert not asked.is_manned
    assert set(asked.counts) == {0.0}
    (deaf,) = ensembles(made, wanted, GRAIN, None, in_one_go)
    (asked,) = asked_from(deaf, (far,), sortie)
    assert asked.is_manned
