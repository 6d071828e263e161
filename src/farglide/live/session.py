"""Session: the one function that makes a ride: (ride, record) to (ride, advice or none)."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from farglide.chances.advising import advice_now
from farglide.chances.after.afterwards import Loosened
from farglide.chances.onward import Seen
from farglide.errors import InputError, SourceError
from farglide.live.after.wayahead import stand_of
from farglide.live.behind import Behind
from farglide.live.free.afterwards import Asked, after_advice
from farglide.live.free.bestplace import best_seen, carried_of, left_seen, told_fix
from farglide.live.free.followed import Follower, at_moment, followed
from farglide.live.free.takenas import Said
from farglide.live.ride.needs import needs_of
from farglide.live.ride.phase import phase_of
from farglide.live.ride.reading import seen_alone
from farglide.live.ride.shown import shown, without
from farglide.live.ride.stage import Staged, is_sent, packs_empty, sink_mps, stage_of
from farglide.live.ride.state import Ride
from farglide.live.ride.tables import Made, Make, Tables
from farglide.live.ride.task import Task
from farglide.live.ride.told import summary_of
from farglide.outlook.advice import Advice
from farglide.outlook.after import Stage
from farglide.sortie.feeds import FeedSpec
from farglide.sortie.spec import Launch, Sortie
from farglide.track.journal.frame import Kind, Record
from farglide.track.passage import Launched, been_of
from farglide.track.reports import Fix

LEAST_S: Final = 0.15
"""Between the last advice and the next fix that brings another: a flood is answered so often."""
_ASKING: Final = (Kind.TICK, Kind.TYPED, Kind.MARK, Kind.UNDO)

FREE_S: Final = 120.0
"""What is told to glide so long after a marked release hangs on nothing: remains show in 30 s."""


class Session(Behind):
    """Steps the ride of one flight. It reads no clock, and what it returns hangs on its arguments.

    `specs`: the feeds, the one to be followed first; `make`: gives the tables of a task, the same
    whenever it is asked.
    """

    def __init__(self, sortie: Sortie, specs: Sequence[FeedSpec], make: Make) -> None:
        super().__init__(sortie, specs)
        self._make = make

    def step(self, ride: Ride, record: Record) -> tuple[Ride, Advice | None]:
        """Return the ride behind a record, and what is advised there, if it changes anything.

        Raises SourceError where the record says nothing that its kind can say.
        """
        try:
            after = self.behind(ride, record)
        except ValueError as error:
            raise SourceError("the log", f"record {record.number}", f"{error}.") from None
        if not _asks(ride, after, record):
            return after, None
        return self._advised(after, record)

    def best_fix(self, ride: Ride) -> Fix | None:
        """Return where a loose flight is best known to be, by its stories where no fix tells."""
        made = self.made(ride)
        if not isinstance(made, Tables) or ride.followed is None:
            return ride.balloon
        last = seen_in(made, ride.balloon)
        seen = best_seen(made, ride.followed.particles, last)
        return ride.balloon if seen == last else told_fix(made.task.launch, seen)

    def asked_at(self, ride: Ride, now_t_s: float) -> Advice | None:
        """Return what is advised of a loose flight at a moment, its tables made for it.

        None of one that a whole balloon carries, that is down, or was never seen.
        """
        launch = self.launch(ride)
        staged = stage_of(ride, launch, now_t_s)
        if staged.stage in (Stage.CARRIED, Stage.DOWN):
            return None
        after, advice = self.loosely(ride, self.task(ride, 0, now_t_s), now_t_s)
        if after.told.to_field == ride.told.to_field:
            return advice  # the way ahead is that of the field advised already
        return self.loosely(after, self.task(after, 0, now_t_s), now_t_s)[1]

    def loosely(self, ride: Ride, task: Task, now_t_s: float) -> tuple[Ride, Advice | None]:
        """Return what is advised of a loose flight by the tables of a task, and the ride behind it.

        None where it was never seen. Raises InputError where the tables cannot be made.
        """
        made = self._make(task)
        if not isinstance(made, Tables):
            raise InputError("the way home", "not summed", made, "Look at launch and fixes.")
        staged = stage_of(ride, task.launch, now_t_s)
        ride = replace(ride, followed=followed(self._follower(ride, made), ride))
        asked = self._loose(ride, made, staged, now_t_s)
        if asked is None:
            return ride, None
        advice = after_advice(asked, ride.refused)
        to_field = summary_of(advice, task.launch.t_s).to_field
        return replace(ride, told=replace(ride.told, to_field=to_field)), advice

    def made(self, ride: Ride) -> Made | None:
        """Return the tables in use, or why there can be none; None before the first."""
        return None if ride.used is None else self._make(ride.used)

    def _advised(self, ride: Ride, record: Record) -> tuple[Ride, Advice | None]:
        now_t_s, launch = ride.now_t_s(record.monotonic_s, record.utc_s), self.launch(ride)
        staged, made = stage_of(ride, launch, now_t_s), self._asked(ride, launch, now_t_s)
        if made is None:
            return ride, None
        if staged.stage is not Stage.CARRIED:
            ride = replace(ride, followed=followed(self._follower(ride, made), ride))
            asked = self._loose(ride, made, staged, now_t_s)
            if asked is None:
                return ride, None
            return shown(ride, after_advice(asked, ride.refused), record.monotonic_s, self.sortie)
        now_s, seen = now_t_s - launch.t_s, self.seen(made, ride)
        now_s = max(now_s, seen.after_launch_s)
        if now_s > made.ends_s:
            return ride, None
        advice = without(advice_now(made.of, seen, now_s), ride.refused)
        return shown(ride, advice, record.monotonic_s, self.sortie)

    def _asked(self, ride: Ride, launch: Launch, now_t_s: float) -> Tables | None:
        """Return the tables to be asked, None where nothing is advised or none are there."""
        if not phase_of(ride, launch, now_t_s).is_up:
            return None
        made = self.made(ride)
        return made if isinstance(made, Tables) and made.task.launch == launch else None

    def _follower(self, ride: Ride, made: Tables) -> Follower:
        task, car = made.task, self.crew(ride)
        sortie = made.plain.sortie
        at_stand = stand_of(sortie, car)
        gliders, carried = self.jury.gliders, carried_of(made)
        return Follower(made.laws, task.learnt_by, sortie, at_stand, gliders, carried)

    def _loose(self, ride: Ride, made: Tables, staged: Staged, now_t_s: float) -> Asked | None:
        """Return what is asked of a flight that hangs on no whole balloon; None: never seen."""
        left, last = (seen_in(made, one) for one in (staged.left, ride.balloon))
        if ride.followed is None:
            return None
        particles = ride.followed.particles
        left = left_seen(made, staged.since_t_s) if left is None else left
        now_s = max(now_t_s - made.task.launch.t_s, particles.after_launch_s)
        particles = at_moment(made.laws, particles, now_s)
        seen = best_seen(made, particles, last)
        return Asked(
            made=made,
            loosened=Loosened(staged.stage, left, seen, sink_mps(ride)),
            is_marked=staged.is_marked,
            particles=particles,
            now_s=now_s,
            was=ride.told.to_field,
            said=Said(
                ride.told.stage, staged.is_marked and _has_glided(ride, now_s - left.after_launch_s)
            ),
            shut_by=ride.told.shut_by,
            packs_empty=packs_empty(ride, now_t_s),
            is_sent=is_sent(ride),
            bound_for=ride.bound_for,
            needs=needs_of(ride, self.jury.cars, ride.at_s, now_t_s),
            at_stand=self._follower(ride, made).at_stand,
        )

    def seen(self, made: Tables, ride: Ride) -> Seen:
        """Return where the balloon was seen last, no earlier than the tables go on from."""
        seen = seen_in(made, ride.balloon)
        if seen is None or seen.after_launch_s < made.seen.after_launch_s:
            seen = made.seen
        return seen_alone(seen, ride, made.task.launch)


def seen_in(made: Tables, fix: Fix | None) -> Seen | None:
    """Return a fix in the frame of some tables, None for one without a height in their air."""
    launched, scene = Launched(utc_s=made.task.launch.t_s), made.drawn.air.scene
    been = been_of(() if fix is None else (fix,), launched, scene)
    return Seen(*(float(one[-1]) for one in been)) if len(been.t_s) else None


def _asks(before: Ride, after: Ride, record: Record) -> bool:
    """Tell whether a record may bring an advice."""
    if record.kind in _ASKING:
        return True
    if record.kind is Kind.LEARNT:
        return after.used is not before.used and after.used is not None
    if record.kind is not Kind.FIX or after.newest is before.newest:
        return False
    last_s = after.told.at_s
    return last_s is None or not 0.0 <= record.monotonic_s - last_s < LEAST_S


def _has_glided(ride: Ride, free_s: float) -> bool:
    """Tell whether a glider was told to glide, so long after it was let go that it does."""
    return free_s > FREE_S and ride.told.stage == Stage.GLIDING.value
