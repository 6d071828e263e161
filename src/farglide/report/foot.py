"""The cards at the foot of the first sheet: if something fails, whom to call, cautions."""

from dataclasses import dataclass
from typing import Final

from farglide.outlook.outlook import Gain, Outlook
from farglide.present.draw.place import n_lines
from farglide.present.say.gains import chosen, parted
from farglide.present.say.links.car import no_picture_words
from farglide.present.say.text import (
    FlightClock,
    bearing_text,
    compass_words,
    number_text,
    odds_words,
    sentence,
    sun_words,
)
from farglide.present.say.unsteered import (
    burst_km,
    hands_off_words,
    never_left,
    seconds_text,
)

TEXT_PX: Final = 11.8
LINE_PX: Final = 14.4
GAP_PX: Final = 2.5  # below each paragraph
HEAD_PX: Final = 25.0
TABLE_ROW_PX: Final = 18.6
COLUMN_PX: Final = 223.0
WHOLE_PX: Final = 700.0
N_FIELDS: Final = 5
N_NO_PICTURE: Final = 2  # where to aim until when, and what to send; the rest is on sheet 2
N_LINES: Final = 9  # of the tallest card, about; cautions that find no room are on sheet 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Foot:
    """The words of the cards."""

    burst: str  # "Burst at 26 km, still tied on", or nothing when no field is in reach then
    left: tuple[tuple[str, str], ...]  # field, seconds
    left_more: str
    hands_off: str
    no_picture: str  # what to do before the release; nothing without links
    odds: tuple[tuple[str, str], ...]  # what moves the odds most
    calls: tuple[tuple[str, ...], ...]
    calls_note: str
    sun: str
    field: str
    field_bearing: str
    cautions: tuple[str, ...]


def foot(outlook: Outlook) -> Foot:
    """Return the cards, cut to what a sheet has room for."""
    clock = FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)
    towards = compass_words(outlook.side.axis_deg)
    drift = f"Drift {number_text(outlook.ascent.farthest_km)} km, {towards}."
    return Foot(
        burst=f"Burst at {burst_km(outlook)} km, still tied on" if outlook.seconds_left else "",
        left=tuple((left.field, seconds_text(left)) for left in outlook.seconds_left[:N_FIELDS]),
        left_more=_left_more(outlook),
        hands_off=hands_off_words(outlook, clock),
        no_picture=_no_picture(outlook, clock),
        odds=_odds(outlook),
        calls=_calls(outlook, clock),
        calls_note=f"And at launch, release, landing; at once if nobody flies it. {drift}",
        sun=_sun(outlook, clock),
        field=outlook.sun.field,
        field_bearing=bearing_text(outlook.sun.field_bearing_deg),
        cautions=_fitting(outlook.cautions),
    )


def foot_height_px(cards: Foot) -> float:
    """Return about how high the foot stands: the tallest of its three cards."""
    fails = [f"Nobody steers it: {cards.hands_off}"]
    if cards.burst:
        fails.insert(0, left_sentence(cards))
    if cards.no_picture:
        fails.insert(0, f"No picture: {cards.no_picture}")
    first = HEAD_PX + _paragraphs_px(fails)
    sun = f"Sun {cards.sun} {cards.field} bears {cards.field_bearing}."
    call = HEAD_PX + TABLE_ROW_PX * len(cards.calls) + 4.0
    call += _paragraphs_px([cards.calls_note, sun])
    return max(first, call, HEAD_PX + _paragraphs_px(list(cards.cautions)))


def _no_picture(outlook: Outlook, clock: FlightClock) -> str:
    words = no_picture_words(outlook, clock)[:N_NO_PICTURE]
    return f"{'; '.join(words)}." if words else ""


def odds_height_px(cards: Foot) -> float:
    """Return about how high the line on what moves the odds stands."""
    if not cards.odds:
        return 0.0
    words = " ".join(f"{what} {words}" for what, words in cards.odds)
    return 8.0 + LINE_PX * n_lines(words, TEXT_PX, WHOLE_PX)


def left_sentence(cards: Foot) -> str:
    """Return what the card says about a burst with the glider still tied on."""
    each = ", ".join(f"{name} {seconds}" for name, seconds in cards.left)
    return f"{cards.burst}: send release at once; in reach for {each}{cards.left_more}."


def _paragraphs_px(paragraphs: list[str]) -> float:
    return sum(LINE_PX * _n_lines(words) + GAP_PX for words in paragraphs)


def _n_lines(words: str) -> int:
    return n_lines(words, TEXT_PX, COLUMN_PX)


def _left_more(outlook: Outlook) -> str:
    n_more, n_never = len(outlook.seconds_left) - N_FIELDS, len(never_left(outlook))
    words = ", the other not at all" if n_never == 1 else ", the others not at all"
    never = words if n_never else ""
    return f", {n_more} more on sheet 2{never}" if n_more > 0 else never


def _odds(outlook: Outlook) -> tuple[tuple[str, str], ...]:
    """Return the best of the changes and the dearest of the guesses."""
    field = chosen(outlook)
    better = [("Better:", _gain_words(gain, field, "")) for gain in parted(outlook)[0][:1]]
    unknown = [
        ("Not known:", _gain_words(gain, field, " if wrong")) for gain in outlook.unknowns[:1]
    ]
    return (*better, *unknown)


def _gain_words(gain: Gain, field: str, condition: str) -> str:
    words = f"{gain.what}, {field} {odds_words(gain.odds_ratio)}{condition}."
    return f"{words} {sentence(gain.advice)}".rstrip()


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
    words = sun_words(sun.azimuth_deg, sun.elevation_deg)
    if outlook.release is not None:
        words = f"at {clock.local(outlook.release.release_by_after_launch_s)} {words}"
    if sun.sunset_after_launch_s is not None:
        words += f"; sets {clock.local(sun.sunset_after_launch_s)}"
    return f"{words}."


def _fitting(cautions: tuple[str, ...]) -> tuple[str, ...]:
    """Return the cautions that the card has room for; the second sheet has them all."""
    kept: list[str] = []
    lines = 0
    for n, caution in enumerate(cautions):
        lines += _n_lines(caution)
        last = n == len(cautions) - 1
        if kept and lines > N_LINES - (0 if last else 1):
            return (*kept, f"And {len(cautions) - len(kept)} more on sheet 2.")
        kept.append(caution)
    return tuple(kept)
