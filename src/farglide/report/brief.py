"""The printed plan: one HTML file with everything inside, a card to carry and its tables."""

from base64 import b64encode
from dataclasses import dataclass, replace
from importlib.resources import files
from typing import Final

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from farglide.outlook.outlook import Outlook
from farglide.present.draw import side, strip
from farglide.present.draw.ladder import frame as ladder_frame
from farglide.present.draw.ladder import ladder
from farglide.present.draw.lookup import top_of_scale_km
from farglide.present.draw.maps import plan_map
from farglide.present.draw.place import n_lines
from farglide.present.say.answer import LAST_WORD
from farglide.present.say.text import (
    FlightClock,
    compass_words,
    grams_text,
    km_text,
    number_text,
    odds_words,
    permission_words,
)
from farglide.report.foot import Foot, foot, foot_height_px, odds_height_px
from farglide.report.tables import parts

FONTS: Final = (
    ("Barlow Semi Condensed", 500, "barlow-semi-condensed-latin-500-normal.woff2"),
    ("Barlow Semi Condensed", 600, "barlow-semi-condensed-latin-600-normal.woff2"),
    ("Barlow Semi Condensed", 700, "barlow-semi-condensed-latin-700-normal.woff2"),
    ("Barlow Condensed", 600, "barlow-condensed-latin-600-normal.woff2"),
    ("Literata", 400, "literata-latin-400-normal.woff2"),
    ("Literata", 600, "literata-latin-600-normal.woff2"),
)
CARD_PX: Final = 1070.0  # an A4 page less its margins
SERIF_RATIO: Final = 1.17  # width of the serif against the sans, measured
BOLD_SERIF_RATIO: Final = 1.22
LADDER_KEY: Final = (  # about as the template says it, to know its length
    "If released at this height. Solid open, 9 in 10 or better; hatched doubtful, about even or "
    "better; empty shut; dots eat what a burst may take. "
)
TALLEST_PX: Final = 436.0
LOWEST_PX: Final = 262.0
WANTED_PX: Final = 292.0  # of the ladder, before the side view gives way
LOWEST_SIDE_PX: Final = 84.0
TALLEST_MAP_PX: Final = 206.0
LOWEST_MAP_PX: Final = 62.0
FILL_PX: Final = 198.0  # the fill and the heads beside the ladder
NOTE_PX: Final = 11.6  # type and line of the notes under the pictures
NOTE_LINE_PX: Final = 14.0
MAP_COLUMN_PX: Final = 224.0


