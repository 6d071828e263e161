"""The printed plan: one HTML file with everything inside, a card to carry and its tables."""

from importlib.resources import files
from typing import Final

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from farglide.outlook.outlook import Outlook
from farglide.present.draw.faces import FAMILY, NARROW, WEIGHTS, font_css
from farglide.present.draw.ladder import frame as ladder_frame
from farglide.present.draw.ladder import ladder
from farglide.present.draw.lookup import top_of_scale_km
from farglide.present.draw.maps import launch_map, plan_map
from farglide.present.markup import body, section
from farglide.present.part import Part
from farglide.present.say.answer import LAST_WORD
from farglide.present.say.climb import fill_part, hang_words
from farglide.present.say.day import waiting_part
from farglide.present.say.ground import permission_sentences
from farglide.present.say.screen import first_two
from farglide.present.say.text import FlightClock, compass_words, place_text, sentence
from farglide.report.cards import (
    blind_card,
    call_card,
    crew_card,
    fails_card,
    guessed_card,
    stop_card,
)
from farglide.report.paged import page_css
from farglide.report.pictures import fitting_css, pictures
from farglide.report.sheet import Sheet, sheets
from farglide.sortie.words import chance_words, km_text, permission_words

FONTS: Final = (
    *((FAMILY, weight) for weight in WEIGHTS), NARROW, ("Literata", 400), ("Literata", 600),
)  # fmt: skip
_FULL: Final = 950
"""More letters of answer and reasons than these leave too little of the sheet for the chart."""
_SIZES: Final = ((150, ""), (235, "long"))
"""Letters that three lines of a size of type hold, the largest first; of more the smallest."""


def render_brief(outlook: Outlook) -> str:
    """Return the plan as one HTML file: no script, no network, the same bytes for the same plan."""
    environment = Environment(
        loader=PackageLoader("farglide.report", "assets"), undefined=StrictUndefined,
        autoescape=True, trim_blocks=True, lstrip_blocks=True,
    )  # fmt: skip
    clock = FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)
    css = (files("farglide.report") / "assets" / "brief.css").read_text(encoding="utf-8")
    return environment.get_template("brief.html.jinja").render(
        outlook=outlook,
        page=_page(outlook, clock),
        pictures={name: Markup(svg) for name, svg in pictures(outlook).items()},
        fill=Markup(body(fill_part(outlook, clock))),
        crew=_section(crew_card(outlook), "crew"),
        blind=_section(blind_card(outlook, clock), "blind") if outlook.blind else "",
        waiting=_section(waiting_part(outlook, clock), "waiting") if outlook.holds else "",
        stop=_section(stop_card(outlook), "stop"),
        call=_section(call_card(outlook, clock), "call"),
        fails=_section(fails_card(outlook, clock), "fails"),
        guessed=_section(guessed_card(outlook), "guessed"),
        sheets=[_sheet(one) for one in sheets(outlook)],
        css=Markup(page_css(outlook.name, clock) + css + fitting_css()),
        fonts=Markup("".join(font_css(*font) for font in FONTS)),
    )


def _sheet(sheet: Sheet) -> dict[str, object]:
    groups = [[_section(part) for part in group] for group in sheet.groups]
    return {"key": sheet.key, "title": sheet.title, "short": sheet.short, "groups": groups}


def _section(part: Part, key: str = "") -> Markup:
    return Markup(section(part, key))


def _page(outlook: Outlook, clock: FlightClock) -> dict[str, object]:
    """Return the words of the card that are in no part."""
    missing = [permission_words(item) for item in outlook.missing]
    return {
        "date": clock.date(),
        "launch": f"{clock.launch()} at {outlook.launch_name}, "
        f"{place_text(outlook.launch_lat_deg, outlook.launch_lon_deg)}",
        "missing": None if outlook.cleared else missing,
        "asked": " ".join(permission_sentences(outlook)) if outlook.asked else "",
        "size": _size(outlook),
        "open": chance_words(outlook.open_ratio),
        "doubtful": chance_words(outlook.doubtful_ratio),
        "ladder_note": _ladder_note(outlook),
        "ladder_note_phone": ladder.left_out_words(outlook, ladder_frame.PHONE),
        "map_note": plan_map.map_note(outlook),
        "launch_note": launch_map.launch_note(outlook.launch) if outlook.launch else "",
        "gas": fill_part(outlook, clock).note,
        "hang": sentence(hang_words(outlook)),
        "towards": compass_words(outlook.side.axis_deg),
        "look_again": first_two(outlook.suspicions, "the notes"),
        "last_word": LAST_WORD,
    }


def _size(outlook: Outlook) -> str:
    """Return how large the answer is set: smaller where it or all that stands with it is long."""
    beside = (*outlook.suspicions[:2], outlook.elsewhere, outlook.order, outlook.why)
    if len(outlook.verdict) + sum(map(len, beside)) > _FULL:
        return "longest"
    return next((size for most, size in _SIZES if len(outlook.verdict) <= most), "longest")


def _ladder_note(outlook: Outlook) -> str:
    notes = [ladder.left_out_words(outlook)]
    amsl_m = outlook.ascent.beyond_amsl_m
    if amsl_m is not None and amsl_m < 1000.0 * top_of_scale_km(outlook.ascent.burst):
        notes.append(f"Above {km_text(amsl_m)} km, the dashed line, the winds are an extension.")
    if outlook.held:
        notes.append(
            "Beside: picture, the longer the better; command, whole from 10 dB; packs, wide where "
            "they last, half as wide in doubt."
        )
    if any(band.to_amsl_m < band.from_amsl_m for f in outlook.fields for band in f.bands):
        notes.append("After its top the balloon sinks again: then the clock below counts.")
    return " ".join(filter(None, notes))
