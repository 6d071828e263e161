"""The whole plan in parts: the decision first, then what carries it."""

from math import isfinite
from typing import Final

from farglide.outlook.outlook import Outlook
from farglide.present.lines import blocks, part_lines
from farglide.present.part import Part
from farglide.present.say.climb import bottle_words, climb_part, fill_part
from farglide.present.say.day import day_part, waiting_part
from farglide.present.say.gains import base_part, changes_parts
from farglide.present.say.hardware import heat_part
from farglide.present.say.launch import launch_parts
from farglide.present.say.links.aim import aim_part
from farglide.present.say.links.car import car_part, no_picture_part
from farglide.present.say.links.causes import causes_part
from farglide.present.say.links.sky import lost_part
from farglide.present.say.links.weaker import weaker_part
from farglide.present.say.places.barriers import barriers_part
from farglide.present.say.release import fields_part, release_part, release_s
from farglide.present.say.speeds import glider_part, speeds_part
from farglide.present.say.text import FlightClock, duration_words, place_text, sentence
from farglide.present.say.unsteered import seconds_left_part, unsteered_part
from farglide.sortie.words import km_text, number_text, permission_words

LAST_WORD: Final = (
    "Advice from a forecast and a model that may be wrong. The pilot and the authorities decide; "
    "the last word is to your eyes."
)


def answer_lines(outlook: Outlook) -> list[str]:
    """Return the plan in plain lines of at most 100 columns."""
    return blocks(*map(part_lines, answer_parts(outlook)))


def answer_parts(outlook: Outlook) -> tuple[Part, ...]:
    """Return every block of the plan: what is added here a terminal and the brief both show."""
    clock = FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)
    return (
        *_decision(outlook, clock), fields_part(outlook, clock), release_part(outlook, clock),
        car_part(outlook, clock), aim_part(outlook, release_s(outlook), clock),
        no_picture_part(outlook, clock), lost_part(outlook), barriers_part(outlook),
        climb_part(outlook, clock), fill_part(outlook, clock), day_part(outlook, clock),
        waiting_part(outlook), heat_part(outlook, clock), speeds_part(outlook),
        glider_part(outlook), unsteered_part(outlook, clock), seconds_left_part(outlook),
        causes_part(outlook, clock), weaker_part(outlook, clock),
        *launch_parts(outlook, clock), base_part(outlook), *changes_parts(outlook),
        notes_part(outlook, clock),
        Part(title="Cautions", facts=outlook.cautions), Part(margin=0, facts=(LAST_WORD,)),
    )  # fmt: skip


def _decision(outlook: Outlook, clock: FlightClock) -> tuple[Part, ...]:
    """Return what the card says in large, in plain lines."""
    missing = tuple(f"missing: {permission_words(item)}" for item in outlook.missing)
    opens = f"What would open it: {'; '.join(outlook.would_open)}." if outlook.would_open else ""
    launch = f"{outlook.name}, {clock.date()}, launch {clock.both(0.0)} at {outlook.launch_name}."
    headline = " ".join(filter(None, (outlook.verdict, outlook.elsewhere)))
    cleared = Part(head="NOT CLEARED", facts=() if outlook.cleared else missing)
    said = (headline, outlook.why, opens), (launch, winds_text(outlook))
    suspected = Part(head="LOOK AGAIN", facts=outlook.suspicions)
    return (cleared, suspected, *(Part(margin=0, facts=facts) for facts in said))


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
    told = [sentence(note) for note in notes if note.strip()]
    fill, burst = outlook.fill, outlook.ascent.burst
    paper = (
        winds_text(outlook),
        *told,
        f"Gas: {number_text(fill.volume_m3, 2)} m³ of {fill.gas}, {bottle_words(outlook)}.",
        f"Burst: {clock.spread(burst.after_launch_s)}, most likely near "
        f"{place_text(burst.lat_deg, burst.lon_deg)}.",
    )
    return Part(title="Notes", facts=told, paper=paper)
