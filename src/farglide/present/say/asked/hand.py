"""The hand-over in words: what to read aloud, and what it says."""

from farglide.outlook.asked import HandNow
from farglide.present.say.asked.reply import Reply
from farglide.present.say.text import FlightClock, place_text
from farglide.sortie.words import duration_words, km_text

_GROUP = 4


def hand_reply(found: HandNow, clock: FlightClock) -> Reply:
    """Return the twelve words in groups of four, and what the other car takes them for."""
    words = found.words.split()
    groups = [" ".join(words[k : k + _GROUP]) for k in range(0, len(words), _GROUP)]
    field = f", for {found.field}" if found.field else ""
    left = "" if found.left_s is None else f", {duration_words(found.left_s)} left"
    return Reply(
        answer=f"Over {', '.join(groups)}.",
        number=f"{found.phase.capitalize()}, {km_text(found.amsl_m)} km, "
        f"{place_text(found.lat_deg, found.lon_deg)}{field}{left}; winds {found.wind}.",
        until=f"Of {clock.local(found.after_launch_s)}, to 20 s; say a new one after a minute.",
        why="Place and height to 100 m. Any one wrong word, or two swapped, does not check.",
        change=f"The other car types it behind: over; typed late, behind: over "
        f"{clock.local(found.after_launch_s)}. Both need the same flight file.",
    )
