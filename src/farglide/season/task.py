"""Task: one launch time from one anchor, the piece that a comparison is split into."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from farglide.errors import InputError
from farglide.outlook.season import ComparedSpot, SeasonCell
from farglide.rig.listening import Listening, listening_of
from farglide.season.cell import cell_of
from farglide.season.flown import Wanted, asked_from, ensembles
from farglide.season.world import World
from farglide.sim.core.workers import Workers, in_one_go
from farglide.sortie.grain import Grain


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """What is computed in one go: whoever does it needs the world beside it, and nothing else."""

    wanted: Wanted
    spots: tuple[ComparedSpot, ...]
    numbers: tuple[int, ...]  # of these spots
    grain: Grain


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """The cells of a task, or why it could not be asked."""

    cells: tuple[SeasonCell, ...] = ()
    left_out: str = ""


def done(world: World, task: Task, workers: Workers = in_one_go) -> Done:
    """Return the cells of a task; the same whoever does it.

    Winds that do not hold the flight leave it out, and say why.
    """
    listening = _heard(_Heard(world))
    try:
        return Done(cells=tuple(_cells(world, task, listening, workers)))
    except InputError as error:
        return Done(left_out=str(error))


def _cells(
    world: World, task: Task, listening: Listening | None, workers: Workers
) -> Iterator[SeasonCell]:
    for ensemble in ensembles(world, task.wanted, task.grain, listening, workers):
        asked = asked_from(ensemble, task.spots, world.flight.sortie)
        for number, one in zip(task.numbers, asked, strict=True):
            yield cell_of(one, number)


class _Heard:
    """The stands of a flight over its ground, by which flight and ground it is."""

    def __init__(self, world: World) -> None:
        self.world = world

    def __hash__(self) -> int:
        return hash(self.world.flight.path)

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, _Heard):
            return False
        mine, its = self.world, other.world
        return mine.terrain is its.terrain and mine.flight == its.flight


@lru_cache(maxsize=2)  # fans of the ground round the stands: a tenth of a second, always the same
def _heard(key: _Heard) -> Listening | None:
    return listening_of(key.world.flight.sortie, key.world.terrain)