def render_brief(outlook: Outlook) -> str:
    """Return the plan as one HTML file: no script, no network, the same bytes for the same plan."""
    environment = Environment(
        loader=PackageLoader("farglide.report", "assets"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    template = environment.get_template("brief.html.jinja")
    assets = files("farglide.report") / "assets"
    return template.render(
        page=_page(outlook),
        pictures=_pictures(outlook),
        parts=parts(outlook),
        css=Markup((assets / "brief.css").read_text(encoding="utf-8")),
        fonts=Markup("".join(_font(*font) for font in FONTS)),
    )


def _font(family: str, weight: int, name: str) -> str:
    data = (files("farglide.report") / "assets" / "fonts" / name).read_bytes()
    source = f"data:font/woff2;base64,{b64encode(data).decode('ascii')}"
    return (
        f'@font-face{{font-family:"{family}";font-weight:{weight};'
        f'src:url({source}) format("woff2")}}\n'
    )


def _pictures(outlook: Outlook) -> dict[str, Markup]:
    """Return every picture, in the size of the sheet and where needed in that of a phone."""
    height_px, side_look = ladder_height_px(outlook), side_look_for(outlook)
    wide = replace(ladder_frame.PAPER, height_px=height_px)
    map_look = replace(plan_map.PAPER, height_px=map_height_px(outlook))
    return {
        "ladder": Markup(ladder.ladder_svg(outlook, wide, "ladder")),
        "ladder_phone": Markup(ladder.ladder_svg(outlook, ladder_frame.PHONE, "ladder-phone")),
        "map": Markup(plan_map.map_svg(outlook, map_look, "map")),
        "strip": Markup(strip.strip_svg(outlook, strip.PAPER, "strip")),
        "strip_phone": Markup(strip.strip_svg(outlook, strip.PHONE, "strip-phone")),
        "side": Markup(side.side_svg(outlook, side_look)),
        "side_phone": Markup(side.side_svg(outlook, side.PHONE)),
    }


def ladder_height_px(outlook: Outlook) -> float:
    """Return what the words, the clock and the side view of the card leave for the ladder."""
    given_px = side.PAPER.height_px - side_look_for(outlook).height_px
    return min(TALLEST_PX, max(LOWEST_PX, CARD_PX - _used_px(outlook) + given_px))


def map_height_px(outlook: Outlook) -> float:
    """Return what the fill and the words leave for the map, beside the ladder with its note."""
    note_px = NOTE_LINE_PX * n_lines(plan_map.map_note(outlook), NOTE_PX, MAP_COLUMN_PX)
    beside_px = ladder_height_px(outlook) + NOTE_LINE_PX * _n_note_lines(outlook)
    return min(TALLEST_MAP_PX, max(LOWEST_MAP_PX, beside_px - note_px - FILL_PX))


def side_look_for(outlook: Outlook) -> side.SideLook:
    """Return the side view's size: it gives way before the ladder is lower than wanted."""
    missing_px = WANTED_PX + _used_px(outlook) - CARD_PX
    whole_px = side.PAPER.height_px
    height_px = min(whole_px, max(LOWEST_SIDE_PX, whole_px - missing_px))
    return replace(side.PAPER, height_px=height_px)


def card_height_px(outlook: Outlook) -> float:
    """Return about how high the card stands with its ladder and side view as they give way."""
    side_less_px = side.PAPER.height_px - side_look_for(outlook).height_px
    return ladder_height_px(outlook) + _used_px(outlook) - side_less_px


def shows_odds(outlook: Outlook) -> bool:
    """Return whether there is room for the line on what moves the odds; sheet 2 has it all."""
    return WANTED_PX + _needed_px(outlook) + odds_height_px(foot(outlook)) <= CARD_PX


def _used_px(outlook: Outlook) -> float:
    odds_px = odds_height_px(foot(outlook)) if shows_odds(outlook) else 0.0
    return _needed_px(outlook) + odds_px


def _needed_px(outlook: Outlook) -> float:
    used = 24.0  # the cap line
    used += 10.0 + 32.0 * n_lines(outlook.verdict, 27.0 * BOLD_SERIF_RATIO, 700.0)
    used += 4.0 + 20.0 * n_lines(outlook.why, 14.8 * SERIF_RATIO, 700.0)
    if outlook.would_open:
        words = "What would open it: " + "; ".join(outlook.would_open)
        used += 4.0 + 20.0 * n_lines(words, 14.8 * SERIF_RATIO, 700.0)
    if not outlook.cleared:
        used += 24.0 + 20.0 * n_lines(
            "; ".join(map(permission_words, outlook.missing)), 14.0, 500.0
        )
    used += (
        9.0 + 4.0 + NOTE_LINE_PX * _n_note_lines(outlook)
    )  # the row's gap and the note under the ladder
    used += 8.0 + strip.strip_height_px(outlook)
    used += 8.0 + 21.0 + side.PAPER.height_px
    cards = foot(outlook)
    used += 9.0 + foot_height_px(cards)
    used += 22.0  # the last line
    return used


def _n_note_lines(outlook: Outlook) -> int:
    return n_lines(LADDER_KEY + _ladder_note(outlook), NOTE_PX, 466.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """The words of the card."""

    name: str
    date: str
    launch: str
    zone: str
    missing: tuple[str, ...] | None
    verdict: str
    why: str
    would_open: tuple[str, ...]
    open: str
    doubtful: str
    ladder_note: str
    ladder_note_phone: str
    map_note: str
    gas: str
    hang: str
    fill_heads: tuple[str, ...]
    fill_rows: tuple[tuple[bool, tuple[str, ...]], ...]
    towards: str
    foot: Foot
    shows_odds: bool
    last_word: str


def _page(outlook: Outlook) -> Page:
    clock = FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)
    fill, axis_deg = outlook.fill, outlook.side.axis_deg
    missing = tuple(permission_words(item) for item in outlook.missing)
    return Page(
        name=outlook.name,
        date=clock.date(),
        launch=f"{clock.local(0.0)} ({clock.utc(0.0)} UTC) at {outlook.launch_name}",
        zone=outlook.zone,
        missing=None if outlook.cleared else missing,
        verdict=outlook.verdict,
        why=outlook.why,
        would_open=outlook.would_open,
        open=odds_words(outlook.open_ratio),
        doubtful=odds_words(outlook.doubtful_ratio),
        ladder_note=_ladder_note(outlook),
        ladder_note_phone=ladder.left_out_words(outlook, ladder_frame.PHONE),
        map_note=plan_map.map_note(outlook),
        gas=f"{fill.gas}, {number_text(fill.volume_m3, 2)} m³",
        hang=grams_text(fill.neck_lift_kg),
        fill_heads=(
            "hang, g",
            f"m at {clock.local(300.0)}",
            "half burst by, km",
            "at",
            "drift, km",
        ),
        fill_rows=_fill_rows(outlook, clock),
        towards=compass_words(axis_deg),
        foot=foot(outlook),
        shows_odds=shows_odds(outlook),
        last_word=LAST_WORD,
    )


def _ladder_note(outlook: Outlook) -> str:
    notes = [ladder.left_out_words(outlook)]
    amsl_m = outlook.ascent.beyond_amsl_m
    if amsl_m is not None and amsl_m < 1000.0 * top_of_scale_km(outlook.ascent.burst):
        notes.append(f"Above {km_text(amsl_m)} km, the dashed line, the winds are an extension.")
    if outlook.held:
        notes.append(
            "Beside: picture, longer is better; command, whole from 10 dB in hand; packs for the "
            "chosen field, solid where they last."
        )
    if any(band.to_amsl_m < band.from_amsl_m for f in outlook.fields for band in f.bands):
        notes.append("After its top the balloon sinks again: then the clock below counts.")
    return " ".join(note for note in notes if note)


def _fill_rows(outlook: Outlook, clock: FlightClock) -> tuple[tuple[bool, tuple[str, ...]], ...]:
    return tuple(
        (
            abs(row.neck_lift_kg - outlook.fill.neck_lift_kg) < 5e-4,
            (
                grams_text(row.neck_lift_kg),
                number_text(row.height_at_5_min_amsl_m),
                km_text(row.burst_amsl_m),
                clock.local(row.burst_after_launch_s),
                km_text(row.drift_m, 0),
            ),
        )
        for row in outlook.fill.rows
    )
