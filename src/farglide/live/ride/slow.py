"""Slow: the tables that answers are made of, summed beside the ride on a thread of their own."""

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from typing import NamedTuple

from farglide.chances.advising import advisable
from farglide.chances.ensemble import Ensemble
from farglide.chances.graded import with_grades
from farglide.chances.informed import informed
from farglide.chances.onward import Advisable, Seen, seen_of
from farglide.chances.onward import last_s as end_s
from farglide.errors import FarglideError, InputError
from farglide.live.asking import LONGEST_S, PLACE_SD_M, as_planned
from farglide.live.ride.asflown import as_flown
from farglide.live.ride.reading import graded_of, read_of
from farglide.live.ride.state import Task
from farglide.sim.core.workers import Workers, in_one_go
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Launch, Sortie
from farglide.track.passage import Launched, been_of
from farglide.track.reports import Fix


class Tables(NamedTuple):
    """What was computed from one task; `ends_s`: no balloon is in the air later, by them."""

    task: Task
    of: Advisable
    seen: Seen
    ends_s: float


Made = Tables | str
"""The tables of a task, or why there can be none."""
Make = Callable[[Task], Made]
"""Gives the tables of a task, the same whenever it is asked."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Flight:
    """A flight as its files have it, and how finely it is computed."""

    sortie: Sortie
    pack: Pack
    grain: Grain
    workers: Workers = in_one_go


class Maker:
    """Makes the tables of a task; the flight as planned is kept while the launch stays."""

    def __init__(self, flight: Flight) -> None:
        self._flight = flight
        self._planned: tuple[tuple[object, ...], Ensemble] | None = None

    def __call__(self, task: Task) -> Made:
        """Return the tables of a task, or why there can be none."""
        try:
            return self._made(task)
        except FarglideError as error:
            return str(error)
        except Exception as error:  # told and tried again: no fault of a sum ends a ride
            return f"The way home could not be summed: {type(error).__name__}: {error}."

    def _made(self, task: Task) -> Tables:
        planned, launch = self._as_planned(task), task.launch
        been = been_of(task.fixes, Launched(utc_s=launch.t_s), planned.air.scene)
        if not len(been.t_s):
            been = been_of((_left_hand(launch),), Launched(utc_s=launch.t_s), planned.air.scene)
        read = read_of(task, planned.sortie, PLACE_SD_M)
        last_s = max([float(been.t_s[-1]), *read.times_s])
        planned, picture = with_grades(planned, graded_of(task, planned.sortie, been))
        known = informed(planned, been, PLACE_SD_M, last_s + LONGEST_S, read)
        seen = seen_of(known, float(been.t_s[-1]))
        seen_s = seen.after_launch_s
        now_s, ends_s = max(task.now_t_s - launch.t_s, seen_s), end_s(known.ensemble)
        if now_s > ends_s:
            remedy = "What climbs no more is looked for with farglide search."
            allowed = f"up to {ends_s:.0f} s after the launch"
            raise InputError(
                "the time since the last fix", f"{now_s - seen_s:.0f} s", allowed, remedy
            )
        of = advisable(known, now_s)._replace(picture=picture)
        return Tables(task, of, seen, ends_s)

    def _as_planned(self, task: Task) -> Ensemble:
        if self._planned is not None and self._planned[0] == task.flight:
            return self._planned[1]
        flight = self._flight
        sortie = as_flown(flight.sortie, task)
        planned = as_planned(sortie, flight.pack, flight.grain, flight.workers)
        self._planned = (task.flight, planned)
        return planned


class Beside:
    """Makes tables on a second thread, one at a time, and hands them out when they are asked for.

    Called as a `Maker` is; the last ones are kept.
    """

    def __init__(self, make: Make) -> None:
        self._make, self._pool = make, ThreadPoolExecutor(1, thread_name_prefix="slow")
        self._task: Task | None = None
        self._future: Future[Made] | None = None
        self._last: tuple[int, Made] | None = None

    def begin(self, task: Task) -> None:
        """Begin with a task; the one before must be done."""
        self._task, self._future = task, self._pool.submit(self._make, task)

    def take(self) -> bool:
        """Take the tables that are done, to be asked for from now on; tell whether there are."""
        if self._task is None or self._future is None or not self._future.done():
            return False
        self._last = (self._task.number, self._future.result())
        self._task = self._future = None
        return True

    @property
    def is_busy(self) -> bool:
        """Tell whether a task was begun whose tables were not taken yet."""
        return self._future is not None

    def __call__(self, task: Task) -> Made:
        """Return the tables of a task, made now where they were not yet."""
        if self._last is None or self._last[0] != task.number:
            self._last = (task.number, self._make(task))
        return self._last[1]

    def close(self) -> None:
        """Let the thread end; what it is at is of no use any more."""
        self._pool.shutdown(wait=False, cancel_futures=True)


class Again:
    """Makes tables for a replay: begun on a second thread as they are told of, the last ones kept.

    Called as a `Maker` is.
    """

    def __init__(self, make: Make) -> None:
        self._make, self._pool = make, ThreadPoolExecutor(1, thread_name_prefix="again")
        self._begun: tuple[int, Future[Made]] | None = None
        self._last: tuple[int, Made] | None = None

    def begin(self, task: Task) -> None:
        """Begin with a task that is asked for later, or never."""
        self._begun = (task.number, self._pool.submit(self._make, task))

    def __call__(self, task: Task) -> Made:
        """Return the tables of a task."""
        if self._last is None or self._last[0] != task.number:
            begun = self._begun
            if begun is None or begun[0] != task.number:
                begun = (task.number, self._pool.submit(self._make, task))
            self._last = (task.number, begun[1].result())
        return self._last[1]

    def close(self) -> None:
        """Let the thread end."""
        self._pool.shutdown(wait=True, cancel_futures=True)


def _left_hand(launch: Launch) -> Fix:
    """Return where the balloon was when it left the hand, before anything is heard of it."""
    return Fix(
        feed="launch",
        lat_deg=launch.lat_deg,
        lon_deg=launch.lon_deg,
        t_s=launch.t_s,
        height_m=launch.amsl_m,
    )
