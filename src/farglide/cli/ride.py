"""farglide ride: the flight followed in a terminal, fix by fix, with all of it in the log."""

import time
from collections import deque
from functools import partial
from typing import Final, NamedTuple

from farglide.cli import today
from farglide.cli.asking import AskingInRide
from farglide.cli.message import Message
from farglide.cli.ridebegun import Begun
from farglide.cli.screen import Face
from farglide.cli.signals import Asked, signals
from farglide.cli.terminal import complain, tell
from farglide.live.asked.situation import Situation
from farglide.live.entering import Entering, Tone
from farglide.live.feeds.listening import readers_of
from farglide.live.feeds.reader import FeedReader, State
from farglide.live.loosened.flight import LooseFlight
from farglide.live.questioned import situation_of
from farglide.live.running import Running, moment_of
from farglide.live.stepping import ENDS_S, Stepping
from farglide.live.viewed import Listened, Said, view_of
from farglide.present.say.cardview import MORE
from farglide.present.say.rideview import view_lines
from farglide.present.say.text import FlightClock
from farglide.track.journal.journal import Moment
from farglide.track.reports import Raw

WAIT_S: Final = 0.05
"""A key that is typed is seen so soon."""
_HUNG: Final = (
    f"A sum did not end within {ENDS_S:.0f} s and was left: the log is whole up to the last "
    "record before that."
)
_ASK_END: Final = "End the ride? The log is then finished. y: end it, anything else: go on."


class Ended(NamedTuple):
    """What is to be said at the end of a ride, and whether something of it hangs on."""

    words: str
    is_hung: bool


def followed(begun: Begun, face: Face) -> Ended:
    """Follow a ride until the crew ends it; return what is to be said at the end."""
    running, following = begun.running, None
    try:
        with readers_of(begun.specs, begun.inbox, begun.clocks) as readers:
            begun.teller.is_quiet = face.is_screen
            running.open(moment_of(begun.clocks))
            with signals() as asked:
                following = _Following(begun, face, readers, asked)
                try:
                    following.follow()
                finally:
                    following.close()
    finally:
        hangs = following is not None and following.hangs
        hangs |= not running.close(0.0 if hangs else ENDS_S)
        begun.teller.close()
    state = "finished" if running.ride.is_over else "unfinished: the same command goes on with it"
    words = f"The log {begun.log} is {state}."
    return Ended(f"{words} {_HUNG}" if hangs else words, hangs)


