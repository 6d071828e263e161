"""As flown: a sortie as the crew's entries have it: launch, fields, fill and roads."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Final

from farglide.errors import InputError
from farglide.live.ride.task import Entered, Task
from farglide.rig.listening import LAUNCH, drive_between_s
from farglide.sortie.known import Known
from farglide.sortie.roads import Road
from farglide.sortie.spec import SECOND_CREW, Sortie
from farglide.track.typed.entries import AtStand, NeckLift, RoadClosed

WEIGHED_SD_KG: Final = 0.02
"""Of a lift weighed at the neck out of the wind, the mean of three readings: common practice."""


def as_flown(sortie: Sortie, task: Task) -> Sortie:
    """Return the sortie of a task: at its launch, without refused fields, with its fill and roads.

    A weighing is counted once, the last one: its normal law by that of the flight file's own fill.
    Raises InputError where all fields are refused.
    """
    fields = tuple(one for one in sortie.fields if one.name not in task.refused)
    if not fields:
        raise InputError("fields", "all refused", "one or more", "Take one back: undo.")
    balloon, kg = sortie.balloon, weighed_kg(task.entries)
    if kg is not None:
        balloon = replace(balloon, neck_lift_kg=_weighed(balloon.neck_lift_kg, kg))
    roads = (*sortie.roads, *roads_typed(task.entries))
    flown = replace(sortie, launch=task.launch, fields=fields, balloon=balloon, roads=roads)
    return _with_car(flown, task)


def _with_car(sortie: Sortie, task: Task) -> Sortie:
    """Return the sortie with its stands manned from where the crew said it is, from then on.

    Where it is, it is set up; elsewhere it is no sooner than by the drive from there.
    """
    told = [(one.t_s, one.entry.stand) for one in task.entries if isinstance(one.entry, AtStand)]
    t_s, name = told[-1] if told else (0.0, "")
    here = next((one for one in sortie.stands if one.name == name), None)
    if here is None:
        return sortie
    since_s = max(t_s - task.launch.t_s, 0.0)
    stands = tuple(
        one if one.crew == SECOND_CREW
        else replace(one, drive_s=0.0) if one is here
        else replace(one, drive_s=since_s + drive_between_s(sortie, here, one))
        for one in sortie.stands
    )  # fmt: skip
    roads = tuple(one for one in sortie.roads if LAUNCH not in (one.start, one.end))
    return replace(sortie, stands=stands, roads=roads)


def _weighed(told: Known, kg: float) -> Known:
    """Return a fill after its weighing; one told without an error was an order, no measurement."""
    if told.sd == 0.0:
        return Known(value=kg, sd=WEIGHED_SD_KG)
    return told.measured(kg, WEIGHED_SD_KG)


def weighed_kg(entries: Iterable[Entered]) -> float | None:
    """Return the neck lift that was weighed last; None for none."""
    found = [one.entry.kg for one in entries if isinstance(one.entry, NeckLift)]
    return found[-1] if found else None


def roads_typed(entries: Iterable[Entered]) -> tuple[Road, ...]:
    """Return the roads that are closed or longer, in the order in which that was typed."""
    return tuple(
        Road(start=one.entry.start, end=one.entry.end, longer_s=one.entry.longer_s)
        for one in entries
        if isinstance(one.entry, RoadClosed)
    )
