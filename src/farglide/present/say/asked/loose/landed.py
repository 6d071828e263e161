"""Landed in words: what is left to do once it is marked as down."""

from farglide.outlook.askedafter import LandedNow
from farglide.present.say.asked.reply import Reply
from farglide.present.say.text import FlightClock, place_text
from farglide.sortie.words import number_text


def landed_reply(found: LandedNow, clock: FlightClock) -> Reply:
    """Return where to look for it, whatever was asked."""
    if found.lat_deg is None or found.lon_deg is None or found.seen_after_launch_s is None:
        return Reply(
            answer="It is down, as you marked, and was never seen.",
            change="A place: farglide search --last.",
        )
    place, at = place_text(found.lat_deg, found.lon_deg, 4), clock.local(found.seen_after_launch_s)
    high = "" if found.amsl_m is None else f", {number_text(found.amsl_m)} m above sea level"
    return Reply(
        answer="It is down, as you marked. Look for it: farglide search.",
        number=f"Seen last at {at}: {place}{high}.",
        why="Nothing else is asked of a flight that is over.",
        change="If it still flies: take the mark back.",
    )
