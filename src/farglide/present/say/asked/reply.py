"""Reply: an answer in the order that a crew needs it, in lines of 80 columns."""

from collections.abc import Iterable, Sequence
from textwrap import wrap
from typing import Final, NamedTuple

from farglide.present.say.asked.asks import Asks, on_command_line
from farglide.present.say.text import FlightClock, plus_minutes

COLUMNS: Final = 80
_LABEL: Final = 8


class Reply(NamedTuple):
    """An answer: what to do, how much, until when, why, what would change it, and more of it.

    `more`: rows of their own, each a label and what it says. What to ask next is marked, as `asks`
    has it.
    """

    answer: str
    number: str = ""
    until: str = ""
    why: str = ""
    change: str = ""
    more: tuple[tuple[str, str], ...] = ()


def reply_lines(reply: Reply, asks: Asks = on_command_line) -> list[str]:
    """Return a reply in lines, the answer alone on the first; what it does not say is left out.

    `asks`: tells what to ask next as it is typed where the reply is read.

    >>> reply_lines(Reply("Wait.", number="9 in 10", more=(("Car", "at home"),)))
    ['Wait.', '  Number   9 in 10', '  Car      at home']
    """
    rows: Iterable[tuple[str, str]] = (
        ("Number", reply.number),
        ("Until", reply.until),
        ("Why", reply.why),
        ("Changes", reply.change),
        *reply.more,
    )
    lines = wrap(asks(reply.answer), COLUMNS, break_on_hyphens=False)
    for label, words in rows:
        if words:
            head = f"{label:<{_LABEL}}" if len(label) <= _LABEL else f"{label}:"
            first, more = f"  {head} ", " " * (_LABEL + 3)
            lines += wrap(
                asks(words), COLUMNS, initial_indent=first, subsequent_indent=more,
                break_on_hyphens=False,
            )  # fmt: skip
    return lines


def as_of(lines: Sequence[str], after_launch_s: float, clock: FlightClock) -> list[str]:
    """Return an answer with the moment that it holds for, below the sentence that it begins with.

    >>> as_of(["Wait.", "  Number   9 in 10"], 4200.0, FlightClock(launch_t_s=0.0, zone="UTC"))
    ['Wait.', '  As of    01:10, T+70.', '  Number   9 in 10']
    """
    n = next((k for k, one in enumerate(lines) if not one or one[0] == " "), len(lines))
    moment = f"{clock.local(after_launch_s)}, {plus_minutes(after_launch_s)}."
    return [*lines[:n], f"  {'As of':<{_LABEL}} {moment}", *lines[n:]]


def joined(*told: str) -> str:
    """Return sentences one behind the other, empty ones left out.

    >>> joined("Wait.", "", "Then go.")
    'Wait. Then go.'
    """
    return " ".join(one for one in told if one)
