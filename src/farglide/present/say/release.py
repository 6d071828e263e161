"""The release in words: each field if released then, the window, and how it is flown."""

from math import isfinite
from typing import Final

from farglide.outlook.outlook import Outlook
from farglide.outlook.release import ReleaseOutlook
from farglide.present.part import Column, Part, Table
from farglide.present.say import sentences
from farglide.present.say.speeds import flown_words, loss_words, stay_words, timely_words
from farglide.present.say.text import FlightClock, plus_minutes
from farglide.sortie.words import chance_words, km_text

_MINUTE_S: Final = 60.0
"""A window that takes less time is told as one time."""
ENDING_WORDS: Final = {
    "burst": "the burst", "top": "the top of the climb", "reach": "the way back",
    "speeds": "a speed limit", "packs": "the packs", "light": "the light",
    "command": "the command link", "picture": "the picture link",
}  # fmt: skip
COLUMNS: Final = (
    Column("field", -18, left=True, short="Field"), Column("state", -9, left=True),
    Column("T+", -8), Column("local", -12), Column("UTC"), Column("height, km", -11),
    Column("why", 100, prose=True),
)  # fmt: skip


def release_s(outlook: Outlook) -> float:
    """Return the last moment to release, without end where there is none."""
    return outlook.release.release_by_after_launch_s if outlook.release else float("inf")


def release_part(outlook: Outlook, clock: FlightClock) -> Part:
    """Return what there is to say about the release, one fact a line."""
    release = outlook.release
    if release is None:
        return Part(title="Release", facts=("no release meets what you ask for",))
    by = clock.local(release.release_by_after_launch_s)
    by = f"{km_text(release.release_by_amsl_m)} km" if release.by_height else by
    later = chance_words(release.burst_within_120_s_ratio)
    high = km_text(release.spare_m, 0)
    facts = (
        by_clock_words(outlook, release, clock),
        f"{chance_words(release.burst_ratio)} burst before {by}; of those still whole, {later} "
        "burst in the two minutes after",
        f"the flattest glide reaches {release.field} with {high} km of height to spare",
        timely_words(outlook, clock),
        stay_words(outlook),
        *loss_words(outlook),
        *flown_words(outlook, clock),
    )
    told = [*filter(None, facts)]
    return Part(title="Release", facts=told, paper=[*_order_facts(release, clock), *told])


def _order_facts(release: ReleaseOutlook, clock: FlightClock) -> tuple[str, ...]:
    """Return the window up to the last order, why it ends, and by height what lets go instead."""
    window, by_s = release.window, release.release_by_after_launch_s
    span = clock.span_with_minutes(window.from_after_launch_s, by_s)
    if by_s - window.from_after_launch_s < _MINUTE_S:
        at_s = window.from_after_launch_s
        span = f"{clock.local(at_s)} ({plus_minutes(at_s)})"
    heights = f"{km_text(window.from_amsl_m)} to {km_text(release.release_by_amsl_m)} km"
    by_m, ends = km_text(release.release_by_amsl_m), ENDING_WORDS[release.bound_by]
    if not release.by_height:
        by = f"release by {clock.both(by_s)}, near {by_m} km: {ends} ends the window"
        return f"window {span}, {heights}", by, "nobody can read the height: go by the clock"
    until = clock.both(release.until_after_launch_s)
    return (
        f"window {heights}, passed going up about {span}",
        f"release by {by_m} km, about {clock.both(by_s)}: {ends} ends the window",
        f"release at once at {until}, or when it climbs slower than 1 m/s",
    )


def by_clock_words(outlook: Outlook, release: ReleaseOutlook, clock: FlightClock) -> str:
    """Return the chance of a release by the clock alone, where the height leads."""
    by_clock_s = release.by_clock_after_launch_s
    if release.by_clock_ratio is None or by_clock_s is None:
        return ""
    by_clock = chance_words(release.by_clock_ratio, outlook.bounds)
    return f"released by the clock alone, at {clock.local(by_clock_s)}, the chance is {by_clock}"


def fields_part(outlook: Outlook, clock: FlightClock) -> Part:
    """Return each field band by band, if the glider is released then."""
    rows = []
    for n, field in enumerate(outlook.fields, start=1):
        name = f"{n} {field.name}"
        for band in sentences.bands_told(field):
            start, end = band.from_after_launch_s, band.to_after_launch_s
            minutes = f"{plus_minutes(start)[2:]}–{plus_minutes(end)[2:]}"
            utc = f"{clock.utc(start)}–{clock.utc(end)}"
            heights = f"{km_text(band.from_amsl_m)}–{km_text(band.to_amsl_m)}"
            times = (minutes, clock.span(start, end), utc)
            rows.append((name, band.state, *times, heights, band.reason))
            name = ""
    title, note = "Each field, if released then", "the burst left out"
    table, after = Table(columns=COLUMNS, rows=rows, rule=True), _after(outlook, clock)
    return Part(title=title, note=note, head="", table=table, after=after, margin=0, long=True)


def _after(outlook: Outlook, clock: FlightClock) -> tuple[str, ...]:
    half_s = outlook.ascent.burst.after_launch_s.p50
    met = f"5 in 10 have burst by {clock.local(half_s)}"
    return (
        "" if outlook.fields else "no field prepared",
        f"The table assumes that nothing has burst yet; {met}." if isfinite(half_s) else "",
    )
