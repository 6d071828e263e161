"""Executors: who does the tasks of a comparison: this process, others on this machine, a cluster.

Each task is done by itself from the same seed, so no result changes with who does it.
"""

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from multiprocessing import get_context

from farglide.season.task import Done, Task, done
from farglide.season.world import World
from farglide.sim.core.workers import Workers, in_one_go

Doing = Callable[[World, Sequence[Task]], Iterator[tuple[int, Done]]]
"""Yields the number of each task with what came of it, in any order."""


def here(workers: Workers = in_one_go) -> Doing:
    """Return what does the tasks one after the other, each on these workers."""

    def doing(world: World, tasks: Sequence[Task]) -> Iterator[tuple[int, Done]]:
        for number, task in enumerate(tasks):
            yield number, done(world, task, workers)

    return doing


def in_processes(n: int) -> Doing:
    """Return what does the tasks in some processes of this machine, each on one core."""

    def doing(world: World, tasks: Sequence[Task]) -> Iterator[tuple[int, Done]]:
        context = get_context("spawn")  # a fork would copy locks that other threads hold
        with ProcessPoolExecutor(
            n, mp_context=context, initializer=_begin, initargs=(world,)
        ) as pool:
            asked = {pool.submit(_done, task): number for number, task in enumerate(tasks)}
            for future in as_completed(asked):
                yield asked[future], future.result()

    return doing


_world: list[World] = []


def _begin(world: World) -> None:
    """Keep the world in a process that does tasks: it is sent once, not with each of them."""
    _world[:] = [world]


def _done(task: Task) -> Done:
    return done(_world[0], task)
