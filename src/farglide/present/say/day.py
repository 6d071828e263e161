"""The day in words: what ends it, light, and what waiting costs."""

from typing import Final

from farglide.outlook.outlook import Outlook
from farglide.present.part import Column, Part, Table
from farglide.present.say.gains import chosen
from farglide.present.say.ground import latest_words
from farglide.present.say.sentences import ends_told
from farglide.present.say.text import (
    FlightClock,
    bearing_text,
    duration_words,
    plus_minutes,
    sun_words,
)
from farglide.sortie.words import chance_words, km_text, number_text

END_COLUMNS: Final = tuple(map(Column, ("what ends", "T+", "local", "UTC")))


def day_part(outlook: Outlook, clock: FlightClock) -> Part:
    """Return what ends the day; in a terminal with the sun and the price of waiting."""
    told = ends_told(outlook)
    rows = [
        (
            f"{_quickest(outlook, name)}{late}",
            plus_minutes(after),
            clock.local(after),
            clock.utc(after),
        )
        for after, name, late in told
    ]
    for pack in outlook.packs:
        early, late = (clock.local(t) for t in (pack.after_launch_s.p10, pack.after_launch_s.p90))
        if early != late:
            rows.append((f"{pack.name}: 8 in 10 end", "", f"{early}–{late}", ""))
    facts = [f"{_quickest(outlook, name)} {clock.both(after)}{late}" for after, name, late in told]
    facts += [_sun(outlook), *waiting_words(outlook)]
    table = Table(columns=END_COLUMNS, rows=rows)
    return Part(title="The end of the day", head="The day", facts=facts, table=table)


def _quickest(outlook: Outlook, name: str) -> str:
    """Return the name of an end; which way is flown and how high, where it is the quickest."""
    if outlook.release is None or not name.startswith("over "):
        return name
    return f"{number_text(outlook.release.arrival_agl_m)} m {name}, the quickest way"


def _sun(outlook: Outlook) -> str:
    sun, at = outlook.sun, "the release" if outlook.release else "the burst"
    far = f"{km_text(sun.field_distance_m, 0)} km away"
    bears = f"{sun.field} bears {bearing_text(sun.field_bearing_deg)}, {far}"
    return f"at {at} the sun {sun_words(sun.azimuth_deg, sun.elevation_deg)}; {bears}"


def waiting_words(outlook: Outlook) -> list[str]:
    """Return the price of waiting in one sentence: each chance with the longest wait for it."""
    if outlook.release is None:
        return []
    told = [(chance, wait_s) for chance, wait_s in _longest(outlook).items() if wait_s > 0.0]
    if not told:
        return []
    each = ", ".join(f"{chance} up to {duration_words(wait_s)}" for chance, wait_s in told)
    return [f"waiting with the packs on, {chosen(outlook)} has a chance of {each}"]


def _longest(outlook: Outlook) -> dict[str, float]:
    """Return each chance that waiting leaves with the longest wait for it, in seconds."""
    return {chance_words(one.chance_ratio, outlook.bounds): one.delay_s for one in outlook.holds}


def waiting_part(outlook: Outlook, clock: FlightClock) -> Part:
    """Return what waiting costs, as paper shows it."""
    rows = [
        ("not waiting" if wait_s < 0.5 else f"up to {duration_words(wait_s)}", chance)
        for chance, wait_s in _longest(outlook).items()
    ]
    table = Table(columns=(Column("wait"), Column(chosen(outlook))), rows=rows)
    return Part(title="Waiting with the packs on", note=latest_words(outlook, clock), table=table)
