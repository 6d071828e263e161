"""Slow: the tables that answers are made of, summed from all that is known by then."""

from concurrent.futures import Future
from dataclasses import dataclass, replace
from threading import Lock

from farglide.atlas.terrain import Terrain
from farglide.chances.after.bestknown import best_known
from farglide.chances.after.regliding import Reglided, Seen, glide_seen, reglided
from farglide.chances.after.storylaws import laws_of
from farglide.chances.case import Case
from farglide.chances.ensemble import Ensemble
from farglide.chances.graded import with_grades
from farglide.chances.informed import informed
from farglide.chances.onward import last_s as end_s
from farglide.chances.onward import seen_of
from farglide.errors import FarglideError, InputError
from farglide.live.after.wayahead import WayAhead, way_ahead
from farglide.live.asking import LONGEST_S, as_planned, place_sd_m
from farglide.live.ride.asflown import as_flown
from farglide.live.ride.reading import graded_of, read_of
from farglide.live.ride.tables import Made, Tables
from farglide.live.ride.task import Task
from farglide.sim.core.tracks import Point
from farglide.sim.core.workers import Workers, in_one_go
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Launch, Sortie
from farglide.track.passage import Launched, been_of
from farglide.track.reports import Fix


@dataclass(frozen=True, slots=True, kw_only=True)
class Flight:
    """A flight as its files have it, and how finely it is computed."""

    sortie: Sortie
    pack: Pack
    grain: Grain
    workers: Workers = in_one_go