class _Following:
    """A ride as it is shown and typed at: it is stepped on a thread of its own."""

    def __init__(self, begun: Begun, face: Face, readers: list[FeedReader], asked: Asked) -> None:
        self._begun, self._face, self._readers, self._asked = begun, face, readers, asked
        self._entering, self._is_ending = Entering(), False
        self._message = Message(" ".join(begun.notes))
        self._asking, self._stepping = AskingInRide(), Stepping(self._turn)
        self._alarm, self._carded, self._waiting = "", tuple[str, ...](), deque[str]()
        self._flushed: set[str] = set()
        self.hangs = False
        self._page, self._has_more, self._is_interrupted = 0, False, False
        conditions = {one.spec.name: one.condition for one in readers}
        self._listened = Listened(begun.specs, conditions, begun.inbox.lost_bytes)

    def follow(self) -> None:
        """Follow the ride until it is over, or until without a terminal nothing can come."""
        if not self._face.is_screen:
            for note in self._begun.notes:
                complain(note)
        self._stepping.start()
        while not self._begun.running.ride.is_over and not self._is_left():
            self._look()
            if self._face.is_closed and self._is_all_read() and not self._is_busy():
                return
            time.sleep(WAIT_S)

    def close(self) -> None:
        """Let the threads of the ride and of its questions end; what hangs is left and told."""
        self.hangs = not self._stepping.close(ENDS_S)
        self.hangs |= not self._asking.close(0.0 if self.hangs else ENDS_S)
        self._stepping.check()

    def _look(self) -> None:
        """Take what was typed, and show the ride as it is now."""
        begun = self._begun
        self._stepping.check()
        for line in self._face.typed():
            self._waiting.append(line)
            self._is_interrupted = False
            self._message.press()
            self._stepping.ask(partial(self._typed, line, moment_of(begun.clocks)))
        begun.teller.hold(self._face.half, begun.clocks.monotonic_s())
        self._face.draw(self._lines)

    def _lines(self, columns: int, rows: int) -> list[str]:
        begun, now = self._begun, moment_of(self._begun.clocks)
        waiting = [one for one in list(self._waiting) if one.strip()]
        said = Said(
            answer=f"Taken in a moment: {waiting[-1]}" if waiting else self._said_now(),
            card=self._asking.card,
            card_page=self._page,
            doing=begun.doing(),
            oldest_s=begun.inbox.oldest_s(),
            pace=begun.pace,
        )
        lines = view_lines(view_of(begun.running, self._listened, said, now), columns, rows)
        self._has_more = any(one.startswith(MORE) for one in lines)
        return lines

    def _said_now(self) -> str:
        return self._message.shown(self._face.half, today.monotonic_s())

    def _typed(self, line: str, when: Moment) -> None:
        self._line(line, when)
        self._waiting.popleft()

    def _turn(self) -> None:
        """Step the ride once; on the thread that steps it."""
        begun, running = self._begun, self._begun.running
        if running.ride.is_over:  # nothing is written behind the end of a log
            time.sleep(WAIT_S)
            return
        running.turn(begun.inbox, begun.clocks, WAIT_S)
        self._flush()
        launch = running.session.launch(running.ride)
        begun.teller.zone, begun.teller.launch_t_s = launch.zone, launch.t_s
        self._sound()
        self._told()

    def _is_left(self) -> bool:
        """Tell whether it is to be left as it is; the first Ctrl-C only asks."""
        if self._asked.is_interrupted:
            self._asked.is_interrupted = False
            if self._is_interrupted:
                return True
            self._is_interrupted = True
            self._stepping.ask(self._ask_end)  # behind what was typed before it
        return self._asked.is_left

    def _ask_end(self) -> None:
        self._is_ending = True
        self._message.say(_ASK_END, Tone.ASKED)

    def _line(self, line: str, now: Moment) -> None:
        """Take a line that was typed at a moment; on the thread that steps the ride."""
        running = self._begun.running
        if running.ride.is_over:
            return
        if self._is_ending and line.strip().casefold() in ("y", "yes"):
            running.end(now)
            return
        was_ending, self._is_ending = self._is_ending, line.strip().casefold() in ("q", "quit")
        if self._is_ending:
            self._say(_ASK_END, Tone.ASKED)
        elif was_ending and not line.strip():
            self._message.say("", Tone.TAKEN)
        elif not line.strip() and self._has_more:
            self._page += 1
        elif self._asking.takes(line, self._situated, _clock_of(running)):
            self._page = 0
            self._say_refusal()
        elif line.strip():
            self._entering.enter(line, running, now)
            self._say(self._entering.said, self._entering.tone)

    def _say(self, words: str, tone: Tone) -> None:
        """Say something to what was typed; where there is no screen, at once."""
        self._message.say(words, tone)
        if words and not self._face.is_screen:
            tell(words)

    def _say_refusal(self) -> None:
        """Say why a question has no answer, where that is so."""
        if (words := self._asking.refusal()) != "":
            self._say(words, Tone.REFUSED)

    def _situated(self, fault: str | None) -> Situation | LooseFlight:
        return situation_of(self._begun.running, self._begun.terrain, fault)

    def _told(self) -> None:
        """Take what a question has come to; print it where there is no screen."""
        self._asking.turn(self._begun.running.ride.told)
        self._say_refusal()
        if self._asking.is_busy or self._asking.card == self._carded:
            return
        self._carded = self._asking.card
        for one in () if self._face.is_screen else self._carded:
            tell(one)

    def _sound(self) -> None:
        """Tell where there is no screen that the log is not being kept, and that it is again."""
        alarm = self._begun.running.journal.alarm
        why = "" if alarm is None else alarm.why
        if why != self._alarm and not self._face.is_screen:
            complain("The log is kept again." if alarm is None else alarm.words())
        self._alarm = why

    def _flush(self) -> None:
        """Take what a codec held back, of each feed that is read to its end."""
        begun = self._begun
        for one in self._readers:
            name = one.spec.name
            is_read = one.condition.state is State.ENDED and not begun.inbox.held_bytes(name)
            if is_read and name not in self._flushed:
                self._flushed.add(name)
                now = moment_of(begun.clocks)
                raw = Raw(feed=name, monotonic_s=now.monotonic_s, utc_s=now.utc_s, data=b"")
                begun.running.flush(raw)

    def _is_all_read(self) -> bool:
        return all(one.spec.name in self._flushed for one in self._readers)

    def _is_busy(self) -> bool:
        is_asked = self._asking.is_busy or bool(self._stepping.n_asked)
        return is_asked or self._begun.running.beside.is_busy


def _clock_of(running: Running) -> FlightClock:
    """Return the clock of a ride, from its launch as it was."""
    launch = running.session.launch(running.ride)
    return FlightClock(launch_t_s=launch.t_s, zone=launch.zone)
