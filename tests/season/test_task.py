"""Task: its cells by number, and the stands of one ground never taken for those of another."""

from dataclasses import replace

from farglide.earth.state import place_of
from farglide.season.flown import Wanted
from farglide.season.places import compared_spots
from farglide.season.task import Task, done

from .made import GRAIN, world

SORTIE = world().flight.sortie
SPOTS = compared_spots(SORTIE, None, None)[:1]


def task(neck_kg: float = 2.1) -> Task:
    wanted = Wanted(SORTIE.launch.t_s, place_of(SORTIE.launch), (neck_kg,))
    return Task(wanted=wanted, spots=SPOTS, numbers=(7,), grain=GRAIN)


def test_cells_have_the_numbers_of_their_spots_and_repeat() -> None:
    found = done(world(), task())
    assert [one.spot for one in found.cells] == [7]
    assert found == done(world(), task())
    assert not found.left_out


def test_flat_ground_hears_otherwise_than_hills() -> None:
    assert world().terrain is not None
    flat = replace(world(), terrain=None)
    assert done(flat, task()) != done(world(), task())
    assert done(flat, task()) != done(world(), task())


def test_what_is_refused_is_left_out_with_its_reason() -> None:
    found = done(world(), task(1e6))
    assert found.cells == ()
    assert "volume" in found.left_out or "neck" in found.left_out or "kg" in found.left_out
