"""Carried: a flight as a ride has it while its balloon carries it, ready for one question."""

from dataclasses import replace

from farglide.chances.ensemble import Ensemble
from farglide.chances.graded import with_grades
from farglide.live.asked.moment import Told
from farglide.live.asked.situation import Situation
from farglide.live.asking import as_planned, asked_at, by_plan, place_sd_m, situation_of, thinned
from farglide.live.ride.asflown import as_flown, roads_typed
from farglide.live.ride.reading import READ, graded_of, read_of
from farglide.live.ride.slow import Flight, left_hand
from farglide.live.ride.state import Ride
from farglide.live.ride.task import Task
from farglide.sortie.words import km_text
from farglide.track.passage import Launched, been_of
from farglide.track.read import NOTHING, Read
from farglide.track.reports import Fix
from farglide.track.typed.entries import Overlay


def task_at(flight: Flight, ride: Ride, now_t_s: float) -> Task:
    """Return what is known of a flight at a moment, UTC; its launch is that of the sortie."""
    points = tuple(one for one in ride.points if one.t_s is not None and one.t_s <= now_t_s)
    return Task(
        number=0,
        launch=flight.sortie.launch,
        refused=(),
        fixes=thinned(one for one in ride.fixes() if one.t_s is not None and one.t_s <= now_t_s),
        now_t_s=now_t_s,
        points=points,
        entries=tuple(
            one for one in ride.entries if one.t_s <= now_t_s and isinstance(one.entry, READ)
        ),
    )


def carried(flight: Flight, task: Task, told: Told) -> tuple[Situation, tuple[str, ...]]:
    """Return a flight as all that was heard and typed has made it, and what is to be said of that.

    Raises InputError where no balloon could still be climbing.
    """
    sortie = as_flown(flight.sortie, task)
    planned = as_planned(sortie, flight.pack, flight.grain, flight.workers)
    read, notes = read_of(task, sortie, place_sd_m(task.fixes)), tuple[str, ...]()
    fixes = task.fixes
    if not fixes:
        fixes, read, notes = _begun(planned, task, read)
    been = been_of(fixes, Launched(utc_s=task.launch.t_s), planned.air.scene)
    planned, picture = with_grades(planned, graded_of(task, sortie, been))
    told = replace(told, roads=roads_typed(task.entries))
    found = situation_of(asked_at(planned, fixes, task.now_t_s, read), flight.pack.terrain, told)
    return replace(found, advice=replace(found.advice, picture=picture)), notes


def _begun(
    planned: Ensemble, task: Task, read: Read
) -> tuple[tuple[Fix, ...], Read, tuple[str, ...]]:
    """Return what a flight begins with of which no fix is known, and what is read beside that."""
    if read.place_times_s:
        return (left_hand(task.launch),), read, ()
    height_m = _height_m(task)
    if height_m is None:
        note = "No place is known: all goes as planned since the launch."
        return (left_hand(task.launch),), NOTHING, (note,)
    fix, within_m = by_plan(planned, height_m, task.now_t_s)
    near = f"9 in 10 draws within {km_text(within_m)} km"
    note = f"No place is known: it is the plan's at that height, {near}."
    return (fix,), NOTHING, (note,)


def _height_m(task: Task) -> float | None:
    """Return the height that was typed last, if any."""
    typed = [one.entry.amsl_m for one in task.entries if isinstance(one.entry, Overlay)]
    return next((one for one in reversed(typed) if one is not None), None)
