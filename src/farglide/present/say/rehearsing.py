"""Rehearsing in words: what happens now, what to begin beside it, and how it ends."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from farglide.present.lines import WIDTH, wrapped
from farglide.sortie.words import duration_words

COMMAND: Final = "   farglide "
"""How the line begins that a command is copied from."""
COMMAND_GOES_ON: Final = "     --"
_HOURS: Final = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Rehearsing:
    """A rehearsal that waits for its ride.

    `name`: of the flight file; `command`: that begins the ride, in pieces none of which may be
    broken; `goes_on`: what the shell wants at the end of a line that goes on in the next, empty
    where it knows none; `launch_at`: time of the launch; `how`: what may be typed, empty where a
    crew of ours flies.
    """

    name: str
    command: tuple[str, ...]
    goes_on: str = ""
    launch_at: str
    speed: float
    how: str


def rehearsing_lines(told: Rehearsing, width: int = WIDTH) -> Iterator[str]:
    """Yield what is said before anything happens; the command stands so that it can be copied."""
    speed = told.speed
    yield from wrapped(
        f"A made-up flight of {told.name}, launched at {told.launch_at} by its own clock. It goes "
        f"{speed:g} times as fast as life: a minute of it takes {_here(60.0 / speed)}, {_HOURS} "
        f"hours take {_here(3600.0 * _HOURS / speed)}.", 0, 0, width,
    )  # fmt: skip
    yield "1. Begin the ride in a second terminal, with this command:"
    yield from _command_lines(told, width)
    yield from wrapped(
        "2. The flight begins as soon as the ride hears the tracker, or with Enter here. The "
        "launch is a minute of the flight later. Nothing happens before.", 0, 3, width,
    )  # fmt: skip
    if told.how:
        yield from wrapped(
            f"3. The glider hears you here, not in the ride. {told.how}", 0, 3, width
        )
    else:
        yield "3. A crew of ours lets go and steers: you only look on."
    ends = "4. It ends when it is down: then what was decided is weighed. Ctrl-C ends it before."
    yield from wrapped(ends, 0, 3, width)
    yield "Waiting for the ride ..."


def _command_lines(told: Rehearsing, width: int) -> Iterator[str]:
    """Yield the command in as few lines as copy whole: broken between its pieces, never in one."""
    line = COMMAND + told.command[0]
    for piece in told.command[1:]:
        if told.goes_on and len(f"{line} {piece} {told.goes_on}") > width:
            yield f"{line} {told.goes_on}"
            line = COMMAND_GOES_ON + piece.removeprefix("--")
        else:
            line += f" {piece}"
    yield line


def begins_words(left_s: float, speed: float) -> str:
    """Return that it begins, and when the launch is.

    >>> begins_words(60.0, 10.0)
    'It begins. Launch in 60 s of the flight: in 6 s here.'
    """
    return f"It begins. Launch in {left_s:.0f} s of the flight: in {_here(left_s / speed)} here."


def _here(seconds: float) -> str:
    return duration_words(max(seconds, 1.0))
