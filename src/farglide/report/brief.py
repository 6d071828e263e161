"""The printed plan: one HTML file with everything inside, a card to carry and its tables."""

from base64 import b64encode
from dataclasses import dataclass, replace
from importlib.resources import files
from typing import Final

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from farglide.present import ladder, plan_map, side, strip
from farglide.present.answer import LAST_WORD
from farglide.present.place import text_width_px
from farglide.present.text import (
    FlightClock,
    bearing_text,
    compass_words,
    duration_words,
    grams_text,
    km_text,
    number_text,
    odds_words,
)
from farglide.report.tables import parts
from farglide.sortie.outlook import Gain, Outlook

FONTS: Final = (
    ("Barlow Semi Condensed", 500, "barlow-semi-condensed-latin-500-normal.woff2"),
    ("Barlow Semi Condensed", 600, "barlow-semi-condensed-latin-600-normal.woff2"),
    ("Barlow Semi Condensed", 700, "barlow-semi-condensed-latin-700-normal.woff2"),
    ("Barlow Condensed", 600, "barlow-condensed-latin-600-normal.woff2"),
    ("Literata", 400, "literata-latin-400-normal.woff2"),
    ("Literata", 600, "literata-latin-600-normal.woff2"),
)
CARD_PX: Final = 1080.0  # an A4 page less its margins, by the estimates below
WIDTH_MARGIN: Final = 1.03  # widths are estimates
FOOT_LINES: Final = 8  # lines of the three cards at the foot
FOOT_LINE_PX: Final = 14.4
FOOT_COLUMN_PX: Final = 220.0
SERIF_RATIO: Final = 1.22  # width of the serif against the sans
LADDER_KEY: Final = (  # as the template says it, to know its length
    "If released at this height. Solid open, 9 in 10 or better; hatched doubtful, 5 in 10 or "
    "better; empty shut; dots eat what a burst may take. "
)
TALLEST_PX: Final = 436.0
LOWEST_PX: Final = 280.0


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
    wide = replace(ladder.PAPER, height_px=height_px)
    map_look = replace(plan_map.PAPER, height_px=206.0 - 0.8 * (TALLEST_PX - height_px))
    return {
        "ladder": Markup(ladder.ladder_svg(outlook, wide, "ladder")),
        "ladder_phone": Markup(ladder.ladder_svg(outlook, ladder.PHONE, "ladder-phone")),
        "map": Markup(plan_map.map_svg(outlook, map_look, "map")),
        "strip": Markup(strip.strip_svg(outlook, strip.PAPER, "strip")),
        "strip_phone": Markup(strip.strip_svg(outlook, strip.PHONE, "strip-phone")),
        "side": Markup(side.side_svg(outlook, side_look)),
        "side_phone": Markup(side.side_svg(outlook, side.PHONE)),
    }


def ladder_height_px(outlook: Outlook) -> float:
    """Return what the words, the clock and the side view of the card leave for the ladder."""
    return min(TALLEST_PX, max(LOWEST_PX, CARD_PX - _used_px(outlook)))


def side_look_for(outlook: Outlook) -> side.SideLook:
    """Return the side view's size: it gives way once the ladder is as low as it may be."""
    missing_px = LOWEST_PX + _used_px(outlook) - CARD_PX
    height_px = min(side.PAPER.height_px, max(90.0, side.PAPER.height_px - missing_px))
    return replace(side.PAPER, height_px=height_px)


def _used_px(outlook: Outlook) -> float:
    used = 24.0  # the cap line
    used += 10.0 + 32.0 * _n_lines(outlook.verdict, 27.0 * SERIF_RATIO, 700.0)
    used += 4.0 + 20.0 * _n_lines(outlook.why, 14.8 * SERIF_RATIO, 700.0)
    if outlook.would_open:
        words = "What would open it: " + "; ".join(outlook.would_open)
        used += 4.0 + 20.0 * _n_lines(words, 14.8 * SERIF_RATIO, 700.0)
    if not outlook.cleared:
        used += 24.0 + 20.0 * _n_lines("; ".join(outlook.missing), 14.0, 500.0)
    used += 9.0 + 4.0 + 14.0 * _n_note_lines(outlook)  # the row's gap and the note under the ladder
    used += 8.0 + strip.strip_height_px(outlook)
    used += 8.0 + 21.0 + side.PAPER.height_px
    used += 28.0 + FOOT_LINES * FOOT_LINE_PX + 14.0
    used += 22.0  # the last line
    return used


def _n_note_lines(outlook: Outlook) -> int:
    return _n_lines(LADDER_KEY + _ladder_note(outlook), 11.6, 466.0)


