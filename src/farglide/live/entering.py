"""Entering: a line of the crew against the ride: taken, asked back, or refused."""

import re
from dataclasses import dataclass
from enum import Enum
from typing import Final

from farglide.errors import AnswerError, FarglideError
from farglide.live.ride.entered import entry_kind, entry_payload, undo_payload
from farglide.live.ride.phase import launch_of, phase_of
from farglide.live.ride.stage import stage_of
from farglide.live.ride.state import Ride
from farglide.live.running import Running
from farglide.outlook.advice import Advice
from farglide.outlook.after import Stage
from farglide.sortie.spec import Launch, Sortie
from farglide.track.heights import amsl_m
from farglide.track.journal.frame import Kind
from farglide.track.journal.journal import Moment
from farglide.track.typed.entries import (
    AtStand,
    FlownFor,
    Grade,
    LaunchLate,
    LaunchMoved,
    Mark,
    NeckLift,
    Undo,
)
from farglide.track.typed.known import AskedBack, Known, LastPlace, StandKnown, Understood
from farglide.track.typed.typed import typed
from farglide.track.typed.undone import undo_words

AS_TYPED: Final = "as typed"
_ANSWER: Final = re.compile(rf"y\d?|yes|{AS_TYPED}")
_NEITHER: Final = ("u", "undo", "n", "no")
_LAST_HOLDS: Final = (NeckLift, LaunchLate, LaunchMoved, AtStand, Grade, FlownFor)
"""Entries of which the last one holds."""


class Tone(Enum):
    """What a message is to who reads it, and so how long it is of use."""

    TAKEN = "taken"  # all is well
    REFUSED = "refused"  # to be typed otherwise
    ASKED = "asked"  # waits for an answer


@dataclass(slots=True)
class Entering:
    """The line that the crew types at, and the question that it was asked last."""

    question: AskedBack | None = None
    said: str = ""  # what was understood, or asked back
    line: str = ""  # that was asked back
    asked_t_s: float = float("nan")  # UTC, when that line was typed: it counts from then
    tone: Tone = Tone.REFUSED  # of what was said

    def enter(self, line: str, running: Running, when: Moment) -> None:
        """Take a line into the ride, or say why not."""
        try:
            self.said = self._entered(line.strip(), running, when)
            self.tone = Tone.TAKEN if self.question is None else Tone.ASKED
        except FarglideError as error:
            self.said, self.tone = str(error), Tone.REFUSED

    def _entered(self, line: str, running: Running, when: Moment) -> str:
        ride = running.ride
        now_t_s = ride.now_t_s(*when)
        known = known_of(ride, running.session.sortie, now_t_s, running.advice)
        if (said := self._turned_down(line)) is not None:
            return said
        answered = self._answered(line)
        since_t_s = now_t_s if answered is None else self.asked_t_s
        found = answered or typed(line, known)
        self.question, self.line = (found, line) if isinstance(found, AskedBack) else (None, "")
        if isinstance(found, AskedBack):
            self.asked_t_s = now_t_s
            return f"{found.why} Type {_ways(found) or 'it again'}; u for none of it."
        return taken(found, line, running, when, since_t_s)

    def _turned_down(self, line: str) -> str | None:
        """Return what is said to an answer that takes nothing; None where a line is taken or new.

        An undo drops the question and nothing else: what stood before it still does.
        """
        text, asked = line.casefold(), self.question
        if asked is not None and text in _NEITHER:
            self.question, dropped = None, self.line
            return f"Dropped: {dropped}. Nothing was taken."
        if not _ANSWER.fullmatch(text) or self._answered(line) is not None:
            return None
        if asked is None:
            return "No question is open: type the entry again."
        return f"{line!r} is none of it. Type {_ways(asked) or 'it again'}; u for none of it."

    def _answered(self, line: str) -> Understood | None:
        """Return which offer of the last question a line takes; None where it is another line."""
        asked = self.question
        if asked is None:
            return None
        if line.casefold() in (AS_TYPED, self.line.casefold()):
            return asked.typed
        return _offers(asked).get(line.casefold())


def _offers(asked: AskedBack) -> dict[str, Understood]:
    """Return what may have been meant, by what is typed for it."""
    offered = asked.alternatives or (() if asked.typed is None else (asked.typed,))
    return {"y" if k == 1 else f"y{k}": one for k, one in enumerate(offered, 1)}


