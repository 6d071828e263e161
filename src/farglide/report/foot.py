"""The cards at the foot of the first sheet: if something fails, whom to call, cautions."""

from itertools import accumulate
from typing import Final

from farglide.outlook.outlook import Outlook
from farglide.present.part import Column, Fact, Part, Strong, Table
from farglide.present.say.climb import farthest_words
from farglide.present.say.links.car import no_picture_words
from farglide.present.say.text import FlightClock, bearing_text, sun_words
from farglide.present.say.unsteered import burst_km, hands_off_words, in_reach_words, never_left

N_FIELDS: Final = 5
N_NO_PICTURE: Final = 2  # where to aim until when, and what to send; the rest is on sheet 2
N_LETTERS: Final = 360  # of cautions that the card has room for; sheet 2 has them all
N_LEVELS: Final = 6


def fails_card(outlook: Outlook, clock: FlightClock) -> Part:
    """Return what to do when the balloon bursts, the picture is gone, or nobody steers."""
    facts: list[Fact] = []
    if outlook.seconds_left:
        left = outlook.seconds_left
        head = Strong(f"Burst at {burst_km(outlook)} km, still tied on:")
        facts.append((head, " ", *in_reach_words(left[:N_FIELDS]), _others(outlook)))
    if words := no_picture_words(outlook, clock)[:N_NO_PICTURE]:
        facts.append((Strong("No picture:"), f" {'; '.join(words)}"))
    facts.append((Strong("Nobody steers it:"), f" {hands_off_words(outlook, clock)}"))
    return Part(title="If something fails", paper=facts)


def _others(outlook: Outlook) -> str:
    n_more, n_never = len(outlook.seconds_left) - N_FIELDS, len(never_left(outlook))
    more = f", {n_more} more on sheet 2" if n_more > 0 else ""
    others = "the other" if n_never == 1 else "the others"
    return f"{more}, {others} not at all" if n_never else more


def call_card(outlook: Outlook, clock: FlightClock) -> Part:
    """Return the call card turned on its side, levels over times, and where the sun stands."""
    levels = outlook.ascent.levels[:N_LEVELS]
    passages = [level.after_launch_s.p50 for level in levels]
    rows = (
        ("FL", *(str(level.flight_level) for level in levels)),
        ("local", *map(clock.local, passages)),
        ("UTC", *map(clock.utc, passages)),
    )
    columns, shown = (Column(""),) * (1 + len(levels)), rows if levels else ()
    table = Table(columns=columns, rows=shown, row_heads=True, kind="calls")
    bears = f" bears {bearing_text(outlook.sun.field_bearing_deg)}"
    drift = f"Drift {farthest_words(outlook)}"
    facts = (
        f"And at launch, release, landing; at once if nobody flies it. {drift}",
        (Strong("Sun"), f" {_sun_words(outlook, clock)}. ", Strong(outlook.sun.field), bears),
    )
    return Part(title="Call", note="air traffic unit ____________", paper=facts, table=table)


def _sun_words(outlook: Outlook, clock: FlightClock) -> str:
    sun, release = outlook.sun, outlook.release
    at = f"at {clock.local(release.release_by_after_launch_s)} " if release else ""
    sets_s = sun.sunset_after_launch_s
    sets = f"; sets {clock.local(sets_s)}" if sets_s is not None else ""
    return f"{at}{sun_words(sun.azimuth_deg, sun.elevation_deg)}{sets}"


def cautions_card(outlook: Outlook) -> Part:
    """Return the first cautions, and how many more the second sheet has."""
    lengths = accumulate(map(len, outlook.cautions))
    n_told = max(1, sum(length <= N_LETTERS for length in lengths))
    more = len(outlook.cautions) - n_told
    counted = (f"And {more} more on sheet 2.",) if more > 0 else ()
    return Part(title="Cautions", facts=(*outlook.cautions[:n_told], *counted))
