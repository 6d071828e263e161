"""Cards of the sheets: what a crew must not forget, when to stop, what fails, whom to call."""

from typing import Final

from farglide.outlook.outlook import Outlook
from farglide.present.part import Column, Fact, Part, Strong, Table
from farglide.present.say.climb import farthest_words
from farglide.present.say.crew import crew_facts, gas_facts, stop_words
from farglide.present.say.ground import ground_wind_words
from farglide.present.say.links.car import blind_sentences
from farglide.present.say.text import FlightClock, bearing_text, sentence, sun_words
from farglide.present.say.unsteered import burst_km, hands_off_words, in_reach_words, never_left

N_LEVELS: Final = 6


def crew_card(outlook: Outlook) -> Part:
    """Return the cautions that are needed while the sheet is in the hand."""
    return Part(title="Take care", facts=crew_facts(outlook))


def blind_card(outlook: Outlook, clock: FlightClock) -> Part:
    """Return what to do first when the picture is lost; nothing without a release."""
    told = tuple(blind_sentences(outlook, clock)) if outlook.blind is not None else ()
    return Part(title="No picture", facts=told)


def stop_card(outlook: Outlook) -> Part:
    """Return above which wind nobody fills, and what the gas asks for: beside the fill."""
    wind = ground_wind_words(outlook.ground_wind_mps, outlook.ground_wind_limit_mps)
    facts = (sentence(wind), *gas_facts(outlook))
    return Part(title=stop_words(outlook), facts=facts)


def guessed_card(outlook: Outlook) -> Part:
    """Return every number that nobody knows, and every one that is taken as usual."""
    guesses = ", ".join(outlook.guesses) or "nothing"
    usual = (f"usual values, not measured: {', '.join(outlook.usual)}",) if outlook.usual else ()
    return Part(title="Guessed", facts=(guesses, *usual))


def fails_card(outlook: Outlook, clock: FlightClock) -> Part:
    """Return what to do when the balloon bursts, and where it comes down if nobody steers."""
    facts: list[Fact] = []
    if outlook.seconds_left:
        head = Strong(f"Burst at {burst_km(outlook)} km, still tied on:")
        never = tuple(f", {name} not at all" for name in never_left(outlook))
        facts.append((head, " ", *in_reach_words(outlook.seconds_left), *never))
    facts.append((Strong("Nobody steers it:"), f" {hands_off_words(outlook, clock)}"))
    return Part(title="If something fails", paper=facts)


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
