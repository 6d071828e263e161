"""Compared: launch times x spots x fills of one flight, asked, put in order, and told."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import isfinite

from farglide.air.sounding import Sounding
from farglide.earth.clock import day_clock_text
from farglide.earth.state import place_of
from farglide.errors import ContradictionError, InputError
from farglide.outlook.season import ComparedSpot, Early, SeasonCell, SeasonOutlook
from farglide.season.early import asked_again, look_again
from farglide.season.executors import Doing
from farglide.season.flown import Wanted
from farglide.season.places import Anchor, Lattice, anchors_of, compared_spots
from farglide.season.ranked import changes, ranked
from farglide.season.task import Done, Task
from farglide.season.world import World
from farglide.sortie.grain import Grain

Told = Callable[[int, int], None]
"""Is told how many tasks are done, of how many."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """What is compared. `necks_kg`: empty for the fill of the flight file alone."""

    times_s: tuple[float, ...]
    lattice: Lattice | None
    necks_kg: tuple[float, ...]
    grain: Grain


def compared(
    world: World, choice: Choice, doing: Doing, told: Told = lambda n, of: None
) -> SeasonOutlook:
    """Return launches compared, the best first. Raises ContradictionError and InputError."""
    sortie = world.flight.sortie
    if not sortie.fields:
        raise ContradictionError(
            "Nothing to compare: the flight file states no field.", "State one in [[fields]]."
        )
    for one in choice.necks_kg:
        _check_lifts(one, sortie.hanging_kg)
    air = world.winds(place_of(sortie.launch), choice.times_s[0])
    spots = compared_spots(sortie, world.terrain, choice.lattice)
    tasks = _tasks(choice, spots, anchors_of(sortie, spots, air.around is not None))
    found = _done_in_order(world, tasks, doing, told)
    outlook = _empty(world, choice, air, spots, _left_out(world, tasks, found))
    outlook = replace(outlook, cells=ranked(outlook, (c for one in found for c in one.cells)))
    early = _early(world, outlook, tasks, doing)
    outlook = replace(outlook, early=tuple(early))
    return replace(outlook, changes=tuple(changes(outlook)))


def _check_lifts(neck_kg: float, hanging_kg: float) -> None:
    if not neck_kg > hanging_kg:
        allowed = f"more than the {hanging_kg:.2f} kg that hang below it"
        raise InputError("neck lift", f"{neck_kg:g} kg", allowed, "Else it does not climb.")


def _tasks(
    choice: Choice, spots: tuple[ComparedSpot, ...], anchors: Sequence[Anchor]
) -> list[Task]:
    return [
        Task(
            wanted=Wanted(t_s, anchor.place, choice.necks_kg),
            spots=tuple(spots[k] for k in anchor.spots),
            numbers=anchor.spots,
            grain=choice.grain,
        )
        for t_s in choice.times_s
        for anchor in anchors
    ]


def _done_in_order(world: World, tasks: Sequence[Task], doing: Doing, told: Told) -> list[Done]:
    found: dict[int, Done] = {}
    told(0, len(tasks))
    for number, one in doing(world, tasks):
        found[number] = one
        told(len(found), len(tasks))
    return [found[number] for number in range(len(tasks))]


def _left_out(world: World, tasks: Sequence[Task], found: Sequence[Done]) -> tuple[str, ...]:
    """Return which spots could not be asked, when, and why; alike reasons of more times once."""
    zone, times = world.flight.sortie.launch.zone, dict[tuple[str, str], list[float]]()
    for task, one in zip(tasks, found, strict=True):
        if one.left_out:
            times.setdefault((_spots_words(task), one.left_out), []).append(task.wanted.launch_t_s)
    told = []
    for (spots, why), at_s in times.items():
        more = f" and {len(at_s) - 1} later" if len(at_s) > 1 else ""
        told.append(f"{spots}, {day_clock_text(at_s[0], zone)}{more}: {why}")
    return tuple(told)


def _spots_words(task: Task) -> str:
    names = [one.name for one in task.spots]
    return names[0] if len(names) == 1 else f"{names[0]} and {len(names) - 1} near it"


def _empty(
    world: World,
    choice: Choice,
    air: Sounding,
    spots: tuple[ComparedSpot, ...],
    left_out: tuple[str, ...],
) -> SeasonOutlook:
    sortie = world.flight.sortie
    return SeasonOutlook(
        name=sortie.name,
        zone=sortie.launch.zone,
        bring_to=sortie.wish.bring_to,
        wanted_amsl_m=sortie.wish.wanted_amsl_m,
        enough_ratio=sortie.wish.enough_ratio,
        ground_wind_limit_mps=sortie.wish.ground_wind_limit_mps,
        n_draws=choice.grain.n_draws,
        seed=choice.grain.seed,
        wind_origin=air.origin,
        run_t_s=air.run_t_s if isfinite(air.run_t_s) else None,
        spots=spots,
        cells=(),
        early=(),
        changes=(),
        left_out=left_out,
        notes=tuple(dict.fromkeys(air.notes)),
    )


def _early(
    world: World, outlook: SeasonOutlook, tasks: Sequence[Task], doing: Doing
) -> list[Early]:
    """Return the launch times whose best cell a later forecast may open."""
    best: dict[float, SeasonCell] = {}
    for cell in outlook.cells:
        best.setdefault(cell.launch_t_s, cell)
    run_s = float("nan") if outlook.run_t_s is None else outlook.run_t_s
    found = []
    for t_s, cell in sorted(best.items()):
        now = outlook.chance(cell)
        task = next(one for one in tasks
                    if one.wanted.launch_t_s == t_s and cell.spot in one.numbers)  # fmt: skip
        again = [] if now >= outlook.enough_ratio else asked_again(task, cell, run_s)
        later = [
            (task.wanted.run_t_s or 0.0, max(outlook.chance(one) for one in each.cells))
            for task, each in zip(again, _done_in_order(world, again, doing, _nobody), strict=True)
            if each.cells
        ]
        told = look_again(cell, now, later, outlook.enough_ratio)
        found += [] if told is None else [told]
    return found


def _nobody(n: int, of: int) -> None:
    """Tell nobody."""
