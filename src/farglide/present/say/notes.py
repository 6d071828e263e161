"""What a reader must know: where the winds come from, what was assumed, cautions."""

from math import isfinite

from farglide.outlook.outlook import Outlook
from farglide.present.part import Part
from farglide.present.say.climb import bottle_words
from farglide.present.say.text import (
    FlightClock,
    duration_words,
    km_text,
    number_text,
    place_text,
    sentence,
)


def winds_text(outlook: Outlook) -> str:
    """Return where the winds come from, how old they are, and how many draws bear the chance."""
    age = "age unknown"
    if isfinite(outlook.wind_age_s):
        after = " after the launch" if outlook.wind_age_s < 0.0 else " old at launch"
        age = duration_words(abs(outlook.wind_age_s)) + after
        if abs(outlook.wind_age_s) < 30.0:
            age = "for the time of the launch"
    draws = f"{number_text(outlook.n_draws)} draws, seed {outlook.seed}"
    return f"Winds: {outlook.wind_origin}, {age}. {draws}."


def notes_part(outlook: Outlook, clock: FlightClock) -> Part:
    """Return what a reader must know about inputs and limits; on paper also winds and gas."""
    notes = [outlook.levels_note, *outlook.notes]
    amsl_m = outlook.ascent.beyond_amsl_m
    if amsl_m is not None:
        notes.append(f"above {km_text(amsl_m)} km the winds are an extension of the sounding")
    told = tuple(sentence(note) for note in notes if note.strip())
    fill, burst = outlook.fill, outlook.ascent.burst
    paper = (
        winds_text(outlook),
        *told,
        f"Gas: {number_text(fill.volume_m3, 2)} m³ of {fill.gas}, {bottle_words(outlook)}.",
        f"Burst: {clock.spread(burst.after_launch_s)}, most likely near "
        f"{place_text(burst.lat_deg, burst.lon_deg)}.",
    )
    return Part(title="Notes", facts=told, paper=paper)


def cautions_part(outlook: Outlook) -> Part:
    """Return every caution."""
    return Part(title="Cautions", facts=outlook.cautions)
