"""In the ride: a reply with what is to be typed there, in place of words of the command line."""

import re
from collections.abc import Mapping
from typing import Final

from farglide.present.say.asked.reply import Reply

_OPTIONS: Final[Mapping[str, str]] = {
    "Ask fault --card NAME, or --grade N.": "Type f NAME, or q N and then f.",
    "A bad picture: --grade 0 to 5 finds the cause.":
        "A bad picture: type q and its grade, 0 to 5, then f: that finds the cause.",
    "Ask fault --grade N": "Type q N, then f",
    "ask fault --grade N": "type q N, then f",
}  # fmt: skip
_ASKS: Final = (
    "now|wait|burst|where|lost|sun|barrier|speed|park|picture|power|putdown|search|fault|hand|call"
)
_ASK: Final = re.compile(rf"\b([Aa])sk ({_ASKS})\b(?:((?:,? and) )({_ASKS})\b)?")


def in_ride(reply: Reply) -> Reply:
    """Return a reply as it is told in the ride, each thing to ask as it is typed there.

    >>> in_ride(Reply("Keep to the plan.", change="A nearer stand: ask park.")).change
    'A nearer stand: type ? park.'
    """
    rows = tuple((label, ride_words(words)) for label, words in reply.more)
    return Reply(
        answer=ride_words(reply.answer),
        number=ride_words(reply.number),
        until=ride_words(reply.until),
        why=ride_words(reply.why),
        change=ride_words(reply.change),
        more=rows,
    )


def ride_words(words: str) -> str:
    """Return words with what is to be typed in the ride.

    >>> ride_words("Fly faster now: ask power, and speed."), ride_words("Ask now for more.")
    ('Fly faster now: type ? power, and ? speed.', 'Type ? now for more.')
    """
    for option, typed in _OPTIONS.items():
        words = words.replace(option, typed)
    return _ASK.sub(_typed, words)


def _typed(match: re.Match[str]) -> str:
    verb = "Type" if match[1] == "A" else "type"
    more = f"{match[3]}? {match[4]}" if match[4] else ""
    return f"{verb} ? {match[2]}{more}"
