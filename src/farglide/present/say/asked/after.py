"""After in words: each question of a flight that no whole balloon carries any more."""

from collections.abc import Callable, Mapping
from typing import Final

from farglide.outlook.advice import Advice
from farglide.outlook.after import AfterNow, Stage
from farglide.present.say.asked.asks import Asks, on_command_line
from farglide.present.say.asked.loose.car import picture_reply
from farglide.present.say.asked.loose.lost import lost_reply, where_reply
from farglide.present.say.asked.loose.now import not_any_more, nothing_to_steer, now_reply
from farglide.present.say.asked.loose.ways import (
    barrier_reply,
    power_reply,
    putdown_reply,
    speed_reply,
)
from farglide.present.say.asked.reply import Reply, reply_lines
from farglide.present.say.text import FlightClock

_OF_WAY: Final = ("barrier", "speed", "picture", "putdown", "power")
"""What is asked of its way: nothing once it should be down."""
Told = Callable[[Advice, AfterNow, FlightClock], Reply]


def after_lines(
    question: str, advice: Advice, after: AfterNow, clock: FlightClock, asks: Asks = on_command_line
) -> list[str]:
    """Return what an advice after the release says to a question, the answer first."""
    told = AFTER.get(question, not_any_more)
    if advice.stage is Stage.DOWN and question in _OF_WAY:
        told = nothing_to_steer
    return reply_lines(told(advice, after, clock), asks)


AFTER: Final[Mapping[str, Told]] = {
    "now": now_reply,
    "where": where_reply,
    "lost": lost_reply,
    "barrier": barrier_reply,
    "speed": speed_reply,
    "picture": picture_reply,
    "putdown": putdown_reply,
    "power": power_reply,
}
"""What can be asked of a flight after its release or burst, and who answers it."""
