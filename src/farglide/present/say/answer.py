"""The whole plan: the first screen, then in parts all that carries it."""

from typing import Final

from farglide.outlook.outlook import Outlook
from farglide.present.lines import blocks, part_lines
from farglide.present.part import Part
from farglide.present.say.climb import bottle_words, climb_part, fill_part
from farglide.present.say.day import day_part, waiting_part
from farglide.present.say.gains import changes_parts
from farglide.present.say.ground import draws_text, ground_wind_words, last_word, winds_apart
from farglide.present.say.hardware import heat_part
from farglide.present.say.launch import launch_parts
from farglide.present.say.links.aim import aim_part
from farglide.present.say.links.car import car_part, no_picture_part
from farglide.present.say.links.causes import causes_part
from farglide.present.say.links.sky import lost_part
from farglide.present.say.links.weaker import weaker_part
from farglide.present.say.places.barriers import barriers_part
from farglide.present.say.release import fields_part, release_part, release_s
from farglide.present.say.screen import left_out
from farglide.present.say.speeds import glider_part, speeds_part
from farglide.present.say.text import FlightClock, place_text, sentence
from farglide.present.say.unsteered import seconds_left_part, unsteered_part
from farglide.sortie.words import number_text, winds_end_words

LAST_WORD: Final = last_word("pilot")


def more_lines(outlook: Outlook) -> list[str]:
    """Return what the first screen leaves out, block by block, and the last word."""
    more = Part(head="What the first screen had no room for", facts=left_out(outlook))
    return blocks(*map(part_lines, (more, *answer_parts(outlook))))


def answer_parts(outlook: Outlook) -> tuple[Part, ...]:
    """Return every block of the plan but the first screen: both terminal and brief show them."""
    clock = FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)
    return (
        fields_part(outlook, clock), release_part(outlook, clock),
        *launch_parts(outlook, clock), barriers_part(outlook), climb_part(outlook, clock),
        fill_part(outlook, clock), day_part(outlook, clock), waiting_part(outlook, clock),
        car_part(outlook, clock), aim_part(outlook, release_s(outlook), clock),
        no_picture_part(outlook, clock), causes_part(outlook, clock),
        weaker_part(outlook, clock), lost_part(outlook), speeds_part(outlook),
        glider_part(outlook), heat_part(outlook, clock), unsteered_part(outlook, clock),
        seconds_left_part(outlook), *changes_parts(outlook), notes_part(outlook, clock),
        Part(title="Cautions", facts=outlook.cautions), Part(margin=0, facts=(LAST_WORD,)),
    )  # fmt: skip


def winds_text(outlook: Outlook) -> str:
    """Return where the winds come from, how old they are, and how many draws bear the chance."""
    drawn = draws_text(outlook.n_draws, outlook.seed)
    return f"Winds: {outlook.wind_origin}, {winds_apart(outlook)}. {drawn}"


def notes_part(outlook: Outlook, clock: FlightClock) -> Part:
    """Return what a reader must know about inputs and limits; on paper also winds and gas."""
    notes = [outlook.levels_note, *outlook.suspicions, *outlook.notes]
    told = [sentence(note) for note in notes if note.strip()]
    beyond_m = outlook.ascent.beyond_amsl_m
    fill, burst = outlook.fill, outlook.ascent.burst
    paper = (
        winds_text(outlook),
        winds_end_words(beyond_m) if beyond_m is not None else "",
        f"Ground wind {ground_wind_words(outlook.ground_wind_mps, outlook.ground_wind_limit_mps)}",
        *told,
        f"Gas: {number_text(fill.volume_m3, 2)} m³ of {fill.gas}, {bottle_words(outlook)}.",
        f"Burst: {clock.spread(burst.after_launch_s)}, most likely near "
        f"{place_text(burst.lat_deg, burst.lon_deg)}.",
    )
    return Part(
        title="Notes", facts=[*told, draws_text(outlook.n_draws, outlook.seed)], paper=paper
    )
