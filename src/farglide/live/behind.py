"""Behind: the ride behind each record of its log, and what tables it asks for, nothing advised."""

from collections.abc import Sequence
from dataclasses import replace

from farglide.earth.state import Place
from farglide.live.free.followed import glide_fixes
from farglide.live.ride.belief import Jury
from farglide.live.ride.entered import marked_of, taken_back
from farglide.live.ride.phase import launch_of
from farglide.live.ride.reading import READ
from farglide.live.ride.stage import stage_of
from farglide.live.ride.standing import crew_place
from farglide.live.ride.state import Ride
from farglide.live.ride.taken import with_fix, with_note
from farglide.live.ride.task import Entered, Onward, Task
from farglide.live.ride.told import told_of
from farglide.outlook.after import Stage
from farglide.sortie.feeds import FeedSpec
from farglide.sortie.spec import Launch, Sortie
from farglide.track.journal.frame import Kind, Record
from farglide.track.journal.payload import document_of, fix_of, raw_of
from farglide.track.reports import Fix


class Behind:
    """What the records of one flight's log make of its ride; of advices only that they were given.

    `specs`: the feeds, the one to be followed first.
    """

    def __init__(self, sortie: Sortie, specs: Sequence[FeedSpec]) -> None:
        self.sortie, self.jury = sortie, Jury(specs, sortie.launch)

    def behind(self, ride: Ride, record: Record) -> Ride:
        """Return the ride behind a record, nothing advised."""
        ride = replace(ride, at_s=record.monotonic_s)
        if record.kind is Kind.RAW:
            name = raw_of(record).feed
            return ride.with_feed(name, replace(ride.feed(name), heard_s=record.monotonic_s))
        if record.kind is Kind.FIX:
            return with_fix(ride, fix_of(record), record, self.jury, self.sortie.launch)
        if record.kind in (Kind.TYPED, Kind.MARK):
            marked = marked_of(record)
            if marked is None:
                return ride
            t_s, entry = marked
            entered = Entered(number=record.number, t_s=t_s, entry=entry, car=self.jury.car(ride))
            return replace(ride, entries=(*ride.entries, entered))
        if record.kind is Kind.UNDO:
            number = taken_back(record)
            left = tuple(one for one in ride.entries if one.number != number)
            return replace(ride, entries=left)
        if record.kind is Kind.NOTE:
            return with_note(ride, record, self.jury)
        if record.kind is Kind.LEARNT:
            return self._with_learnt(ride, record)
        if record.kind is Kind.ADVICE:
            return replace(ride, told=told_of(record))
        return replace(ride, is_over=record.kind is Kind.END)  # of a head or a tick only its time

    def launch(self, ride: Ride) -> Launch:
        """Return the launch as it was."""
        return launch_of(ride, self.sortie.launch)

    def refused(self, ride: Ride) -> tuple[str, ...]:
        """Return which fields of the flight nobody may land on."""
        known = {one.name for one in self.sortie.fields}
        return tuple(one for one in ride.refused if one in known)

    def task(self, ride: Ride, number: int, now_t_s: float) -> Task:
        """Return what tables would be computed from, begun by a record."""
        launch = self.launch(ride)
        task = Task(
            number=number,
            launch=launch,
            refused=self.refused(ride),
            fixes=ride.fixes(),
            now_t_s=now_t_s,
            points=ride.points,
            entries=tuple(one for one in ride.entries if isinstance(one.entry, READ)),
        )
        staged = stage_of(ride, launch, now_t_s)
        if staged.stage is Stage.CARRIED:
            return task
        onward = None
        if staged.stage in (Stage.GLIDING, Stage.UNSTEERED):
            fix, field, car = self.best_fix(ride), ride.told.to_field, self.crew(ride)
            glide = glide_fixes(ride, staged)
            if fix is not None:
                onward = Onward(t_s=now_t_s, fix=fix, field=field, car=car, glide=glide)
        return replace(task.carried(staged.since_t_s), onward=onward, is_loose=True)

    def best_fix(self, ride: Ride) -> Fix | None:
        """Return where a loose flight is best known to be: its last whole fix."""
        return ride.balloon

    def crew(self, ride: Ride) -> Place | None:
        """Return where the crew is, by what it said and its car's receiver; None: nobody told."""
        return crew_place(self.sortie, ride.entries, self.jury.car(ride))

    def _with_learnt(self, ride: Ride, record: Record) -> Ride:
        said = document_of(record)
        if "begun_t_s" in said:
            return replace(ride, begun=self.task(ride, record.number, float(said["begun_t_s"])))
        if said.get("used"):
            return replace(ride, used=ride.begun, begun=None)
        return replace(ride, used=None, begun=None, followed=None)
