"""Executors: each task is done once, and numbered as it was asked."""

from farglide.earth.state import place_of
from farglide.season.executors import here, in_processes
from farglide.season.flown import Wanted
from farglide.season.places import compared_spots
from farglide.season.task import Task

from .made import GRAIN, world

SORTIE = world().flight.sortie
TASKS = [
    Task(
        wanted=Wanted(SORTIE.launch.t_s + 600.0 * k, place_of(SORTIE.launch), (2.1,)),
        spots=compared_spots(SORTIE, None, None)[:1],
        numbers=(0,),
        grain=GRAIN,
    )
    for k in range(3)
]


def test_whoever_does_them_each_task_is_done_once() -> None:
    alone = dict(here()(world(), TASKS))
    shared = dict(in_processes(2)(world(), TASKS))
    assert sorted(alone) == sorted(shared) == [0, 1, 2]
    assert alone == shared
    assert len({one.cells[0].launch_t_s for one in alone.values()}) == 3
    assert dict(here()(world(), [])) == {}
