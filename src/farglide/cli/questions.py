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
from farglide.outlook.document import Documented
from farglide.present.say.advice import QUESTIONS as ADVISED
from farglide.present.say.advice import answer_lines
from farglide.present.say.asked.call import call_reply
from farglide.present.say.asked.car import lost_reply, park_reply, picture_reply
from farglide.present.say.asked.down import search_reply
from farglide.present.say.asked.faults import fault_reply
from farglide.present.say.asked.hand import hand_reply
from farglide.present.say.asked.reply import Reply, reply_lines
from farglide.present.say.asked.sky import power_reply, sun_reply
from farglide.present.say.asked.ways import barrier_reply, putdown_reply, speed_reply
from farglide.present.say.text import FlightClock

_ALL: Final = 20_000
_FEW: Final = 200
"""Draws where many heights or cells are asked: a chance is then told to within 0.03."""


T = TypeVar("T", bound=Documented)


class Answered(NamedTuple):
    """An answer as lines, and as the value that they tell."""

    lines: list[str]
    found: Documented


class Question(NamedTuple):
    """What a question is about, and who answers it, of how many draws at most."""

    about: str
    answered: Callable[[Situation, FlightClock], Answered]
    most_draws: int = _ALL


def of(
    about: str,
    found: Callable[[Situation], T],
    words: Callable[[T, FlightClock], Reply],
    most_draws: int = _ALL,
) -> Question:
    """Return a question that a value answers, in the words for it."""

    def answered(asked: Situation, clock: FlightClock) -> Answered:
        value = found(asked)
        return Answered(reply_lines(words(value, clock)), value)

    return Question(about, answered, most_draws)


def advised(name: str, about: str) -> Question:
    """Return a question that the advice itself answers."""

    def answered(asked: Situation, clock: FlightClock) -> Answered:
        return Answered(answer_lines(name, asked.advice, clock), asked.advice)

    return Question(about, answered)


_ABOUT: Final = {
    "now": "all of the advice", "wait": "what one, two and five more minutes are worth",
    "burst": "when it bursts if nobody lets go", "where": "where it is by now, and the winds",
}  # fmt: skip
QUESTIONS: Final[Mapping[str, Question]] = {
    **{name: advised(name, _ABOUT[name]) for name in ADVISED},
    "lost": of("no picture: what to do, until when", lost_now, lost_reply),
    "sun": of("which way to turn by the sun", sun_now, sun_reply),
    "barrier": of("past wood, water, ridge or border", barrier_now, barrier_reply, _FEW),
    "speed": of("what to fly, let go now", speed_now, speed_reply),
    "park": of("where to stand, when to set off", park_now, park_reply),
    "picture": of("which picture there should be", picture_now, picture_reply),
    "power": of("which of packs and light ends first", power_now, power_reply),
    "putdown": of("where to put it with no field open", putdown_now, putdown_reply, _FEW),
    "search": of("where to look first, down from here", search_now, search_reply),
    "fault": of("a fault: first step, time in hand", fault_now, fault_reply),
    "hand": of("twelve words for the other car", hand_now, hand_reply),
    "call": of("what to tell an air traffic unit", call_now, call_reply),
}
"""All questions, by the word that is typed."""
