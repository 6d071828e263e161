"""Running: a ride as it goes on: feeds in, the log before all else, advice out."""

from collections.abc import Callable, Mapping
from typing import Final

from farglide.live.feeds.inbox import Inbox
from farglide.live.feeds.reader import Clocks
from farglide.live.resume import Opened
from farglide.live.ride.belief import is_noted, note_payload
from farglide.live.ride.beside import Beside
from farglide.live.ride.phase import phase_of
from farglide.live.ride.stage import is_level
from farglide.live.ride.state import Ride
from farglide.live.ride.told import advice_payload
from farglide.live.session import Session
from farglide.outlook.advice import Advice
from farglide.track.codecs.codec import Codec
from farglide.track.journal.frame import Kind, Record
from farglide.track.journal.journal import Journal, Moment
from farglide.track.journal.payload import fix_payload, payload_of, raw_payload
from farglide.track.reports import Fix, Raw, Report

TICK_S: Final = 1.0
SUMMED_EVERY_S: Final = 20.0
"""Between the beginnings of two sums of slow tables; a long one is followed by a rest as long, for
what else the machine has to do."""

Publish = Callable[[Advice], None]


class Running:
    """One ride under way, stepped on one thread: `turn` again and again, `enter` between.

    Each record is in the log before the ride is stepped with it, each advice before it is
    published.
    """

    def __init__(
        self,
        session: Session,
        opened: Opened,
        beside: Beside,
        codecs: Mapping[str, Codec],
        publish: Publish,
    ) -> None:
        self.session, self.beside = session, beside
        self.ride: Ride = opened.ride
        self.advice: Advice | None = opened.advice
        self.journal: Journal = opened.journal
        self._codecs, self._publish = codecs, publish
        self._ticked_s = self.begun_s = self._rests_until_s = -1e15  # begun: the last sum
        self.first_s: float | None = None  # when the first sum was begun, no advice being there
        self._is_new = opened.is_new
        self.taking_s: float | None = None  # when came what is being taken; None: nothing is
        self.trouble = ""  # why the tables in use hold no answer

    def open(self, when: Moment) -> None:
        """Begin this sitting: what was summed in the one before is not there any more."""
        if not self._is_new:
            self.log(Kind.LEARNT, payload_of({"lost": True}), when)

    def turn(self, inbox: Inbox, clocks: Clocks, wait_s: float) -> None:
        """Take what has come, waiting so long for the first of it; then tables, then the clock.

        All that is taken in one turn counts as taken at one moment, so it brings one advice,
        however much has come: a ride that has fallen behind catches up.
        """
        came = inbox.take(wait_s)
        now = moment_of(clocks)
        for raw in came:
            self.taking_s = raw.monotonic_s
            self._take(raw, now)
        self.taking_s = None
        if self.beside.take():
            self._rests_until_s = now.monotonic_s + (now.monotonic_s - self.begun_s)
            self.log(Kind.LEARNT, payload_of({"used": True}), now)
            made = self.session.made(self.ride)
            self.trouble = made if isinstance(made, str) else ""
        self._tick(now)
        self._begin(now)

    def take(self, raw: Raw, clocks: Clocks) -> None:
        """Take some bytes of a feed."""
        self._take(raw, moment_of(clocks))

    def flush(self, raw: Raw) -> None:
        """Take what the codec of a feed held back: it has ended. `raw`: of now, without bytes."""
        now = Moment(raw.monotonic_s, raw.utc_s)
        self._reported(self._codecs[raw.feed].flush(), raw, now)

    def _take(self, raw: Raw, now: Moment) -> None:
        came = Moment(raw.monotonic_s, raw.utc_s)
        self.log(Kind.RAW, raw_payload(raw.feed, raw.data), came)
        self._reported(self._codecs[raw.feed].take(raw), raw, now)

    def _reported(self, reports: list[Report], raw: Raw, now: Moment) -> None:
        for report in reports:
            if isinstance(report, Fix):
                self._fix(report, raw, now)

    def log(self, kind: Kind, payload: bytes, when: Moment) -> int:
        """Write a record, step the ride, write and publish what is advised; return its number."""
        number = self.journal.append(kind, payload, when)
        record = Record(kind=kind, number=number, **when._asdict(), payload=payload)
        self.ride, advice = self.session.step(self.ride, record)
        if advice is not None:
            self.advice = advice
            self.log(Kind.ADVICE, advice_payload(advice, self.ride.telling), when)
            self._publish(advice)
        return number

    def end(self, when: Moment) -> None:
        """End the ride for good: the log is finished."""
        self.log(Kind.END, payload_of({}), when)

    def close(self, within_s: float = 0.0) -> bool:
        """Let the log and the second thread go; tell whether that ended, within so long.

        The log first: it waits for no sum. A ride that was not ended can be gone on with.
        """
        try:
            self.journal.close()
        finally:
            is_ended = self.beside.close(within_s)
        return is_ended

    def _fix(self, fix: Fix, raw: Raw, now: Moment) -> None:
        judged = self.session.jury.judged(self.ride, fix, raw)
        if judged is None:
            return
        for k, one in enumerate(judged.odd):
            doubted = fix if judged.fix is None and k == 0 else None
            if doubted is not None or not is_noted(self.ride, one):
                self.log(Kind.NOTE, note_payload(one, doubted), now)
        if judged.fix is not None:
            self.log(Kind.FIX, fix_payload(judged.fix), now)

    def _tick(self, now: Moment) -> None:
        told_s = self.ride.told.at_s
        last_s = self._ticked_s if told_s is None else max(told_s, self._ticked_s)
        if now.monotonic_s - last_s >= TICK_S:
            self._ticked_s = now.monotonic_s
            self.log(Kind.TICK, payload_of({}), now)

    def _begin(self, now: Moment) -> None:
        """Begin to sum tables anew, if it is time, or if these are not of this flight any more."""
        ride, session = self.ride, self.session
        now_t_s, launch = ride.now_t_s(*now), session.launch(ride)
        if self.beside.is_busy or not phase_of(ride, launch, now_t_s).is_up:
            return
        used = ride.used
        is_other = used is None or used.flight != session.task(ride, 0, now_t_s).flight
        is_other |= used is not None and is_level(ride, launch, now_t_s) and used.onward is None
        is_due = now.monotonic_s - self.begun_s >= SUMMED_EVERY_S
        if not (is_due and now.monotonic_s >= self._rests_until_s) and not (
            is_other and now.monotonic_s - self.begun_s >= TICK_S
        ):
            return
        self.begun_s = now.monotonic_s
        if self.first_s is None and self.advice is None:
            self.first_s = now.monotonic_s
        self.log(Kind.LEARNT, payload_of({"begun_t_s": now_t_s}), now)
        if self.ride.begun is not None:
            self.beside.begin(self.ride.begun)


def moment_of(clocks: Clocks) -> Moment:
    """Return this moment by both clocks."""
    return Moment(clocks.monotonic_s(), clocks.utc_s())
