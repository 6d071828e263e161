"""The day in words: what ends it, light, and what waiting costs."""

from typing import Final

from farglide.outlook.outlook import Outlook
from farglide.present.part import Column, Part, Table
from farglide.present.say.gains import chosen
from farglide.present.say.sentences import ends_told
from farglide.present.say.text import (
    FlightClock,
    bearing_text,
    duration_words,
    latest_launch_words,
    plus_minutes,
    sun_words,
)
from farglide.sortie.words import chance_words, km_text

END_COLUMNS: Final = tuple(map(Column, ("what ends", "T+", "local", "UTC")))


def day_part(outlook: Outlook, clock: FlightClock) -> Part:
    """Return what ends the day; in a terminal with the sun and the price of waiting."""
    told = ends_told(outlook)
    rows = [
        (name + late, plus_minutes(after), clock.local(after), clock.utc(after))
        for after, name, late in told
    ]
    for pack in outlook.packs:
        early, late = (clock.local(t) for t in (pack.after_launch_s.p10, pack.after_launch_s.p90))
        if early != late:
            rows.append((f"{pack.name}: 8 in 10 end", "", f"{early}–{late}", ""))
    facts = [f"{name} {clock.both(after)}{late}" for after, name, late in told]
    facts += [_sun(outlook), latest_words(outlook)]
    for hold in outlook.holds:
        if hold.delay_s > 0.0 and outlook.release:
            chance = f"{chosen(outlook)} {chance_words(hold.chance_ratio, outlook.bounds)}"
            facts.append(f"waiting {duration_words(hold.delay_s)} with the packs on: {chance}")
    table = Table(columns=END_COLUMNS, rows=rows)
    return Part(title="The end of the day", head="The day", facts=facts, table=table)


def _sun(outlook: Outlook) -> str:
    sun, at = outlook.sun, "the release" if outlook.release else "the burst"
    bears = f"bears {bearing_text(sun.field_bearing_deg)}, {km_text(sun.field_distance_m, 0)} km"
    return f"sun at {at} {sun_words(sun.azimuth_deg, sun.elevation_deg)}; {sun.field} {bears}"


def latest_words(outlook: Outlook) -> str:
    """Return how late the launch may be; nothing without a release to be late for."""
    if outlook.latest_launch_delay_s is None or outlook.release is None:
        return ""
    return latest_launch_words(outlook.latest_launch_delay_s)


def waiting_part(outlook: Outlook) -> Part:
    """Return what waiting costs, as paper shows it."""
    rows = []
    for hold in outlook.holds:
        wait = "not waiting" if hold.delay_s < 0.5 else duration_words(hold.delay_s)
        rows.append((wait, chance_words(hold.chance_ratio, outlook.bounds)))
    table = Table(columns=(Column("wait"), Column(chosen(outlook))), rows=rows)
    return Part(title="Waiting with the packs on", note=latest_words(outlook), table=table)
