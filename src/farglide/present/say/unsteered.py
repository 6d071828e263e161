"""If something fails, in words: seconds left after a burst, and where unsteered things land."""

from collections.abc import Iterator, Sequence
from math import floor
from typing import Final

from farglide.outlook.decision import DecisionOutlook
from farglide.outlook.faults import SecondsLeft, Unsteered
from farglide.outlook.outlook import Outlook
from farglide.present.part import Column, Part, Strong, Table
from farglide.present.say.text import FlightClock, place_text
from farglide.sortie.words import km_text, number_text

COLUMNS: Final = (
    Column("what", 30, prose=True, short=""), Column("from, km", 7), Column("down", 7),
    Column("8 in 10", 13), Column("drift, km", 10), Column("near", 20),
    Column("9 in 10 within, km", 11, short="within km"),
)  # fmt: skip
HANDS_OFF: Final = "glider, hands off"
ON_SCREEN: Final = 3
"""Fields whose seconds the first screen tells."""


def seconds_text(left: SecondsLeft) -> str:
    """Return the seconds left in whole tens, rounded down: a deadline is never told too late."""
    tens = 10 * floor(left.seconds_s / 10.0 + 1e-9)
    return f"{number_text(tens)} s" if tens else "under 10 s"


def burst_km(outlook: DecisionOutlook) -> str:
    """Return the height of the burst that the seconds left are told for, in whole km."""
    return km_text(outlook.seconds_left[0].burst_amsl_m, 0)


def never_left(outlook: DecisionOutlook) -> list[str]:
    """Return the fields that such a burst leaves out of reach from the start."""
    known = {left.field for left in outlook.seconds_left}
    return [field.name for field in outlook.fields if field.name not in known]


def in_reach_words(told: Sequence[SecondsLeft]) -> tuple[str, ...]:
    """Return what to do after such a burst and for how long, in pieces, the seconds strong."""
    pieces = ["send the release at once; in reach for "]
    for n, left in enumerate(told):
        pieces += [f"{', ' if n else ''}{left.field} ", Strong(seconds_text(left))]
    return tuple(pieces)


def first_left(outlook: DecisionOutlook) -> list[SecondsLeft]:
    """Return the seconds left for the chosen field, then for the first others."""
    chosen = outlook.release.field if outlook.release else ""
    return sorted(outlook.seconds_left, key=lambda one: one.field != chosen)[:ON_SCREEN]


def tied_sentences(outlook: DecisionOutlook) -> Iterator[str]:
    """Yield what to do after a burst with the glider still tied on, and for how long it helps."""
    left = first_left(outlook)
    if not left:
        yield "If it bursts with the glider still tied on, send the release at once."
        return
    first, *more = (f"{one.field}%s for {seconds_text(one)}" for one in left)
    told = ", ".join([first % " stays in reach", *(words % "" for words in more)])
    yield (
        "If it bursts with the glider still tied on, send the release at once: from "
        f"{burst_km(outlook)} km {told}."
    )


def unsteered_sentences(outlook: DecisionOutlook, clock: FlightClock) -> Iterator[str]:
    """Yield whom to tell when nobody steers, and where the glider then comes down."""
    words = hands_off_words(outlook, clock)
    yield f"Tell air traffic at once. {words[0].upper()}{words[1:]}"


def unsteered_part(outlook: Outlook, clock: FlightClock) -> Part:
    """Return the seconds left, and where all comes down that nobody steers."""
    facts: list[str] = []
    if outlook.seconds_left:
        told = first_left(outlook)
        left = (one for one in outlook.seconds_left if one not in told)
        more = [f"{one.field} {seconds_text(one)}" for one in left]
        more += [f"{name} not at all" for name in never_left(outlook)]
        burst = f"after a burst at {burst_km(outlook)} km, the glider still tied on, also in reach"
        facts = [f"{burst}: {', '.join(more)}"] if more else []
    rows = [unsteered_row(one, clock) for one in outlook.unsteered]
    near = "drift: downwind from where it begins; within: 9 in 10 come down that near the place"
    after = [near] if rows else []
    title, table = "If nobody steers", Table(columns=COLUMNS, rows=rows)
    return Part(title=title, note="times local", facts=facts, table=table, after=after)


def seconds_left_part(outlook: Outlook) -> Part:
    """Return how long each field stays in reach after such a burst, for paper."""
    rows = [(left.field, seconds_text(left)) for left in outlook.seconds_left]
    note = f"from {burst_km(outlook)} km: send the release at once" if rows else ""
    rows += [(name, "not at all") for name in never_left(outlook)] if rows else []
    table = Table(columns=(Column("field"), Column("in reach for")), rows=rows)
    return Part(title="Burst, the glider still tied on", note=note, table=table)


def hands_off_words(outlook: DecisionOutlook, clock: FlightClock) -> str:
    """Return in one sentence where the glider comes down that nobody steers, if that is known."""
    for one in outlook.unsteered:
        if one.what == HANDS_OFF:
            near = place_text(one.lat_deg, one.lon_deg)
            drift, within = km_text(one.drift_m, 0), km_text(one.radius_m, 0)
            down = clock.local(one.down_after_launch_s.p50)
            where = f"{drift} km downwind, near {near}; 9 in 10 land within {within} km of it"
            return f"hands off, it comes down about {down}, {where}."
    return "no flight without hands was measured, so nobody knows where it comes down."


def unsteered_row(one: Unsteered, clock: FlightClock) -> tuple[str, ...]:
    """Return one thing that nobody steers: what, from km, down, 8 in 10, drift, near, within."""
    down = one.down_after_launch_s
    return (
        one.what, km_text(one.from_amsl_m, 0), clock.local(down.p50),
        clock.span(down.p10, down.p90), km_text(one.drift_m, 0),
        place_text(one.lat_deg, one.lon_deg), km_text(one.radius_m, 0),
    )  # fmt: skip
