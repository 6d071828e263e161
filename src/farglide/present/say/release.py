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
    "burst": "the burst ends", "top": "the top of the climb ends", "reach": "the way back ends",
    "speeds": "a speed limit ends", "packs": "the packs end",
    "light": "the light ends", "command": "the command link ends",
    "picture": "the picture link ends",
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
        return Part(title="Release", facts=("no release meets what you ask",))
    over_s = release.over_field_after_launch_s
    over = f"{clock.local(over_s)}{sentences.late_words(outlook, over_s)}"
    flattest = "; ".join(
        f"{name} {clock.local(after)}{late}"
        for after, name, late in reversed(sentences.ends_told(outlook))
        if name in sentences.FLATTEST_WAYS
    )
    facts = (
        *_order_facts(release, clock),
        f"{release.field}: {_chances_words(outlook, release, clock)}; {_record_words(release)}",
        f"burst before {'that height' if release.by_height else 'then'} "
        f"{chance_words(release.burst_ratio)}; if still whole, in two minutes more "
        f"{chance_words(release.burst_within_120_s_ratio)}",
        f"{km_text(release.spare_m, 0)} km to spare over {release.field}; quickest to "
        f"{release.arrival_agl_m:.0f} m over it {over}",
        timely_words(outlook, clock),
        stay_words(outlook),
        flattest,
        *loss_words(outlook),
        *flown_words(outlook, clock),
    )
    return Part(title="Release", facts=[*filter(None, facts)])


def _order_facts(release: ReleaseOutlook, clock: FlightClock) -> tuple[str, ...]:
    """Return the window, the last order and why; by height with what lets go instead of it."""
    window, by_s = release.window, release.release_by_after_launch_s
    span = clock.span_with_minutes(window.from_after_launch_s, window.to_after_launch_s)
    if window.to_after_launch_s - window.from_after_launch_s < _MINUTE_S:
        at_s = window.from_after_launch_s
        span = f"{clock.local(at_s)} ({plus_minutes(at_s)})"
    heights = f"{km_text(window.from_amsl_m)} to {km_text(window.to_amsl_m)} km"
    by_m, ends = km_text(release.release_by_amsl_m), ENDING_WORDS[release.bound_by]
    if not release.by_height:
        by = f"release by {clock.both(by_s)}, near {by_m} km: then {ends} the window"
        return f"window {span}, {heights}", by, "no height is seen up there: the clock leads"
    until = clock.both(release.until_after_launch_s)
    return (
        f"window {heights} as first passed going up, about {span}",
        f"release by {by_m} km, about {clock.both(by_s)}: then {ends} the window",
        f"or at {until}, or when it climbs less than 1 m/s, whichever comes first",
    )


def _chances_words(outlook: Outlook, release: ReleaseOutlook, clock: FlightClock) -> str:
    """Return the chance by the height seen, and by the clock alone."""
    chance = chance_words(release.chance_ratio, outlook.bounds)
    by_clock_s = release.by_clock_after_launch_s
    if release.by_clock_ratio is None or by_clock_s is None:
        return chance
    by_clock = chance_words(release.by_clock_ratio, outlook.bounds)
    return (
        f"{chance} by the height seen, {by_clock} by the clock alone at {clock.local(by_clock_s)}"
    )


def _record_words(release: ReleaseOutlook) -> str:
    if not isfinite(release.product_ratio):
        return "no record of both releases and pull-outs, so the share that works is unknown"
    return f"with the record of releases and pull-outs {chance_words(release.product_ratio)}"


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
    met = f"the burst, which half have met by {clock.local(half_s)}, comes on top"
    return (
        "" if outlook.fields else "no field prepared",
        f"Any field: {sentences.gap_text(outlook, clock)}.",
        f"States are for a whole balloon: {met}." if isfinite(half_s) else "",
    )
