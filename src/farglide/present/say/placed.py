"""Placed: where a carried glider is in words, and where antennas are aimed at it."""

from collections.abc import Iterator
from typing import Final

from farglide.outlook.advice import Advice
from farglide.outlook.freshness import Freshness
from farglide.present.say.text import FlightClock, place_text, sentence
from farglide.sortie.words import duration_words, km_text

_STALE_S: Final = 15.0


def place_words(advice: Advice, clock: FlightClock) -> str:
    """Return where it is and how high; of an old fix that it is guessed, and how surely."""
    place = advice.place
    at = f"{km_text(place.amsl_m)} km up, {place_text(place.lat_deg, place.lon_deg)}"
    age_s = advice.after_launch_s - place.seen_after_launch_s
    if age_s < _STALE_S:
        return sentence(f"{at}, at {clock.local(advice.after_launch_s)}")
    within = f"{place.most_within_m / 1000.0:.1f} km"
    return sentence(f"guessed for {duration_words(age_s)}: {at}, 9 in 10 within {within} of it")


def aim_lines(advice: Advice) -> Iterator[str]:
    """Yield where antennas are aimed from each stand."""
    for one in advice.aims:
        at = f"{one.azimuth_deg:03.0f}°, {one.elevation_deg:.0f}° up"
        rough = "" if one.data is Freshness.FRESH else f"; the place is {one.data} for that beam"
        yield sentence(f"from {one.stand} aim at {at}{rough}")
