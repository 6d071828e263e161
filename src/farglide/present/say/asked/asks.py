"""Asks: what a reply says to ask next, as it is typed on the command line, and in the ride.

Words mark it: <ask park> and its other names, <ask fault NAME> of a card, <ask fault N> of a grade.
"""

import re
from collections.abc import Callable, Mapping
from typing import Final

_MARKED: Final = re.compile(r"<([Aa]sk )?([^<>]+)>")
_ON_COMMAND_LINE: Final[Mapping[str, str]] = {
    "fault NAME": "fault --card NAME",
    "fault N": "fault --grade N",
}
_IN_RIDE: Final[Mapping[str, str]] = {"fault NAME": "f NAME", "fault N": "q N and then f"}
_VERBS: Final[Mapping[str | None, str]] = {None: "", "ask ": "type ", "Ask ": "Type "}

Asks = Callable[[str], str]
"""Returns words with what to ask next as it is typed where they are read."""


def on_command_line(words: str) -> str:
    """Return words with what is typed behind the name of the program.

    >>> on_command_line("<Ask power>, and <speed>."), on_command_line("Seen worse? <Ask fault N>.")
    ('Ask power, and speed.', 'Seen worse? Ask fault --grade N.')
    """
    return _MARKED.sub(lambda one: f"{one[1] or ''}{_ON_COMMAND_LINE.get(one[2], one[2])}", words)


def in_ride(words: str) -> str:
    """Return words with what is typed at the bottom line of the ride.

    >>> in_ride("<Ask power>, and <speed>."), in_ride("Seen worse? <Ask fault N>.")
    ('Type ? power, and ? speed.', 'Seen worse? Type q N and then f.')
    """
    return _MARKED.sub(lambda one: f"{_VERBS[one[1]]}{_IN_RIDE.get(one[2], f'? {one[2]}')}", words)