def _ways(asked: AskedBack) -> str:
    """Return what may be typed now."""
    if not asked.alternatives and asked.typed is not None:
        return f"y, or the same again, for {asked.typed.words} all the same"
    ways = [f"{key} for {one.words}" for key, one in _offers(asked).items()]
    as_typed = asked.typed
    if as_typed is not None and all(one.entry != as_typed.entry for one in asked.alternatives):
        ways.append(f'"{AS_TYPED}", or the same again, for {as_typed.words}')
    return ", ".join(ways)


def taken(
    found: Understood, line: str, running: Running, when: Moment, since_t_s: float | None = None
) -> str:
    """Write what was understood into the ride; return what was taken, or taken back.

    `since_t_s`: UTC from which it counts, now if not told: a line that was asked back is of when it
    was typed, not of its answer.
    """
    ride = running.ride
    now_t_s = ride.now_t_s(*when) if since_t_s is None else since_t_s
    if isinstance(found.entry, Undo):
        back = last_of(ride, found.entry)
        running.log(Kind.UNDO, undo_payload(back), when)
        return back_words(ride, back)
    payload = entry_payload(found.entry, now_t_s, line)
    running.log(entry_kind(found.entry), payload, when)
    late = _late_neck(running, now_t_s) if isinstance(found.entry, NeckLift) else ""
    return f"Taken: {found.words}{late}. (u takes it back.)"


def _late_neck(running: Running, now_t_s: float) -> str:
    """Return what a fill changes that is told after the launch; nothing before it."""
    ride, launch = running.ride, running.session.launch(running.ride)
    if not phase_of(ride, launch, now_t_s).is_up:
        return ""
    if stage_of(ride, launch, now_t_s).stage is Stage.CARRIED:
        return ", after the launch: climb and burst are summed anew with it"
    return ", late: the climb that it tells of is over"


def back_words(ride: Ride, back: int) -> str:
    """Return what is taken back with the entry of a record, and what of its kind counts again."""
    gone = next(one for one in ride.entries if one.number == back)
    if isinstance(gone.entry, Mark):
        return f"Taken back: {gone.words}."
    alike = [one for one in ride.entries if isinstance(one.entry, type(gone.entry))]
    again = [one.words for one in alike if one is not gone and isinstance(one.entry, _LAST_HOLDS)]
    return f"Taken back: {gone.words}." + (f" {again[-1].capitalize()} counts." if again else "")


def last_of(ride: Ride, undo: Undo) -> int:
    """Return the record of the entry that an undo takes back. Raises AnswerError for none."""
    for one in reversed(ride.entries):
        if undo.takes(one.entry):
            return one.number
    raise AnswerError(f"There is nothing to take back: no {undo_words(undo)} stands.")


def known_of(ride: Ride, sortie: Sortie, now_t_s: float, advice: Advice | None = None) -> Known:
    """Return what a line is held against; `advice`: the last, which tells where it should be."""
    expected = None
    if advice is not None:
        at = advice.place
        expected = LastPlace(lat_deg=at.lat_deg, lon_deg=at.lon_deg, amsl_m=at.amsl_m, t_s=now_t_s)
    fix = ride.balloon
    height_m = None if fix is None else amsl_m(fix)
    last = None
    if fix is not None and fix.t_s is not None and height_m is not None:
        last = LastPlace(lat_deg=fix.lat_deg, lon_deg=fix.lon_deg, amsl_m=height_m, t_s=fix.t_s)
    fields = tuple(one.name for one in sortie.fields)
    stands = tuple(
        StandKnown(name=one.name, lat_deg=one.lat_deg, lon_deg=one.lon_deg,
                   amsl_m=one.amsl_m, nose_deg=one.nose_deg)
        for one in sortie.stands
    )  # fmt: skip
    lift = sortie.balloon.neck_lift_kg
    launch = launch_of(ride, sortie.launch)
    return Known(
        t_s=now_t_s,
        zone=launch.zone,
        launch=_left_at(sortie.launch),
        begun=_left_at(launch),
        is_launched=ride.lifted_t_s is not None or phase_of(ride, launch, now_t_s).is_up,
        last=last,
        expected=expected,
        stands=stands,
        stand=_stand(ride),
        fields=fields,
        places=("launch", *fields, *(one.name for one in stands)),
        planned_neck_kg=None if lift is None else lift.value,
        hanging_kg=sortie.hanging_kg,
        marks=ride.marks,
    )


def _left_at(launch: Launch) -> LastPlace:
    return LastPlace(
        lat_deg=launch.lat_deg, lon_deg=launch.lon_deg, amsl_m=launch.amsl_m, t_s=launch.t_s
    )


def _stand(ride: Ride) -> str:
    """Return the stand where the crew said last that it is."""
    told = [one.entry.stand for one in ride.entries if isinstance(one.entry, AtStand)]
    return told[-1] if told else ""
