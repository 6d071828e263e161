"""Questions: what can be asked of a flight in the air, one line each."""

from collections.abc import Callable, Mapping
from typing import Final, NamedTuple, TypeVar

from farglide.live.asked.call import call_now
from farglide.live.asked.down import search_now
from farglide.live.asked.faults import fault_now
from farglide.live.asked.hand import hand_now
from farglide.live.asked.power import power_now
from farglide.live.asked.situation import Situation
from farglide.live.asked.sky import sun_now
from farglide.live.asked.stands import lost_now, park_now, picture_now
from farglide.live.asked.ways import barrier_now, putdown_now, speed_now
from farglide.live.loosened.call import call_after
from farglide.live.loosened.down import search_after
from farglide.live.loosened.faults import fault_after
from farglide.live.loosened.flight import LooseFlight
from farglide.live.loosened.hand import hand_after
from farglide.live.loosened.sky import sun_after
from farglide.live.loosened.stands import park_after
from farglide.outlook.advice import Advice
from farglide.outlook.document import Documented
from farglide.present.say.advice import answer_lines
from farglide.present.say.asked.asks import in_ride, on_command_line
from farglide.present.say.asked.call import call_reply
from farglide.present.say.asked.car import lost_reply, park_reply, picture_reply
from farglide.present.say.asked.down import search_reply
from farglide.present.say.asked.faults import fault_reply
from farglide.present.say.asked.hand import hand_reply
from farglide.present.say.asked.loose.call import call_after_reply
from farglide.present.say.asked.loose.car import park_after_reply
from farglide.present.say.asked.loose.down import search_after_reply
from farglide.present.say.asked.loose.faults import fault_after_reply
from farglide.present.say.asked.loose.hand import hand_after_reply
from farglide.present.say.asked.loose.sky import sun_after_reply
from farglide.present.say.asked.reply import Reply, as_of, reply_lines
from farglide.present.say.asked.sky import power_reply, sun_reply
from farglide.present.say.asked.ways import barrier_reply, putdown_reply, speed_reply
from farglide.present.say.text import FlightClock

_ALL: Final = 20_000
_FEW: Final = 200
"""Draws where many heights or cells are asked: a chance is then told to within 0.03."""


T = TypeVar("T", bound=Documented)


class Answered(NamedTuple):
    """An answer as lines, and as the value that they tell.

    `in_ride`: the lines as the ride tells them, with what is typed there.
    """

    lines: list[str]
    found: Documented
    in_ride: list[str]


class Question(NamedTuple):
    """What a question is about, and who answers it, of how many draws at most.

    `carried`: while a whole balloon carries the glider; `loose`: afterwards.
    """

    about: str
    carried: Callable[[Situation, FlightClock], Answered]
    loose: Callable[[LooseFlight, FlightClock], Answered]
    most_draws: int = _ALL

    def answered(self, asked: Situation | LooseFlight, clock: FlightClock) -> Answered:
        """Return the answer for a flight as it is."""
        if isinstance(asked, LooseFlight):
            return dated(self.loose(asked, clock), asked.now_s, clock)
        return dated(self.carried(asked, clock), asked.now_s, clock)


def dated(told: Answered, after_launch_s: float, clock: FlightClock) -> Answered:
    """Return an answer with the moment that it holds for."""
    lines, in_ride = (as_of(one, after_launch_s, clock) for one in (told.lines, told.in_ride))
    return told._replace(lines=lines, in_ride=in_ride)


def replied(reply: Reply, found: Documented) -> Answered:
    """Return a reply as an answer."""
    return Answered(reply_lines(reply), found, reply_lines(reply, in_ride))


def of(
    found: Callable[[Situation], T], words: Callable[[T, FlightClock], Reply]
) -> Callable[[Situation, FlightClock], Answered]:
    """Return what answers a question of a carried flight by a value of its own."""

    def carried(asked: Situation, clock: FlightClock) -> Answered:
        value = found(asked)
        return replied(words(value, clock), value)

    return carried


def by_advice(name: str) -> Callable[[Situation | LooseFlight, FlightClock], Answered]:
    """Return what answers a question out of the advice itself."""

    def answered(asked: Situation | LooseFlight, clock: FlightClock) -> Answered:
        lines, ridden = (
            answer_lines(name, asked.advice, clock, asks) for asks in (on_command_line, in_ride)
        )
        return Answered(lines, asked.advice, ridden)

    return answered


def afterwards(
    found: Callable[[LooseFlight], T], words: Callable[[T, Advice, FlightClock], Reply]
) -> Callable[[LooseFlight, FlightClock], Answered]:
    """Return what answers a question of a loose flight by a value of its own."""

    def loose(asked: LooseFlight, clock: FlightClock) -> Answered:
        value = found(asked)
        return replied(words(value, asked.advice, clock), value)

    return loose


_ABOUT: Final = {
    "now": "all of the advice",
    "wait": "what one, two and five more minutes are worth",
    "burst": "when it bursts if nobody lets go",
    "where": "where it is by now, and the winds",
    "lost": "no picture: what to do, until when",
    "sun": "which way to turn by the sun",
    "barrier": "past wood, water, ridge or border",
    "speed": "what to fly, let go now",
    "park": "where to stand, when to set off",
    "picture": "which picture there should be",
    "power": "which of packs and light ends first",
    "putdown": "where to put it with no field open",
    "search": "where to look first, down from here",
    "fault": "a fault: first step, time in hand",
    "hand": "twelve words for the other car",
    "call": "what to tell an air traffic unit",
}
_CARRIED: Final[Mapping[str, Callable[[Situation, FlightClock], Answered]]] = {
    "lost": of(lost_now, lost_reply),
    "sun": of(sun_now, sun_reply),
    "barrier": of(barrier_now, barrier_reply),
    "speed": of(speed_now, speed_reply),
    "park": of(park_now, park_reply),
    "picture": of(picture_now, picture_reply),
    "power": of(power_now, power_reply),
    "putdown": of(putdown_now, putdown_reply),
    "search": of(search_now, search_reply),
    "fault": of(fault_now, fault_reply),
    "hand": of(hand_now, hand_reply),
    "call": of(call_now, call_reply),
}
"""What is answered by a value of its own while a whole balloon carries the glider."""
_LOOSE: Final[Mapping[str, Callable[[LooseFlight, FlightClock], Answered]]] = {
    "sun": afterwards(sun_after, sun_after_reply),
    "park": afterwards(park_after, park_after_reply),
    "search": afterwards(search_after, search_after_reply),
    "fault": afterwards(fault_after, fault_after_reply),
    "hand": afterwards(hand_after, hand_after_reply),
    "call": afterwards(call_after, call_after_reply),
}
"""What is answered so afterwards; all else is told by the advice itself."""
_MOST_DRAWS: Final = {"barrier": _FEW, "putdown": _FEW}
QUESTIONS: Final[Mapping[str, Question]] = {
    name: Question(
        about=about,
        carried=_CARRIED.get(name, by_advice(name)),
        loose=_LOOSE.get(name, by_advice(name)),
        most_draws=_MOST_DRAWS.get(name, _ALL),
    )
    for name, about in _ABOUT.items()
}
"""All questions, by the word that is typed."""
