"""Accept: is a wind near enough in time and place."""

import math
from dataclasses import replace
from typing import Final

from farglide.air.sounding import Sounding
from farglide.earth.clock import utc_offset_s
from farglide.earth.state import place_of
from farglide.errors import SourceError
from farglide.rig.winds import DATELESS, PLACELESS
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie
from farglide.sortie.words import number_text
from farglide.sources.winds import distance_km

FREE_AGE_H: Final = 3.0
FREE_DISTANCE_KM: Final = 100.0
"""Within these a wind is taken; beyond, only if the flight file accepts it."""
MOST_AGE_H: Final = 240
MOST_DISTANCE_KM: Final = 2000
"""The most that a flight file may accept."""


def _sign_words(sortie: Sortie, sounding: Sounding) -> str:
    """Return a question where the other sign of the clock's offset would bring the wind near."""
    offset_s = utc_offset_s(sortie.launch.t_s, sortie.launch.zone)
    other_s = sortie.launch.t_s + 2.0 * offset_s
    if offset_s == 0.0 or abs(other_s - sounding.t_s) > 3600.0 * FREE_AGE_H:
        return ""
    return "With the other sign of the clock's offset it would be near: look at launch_at."


def accepted(sortie: Sortie, sounding: Sounding, path: str, flight_text: str = "") -> Pack:
    """Return the pack of a flight with these winds, which came from `path`.

    A wind older or farther than the flight file accepts is refused, 3 h and 100 km if it states no
    others. How much it is doubted, the draws take from its age, distance and lead time.
    """
    launch = sortie.launch
    age_h = abs(launch.t_s - sounding.t_s) / 3600.0
    away_km = distance_km(sounding, place_of(launch))
    accept_age_h = sortie.wind.accept_age_h if sortie.wind else FREE_AGE_H
    accept_km = sortie.wind.accept_distance_km if sortie.wind else FREE_DISTANCE_KM
    if age_h > accept_age_h:
        what = f"is {age_h:.1f} h from the launch; {accept_age_h:g} h is accepted."
        nearer = _remedy("accept_age_h", math.ceil(age_h), MOST_AGE_H)
        raise SourceError(path, "time", what, _sign_words(sortie, sounding) or nearer)
    if away_km > accept_km:
        what = f"is {number_text(away_km)} km from the launch; {accept_km:g} km is accepted."
        remedy = _remedy("accept_distance_km", math.ceil(away_km), MOST_DISTANCE_KM)
        raise SourceError(path, "place", what, remedy)
    return Pack(
        sounding=_with_unknowns_noted(sounding),
        flight_text=flight_text,
    )


def _remedy(key: str, needed: int, most: int) -> str:
    if needed > most:
        return f"Take a nearer wind: {key} in [wind] goes to {most} at most."
    return f"Take a nearer wind, or accept it with {key} = {needed} in [wind]."


def _with_unknowns_noted(sounding: Sounding) -> Sounding:
    """Return the sounding with a note for each of time and place that its file does not say."""
    notes = []
    if math.isnan(sounding.t_s):
        notes.append(DATELESS)
    if math.isnan(sounding.lat_deg) or math.isnan(sounding.lon_deg):
        notes.append(PLACELESS)
    return replace(sounding, notes=(*sounding.notes, *notes)) if notes else sounding