class Maker:
    """Makes the tables of a task; the flight as planned is kept while the launch stays.

    Threads may ask for several at once: what is kept is found again, never other.
    """

    def __init__(self, flight: Flight) -> None:
        self._flight = flight
        self._planning, self._carrying, self._gliding = Lock(), Lock(), Lock()
        self._planned: tuple[tuple[object, ...], Ensemble] | None = None
        self._carried: Tables | None = None  # by all fixes of the balloon of a loose flight
        self._reglided: tuple[Tables, Seen, Future[Reglided]] | None = None  # by what was seen

    @classmethod
    def of(cls, planned: Ensemble, terrain: Terrain | None = None) -> "Maker":
        """Return a maker for a flight that is drawn already, as planned and with all its fields."""
        pack = Pack(flight_text="", sounding=planned.air.sounding, terrain=terrain)
        flight = Flight(
            sortie=planned.sortie, pack=pack, grain=planned.grain, workers=planned.workers
        )
        found = cls(flight)
        found._planned = ((planned.sortie.launch, ()), planned)
        return found

    def __call__(self, task: Task) -> Made:
        """Return the tables of a task, or why there can be none."""
        try:
            return self._made(task)
        except FarglideError as error:
            return str(error)
        except Exception as error:  # told and tried again: no fault of a sum ends a ride
            return f"The way home could not be summed: {type(error).__name__}: {error}."

    def _made(self, task: Task) -> Tables:
        if not task.is_loose:
            return self._summed(task)
        known = self._glided(self._climbed(task), task)
        return replace(known, task=task, ahead=self._ahead(known, task))

    def _climbed(self, task: Task) -> Tables:
        """Return the tables of the climb of a loose flight, summed once for all its tasks."""
        with self._carrying:  # else two threads would sum the same climb
            if self._carried is None or not _is_same_climb(self._carried.task, task):
                self._carried = self._summed(task)
            return self._carried

    def _glided(self, tables: Tables, task: Task) -> Tables:
        """Return the tables of the climb as the glide has made them, where that tells enough.

        The reach is summed anew with each minute that is glided straight, no more often.
        """
        if task.onward is None or not task.onward.glide:
            return tables
        fixes, known = task.onward.glide, tables.known
        launched, sd_m = Launched(utc_s=task.launch.t_s), place_sd_m(fixes)
        been = been_of(fixes, launched, known.ensemble.air.scene)
        seen = glide_seen(known, tables.plain, been, sd_m)
        if seen is None:
            return tables
        found = self._reglided_by(tables, seen)
        return replace(tables, known=found.known, plain=found.plain)

    def _reglided_by(self, tables: Tables, seen: Seen) -> Reglided:
        """Return what a glide makes of the tables of its climb, summed once by whoever asks first.

        Two threads that ask of the same glide wait for one sum; of two glides each sums its own.
        """
        with self._gliding:  # for the look alone: a sum takes seconds, another glide need not wait
            last = self._reglided
            if last is not None and last[0] is tables and last[1].tells_as(seen):
                mine, found = False, last[2]
            else:
                mine, found = True, Future[Reglided]()
                self._reglided = (tables, seen, found)
        if mine:
            try:
                found.set_result(reglided(tables.known, tables.plain, seen))
            except Exception as error:
                found.set_exception(error)
                self._forget(found)
        return found.result()

    def _forget(self, failed: Future[Reglided]) -> None:
        """Keep nothing of a sum that failed: it is tried again when it is asked for again."""
        with self._gliding:
            if self._reglided is not None and self._reglided[2] is failed:
                self._reglided = None

    def _ahead(self, tables: Tables, task: Task) -> WayAhead | None:
        """Return the way ahead of a level glider, None where nothing is asked or known of it."""
        onward, drawn = task.onward, tables.drawn
        if onward is None:
            return None
        names = [one.name for one in drawn.sortie.fields]
        launched = Launched(utc_s=task.launch.t_s)
        been = been_of((onward.fix,), launched, drawn.air.scene)
        if onward.field not in names or not len(been.t_s):
            return None
        case = Case(drawn=drawn, plain=tables.plain, terrain=self._flight.pack.terrain)
        at = Point(*(float(one[-1]) for one in been))
        return way_ahead(case, at, names.index(onward.field), onward.car)

    def _summed(self, task: Task) -> Tables:
        planned, launch = self._as_planned(task), task.launch
        been = been_of(task.fixes, Launched(utc_s=launch.t_s), planned.air.scene)
        if not len(been.t_s):
            been = been_of((left_hand(launch),), Launched(utc_s=launch.t_s), planned.air.scene)
        sd_m = place_sd_m(task.fixes)
        read = read_of(task, planned.sortie, sd_m)
        last_s = max([float(been.t_s[-1]), *read.times_s])
        planned, picture = with_grades(planned, graded_of(task, planned.sortie, been))
        known = informed(planned, been, sd_m, last_s + LONGEST_S, read)
        seen = seen_of(known, float(been.t_s[-1]))
        seen_s = seen.after_launch_s
        now_s, ends_s = max(task.now_t_s - launch.t_s, seen_s), end_s(known.ensemble)
        if now_s > ends_s:
            remedy = "What climbs no more is looked for with farglide search."
            allowed = f"up to {ends_s:.0f} s after the launch"
            raise InputError(
                "the time since the last fix", f"{now_s - seen_s:.0f} s", allowed, remedy
            )
        tables = Tables(
            task=task,
            known=known,
            now_s=now_s,
            seen=seen,
            ends_s=ends_s,
            plain=best_known(known),
            laws=laws_of(known.ensemble, self._flight.pack.terrain),
            picture=picture,
        )
        if not task.is_loose:
            _ = tables.of  # here, on the second thread: no fix waits for it
        return tables

    def _as_planned(self, task: Task) -> Ensemble:
        with self._planning:
            if self._planned is not None and self._planned[0] == task.flight:
                return self._planned[1]
            flight = self._flight
            sortie = as_flown(flight.sortie, task)
            planned = as_planned(sortie, flight.pack, flight.grain, flight.workers)
            self._planned = (task.flight, planned)
            return planned


def _is_same_climb(one: Task, other: Task) -> bool:
    """Tell whether two tasks ask of the same climb of the same flight."""
    return (one.flight, one.fixes, one.points, one.entries, one.now_t_s) == (
        other.flight, other.fixes, other.points, other.entries, other.now_t_s)  # fmt: skip


def left_hand(launch: Launch) -> Fix:
    """Return where the balloon was when it left the hand, before anything is heard of it."""
    return Fix(
        feed="launch",
        lat_deg=launch.lat_deg,
        lon_deg=launch.lon_deg,
        t_s=launch.t_s,
        height_m=launch.amsl_m,
    )
