"""The whole plan in parts: the decision first, then what carries it."""

from typing import Final

from farglide.outlook.outlook import Outlook
from farglide.present.lines import parts_lines
from farglide.present.part import Part
from farglide.present.say.climb import climb_part, fill_part
from farglide.present.say.day import day_part, waiting_part
from farglide.present.say.fields import fields_part
from farglide.present.say.gains import base_part, gains_parts, spots_part, unknowns_part
from farglide.present.say.hardware import heat_part
from farglide.present.say.links.aim import aim_part
from farglide.present.say.links.car import car_part, no_picture_part
from farglide.present.say.links.causes import causes_part
from farglide.present.say.links.lost import lost_part
from farglide.present.say.links.weaker import weaker_part
from farglide.present.say.notes import cautions_part, notes_part, winds_text
from farglide.present.say.places.barriers import barriers_part
from farglide.present.say.release import release_part, release_s
from farglide.present.say.speeds import glider_part, speeds_part
from farglide.present.say.text import FlightClock, permission_words
from farglide.present.say.unsteered import seconds_left_part, unsteered_part

LAST_WORD: Final = (
    "Advice from a forecast and a model that may be wrong. The pilot and the authorities decide; "
    "the last word is to your eyes."
)


def answer_lines(outlook: Outlook) -> list[str]:
    """Return the plan in plain lines of at most 100 columns."""
    return parts_lines(answer_parts(outlook))


def answer_parts(outlook: Outlook) -> tuple[Part, ...]:
    """Return every block of the plan: what is added here a terminal and the brief both show."""
    clock = FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)
    return (
        *_decision(outlook, clock),
        fields_part(outlook, clock),
        release_part(outlook, clock),
        car_part(outlook, clock),
        aim_part(outlook, release_s(outlook), clock),
        no_picture_part(outlook, clock),
        lost_part(outlook),
        barriers_part(outlook),
        climb_part(outlook, clock),
        fill_part(outlook, clock),
        day_part(outlook, clock),
        waiting_part(outlook),
        heat_part(outlook, clock),
        speeds_part(outlook),
        glider_part(outlook),
        unsteered_part(outlook, clock),
        seconds_left_part(outlook),
        causes_part(outlook, clock),
        weaker_part(outlook, clock),
        base_part(outlook),
        *gains_parts(outlook),
        unknowns_part(outlook),
        spots_part(outlook),
        notes_part(outlook, clock),
        cautions_part(outlook),
        Part(margin=0, facts=(LAST_WORD,)),
    )


def _decision(outlook: Outlook, clock: FlightClock) -> tuple[Part, ...]:
    """Return what the card says in large, in plain lines."""
    missing = tuple(f"missing: {permission_words(item)}" for item in outlook.missing)
    opens = f"What would open it: {'; '.join(outlook.would_open)}." if outlook.would_open else ""
    launch = f"{outlook.name}, {clock.date()}, launch {clock.both(0.0)} at {outlook.launch_name}."
    return (
        Part(head="NOT CLEARED", facts=() if outlook.cleared else missing),
        Part(margin=0, facts=(outlook.verdict, outlook.why, opens)),
        Part(margin=0, facts=(launch, winds_text(outlook))),
    )