def _n_lines(words: str, size_px: float, width_px: float) -> int:
    """Return on how many lines the words go, filled word by word with a little in hand."""
    n_lines, used_px, space_px = 1, 0.0, text_width_px(" ", size_px)
    for word in words.split():
        word_px = WIDTH_MARGIN * text_width_px(word, size_px)
        if used_px and used_px + space_px + word_px > width_px:
            n_lines, used_px = n_lines + 1, 0.0
        used_px += (space_px if used_px else 0.0) + word_px
    return n_lines


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
    gains: tuple[tuple[str, str], ...]
    unknowns: tuple[tuple[str, str], ...]
    calls: tuple[tuple[str, ...], ...]
    drift: str
    sun: str
    home_bearing: str
    cautions: tuple[str, ...]
    last_word: str


def _page(outlook: Outlook) -> Page:
    clock = FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)
    fill, axis_deg = outlook.fill, outlook.side.axis_deg
    farthest = number_text(outlook.ascent.farthest_km)
    return Page(
        name=outlook.name,
        date=clock.date(),
        launch=f"{clock.local(0.0)} ({clock.utc(0.0)} UTC) at {outlook.launch_name}",
        zone=outlook.zone,
        missing=None if outlook.cleared else outlook.missing,
        verdict=outlook.verdict,
        why=outlook.why,
        would_open=outlook.would_open,
        open="9 in 10",
        doubtful="5 in 10",
        ladder_note=_ladder_note(outlook),
        ladder_note_phone=ladder.left_out_words(outlook, ladder.PHONE),
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
        gains=_first(outlook.gains, 4),
        unknowns=_first(outlook.unknowns, 2),
        calls=_calls(outlook, clock),
        drift=f"Drift {farthest} km, {compass_words(axis_deg)}.",
        sun=_sun(outlook, clock),
        home_bearing=bearing_text(outlook.sun.home_bearing_deg),
        cautions=_fitting(outlook.cautions),
        last_word=LAST_WORD,
    )


def _ladder_note(outlook: Outlook) -> str:
    notes = [ladder.left_out_words(outlook)]
    amsl_m = outlook.ascent.beyond_amsl_m
    if amsl_m is not None:
        notes.append(f"Above {km_text(amsl_m)} km, the dashed line, the winds are an extension.")
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


def _first(gains: tuple[Gain, ...], n_lines: int) -> tuple[tuple[str, str], ...]:
    """Return the first of the gains, as many as fit on the lines, and at least one."""
    kept: list[tuple[str, str]] = []
    for gain in gains:
        words = _gain(gain)
        n_lines -= _n_lines(": ".join(words), 11.8, FOOT_COLUMN_PX)
        if kept and n_lines < 0:
            break
        kept.append(words)
    return tuple(kept)


def _gain(gain: Gain) -> tuple[str, str]:
    words = f"home {odds_words(gain.odds_ratio)}, shut {duration_words(gain.shut_s)}."
    return gain.what, f"{words} {gain.advice}".rstrip()


def _calls(outlook: Outlook, clock: FlightClock) -> tuple[tuple[str, ...], ...]:
    """Return the call card turned on its side: levels, local times, UTC."""
    levels = outlook.ascent.levels[:6]
    if not levels:
        return ()
    passages = [level.after_launch_s.p50 for level in levels]
    return (
        ("FL", *(str(level.flight_level) for level in levels)),
        ("local", *(clock.local(after) for after in passages)),
        ("UTC", *(clock.utc(after) for after in passages)),
    )


def _sun(outlook: Outlook, clock: FlightClock) -> str:
    sun = outlook.sun
    bears = f"bears {bearing_text(sun.azimuth_deg)}, {number_text(sun.elevation_deg)}° up"
    if outlook.release is not None:
        bears = f"at {clock.local(outlook.release.release_by_after_launch_s)} {bears}"
    if sun.sunset_after_launch_s is not None:
        bears += f"; sets {clock.local(sun.sunset_after_launch_s)}"
    return f"{bears}."


def _fitting(cautions: tuple[str, ...]) -> tuple[str, ...]:
    """Return the cautions that the card has room for; the second sheet has them all."""
    kept: list[str] = []
    n_lines = 0
    for caution in cautions:
        n_lines += _n_lines(caution, 11.8, FOOT_COLUMN_PX)
        if n_lines > FOOT_LINES:
            kept.append(f"And {len(cautions) - len(kept)} more on sheet 2.")
            break
        kept.append(caution)
    return tuple(kept)
