"""The hand-over in words after the release."""

from farglide.outlook.advice import Advice
from farglide.outlook.asked import HandNow
from farglide.present.say.asked.hand import hand_reply
from farglide.present.say.asked.reply import Reply
from farglide.present.say.text import FlightClock


def hand_after_reply(found: HandNow, _: Advice, clock: FlightClock) -> Reply:
    """Return what to read aloud; the time left is that until its field is out of reach."""
    return hand_reply(found, clock)
