"""What the pictures show, said in sentences: for those who do not see them, and as notes."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from math import isfinite
from typing import Final

from farglide.outlook.fields import Band, FieldOutlook
from farglide.outlook.links import HeldStep
from farglide.outlook.outlook import Outlook
from farglide.present.say.text import FlightClock, height_spread, sentence
from farglide.sortie.words import chance_words, km_text, number_text

FLATTEST: Final = "flattest way down"
FLATTEST_SPIRAL: Final = "flattest way, then a firm spiral"
FLATTEST_WAYS: Final = (FLATTEST, FLATTEST_SPIRAL)
GLIDE_ENDS: Final = ("flattest way", "over ")


def rising(field: FieldOutlook) -> list[Band]:
    """Return the bands of the climb upward; a balloon that sinks again is left to the clock."""
    return [band for band in field.bands if band.to_amsl_m > band.from_amsl_m]


def bands_told(field: FieldOutlook) -> list[Band]:
    """Return the bands worth a line: those of a minute or longer, equal neighbours made one."""
    long = [b for b in field.bands if b.to_after_launch_s - b.from_after_launch_s >= 60.0]
    return _joined(long or field.bands)


def height_sentence(field: FieldOutlook) -> str:
    """Return one field over height, in one sentence."""
    bands = _joined(rising(field))
    if not bands:
        return f"{field.name}: no height known."
    *lower, top = bands
    if not lower:
        return f"{field.name} {top.state} at every height."
    parts = [f"{band.state} to {km_text(band.to_amsl_m)} km" for band in lower]
    return f"{field.name} {', '.join(parts)}, {top.state} above."


def clock_sentence(field: FieldOutlook, clock: FlightClock) -> str:
    """Return one field over the time of the climb, in one sentence."""
    bands = _joined(field.bands)
    parts = [f"{band.state} from {clock.local(band.from_after_launch_s)}" for band in bands]
    return f"{field.name} {', '.join(parts)}." if parts else f"{field.name}: no time known."


def shut_text(field: FieldOutlook, clock: FlightClock, until_s: float) -> str:
    """Return when a field is shut up to a moment of the climb, as "shut 17:08–17:43"."""
    spans = [
        clock.span(band.from_after_launch_s, min(until_s, band.to_after_launch_s))
        for band in _joined(field.bands)
        if band.state == "shut" and band.from_after_launch_s < until_s
    ]
    return f"shut {', '.join(spans)}" if spans else "never shut"


def gap_text(outlook: Outlook, clock: FlightClock) -> str:
    """Return when no field is open, and which one comes nearest then, in words."""
    short = short_gap_text(outlook, clock)
    if not outlook.gaps or not outlook.fields:
        return short
    wanted = chance_words(outlook.open_ratio)
    return f"no field has {wanted} " + ", ".join(
        f"{clock.span(gap.from_after_launch_s, gap.to_after_launch_s)} ({gap.best_field} comes "
        f"nearest, {chance_words(gap.best_ratio, outlook.bounds)} on average)"
        for gap in outlook.gaps
    )


def short_gap_text(outlook: Outlook, clock: FlightClock) -> str:
    """Return when no field is open, in a picture's few words."""
    if not outlook.fields:
        return "no field prepared: nowhere to land over the whole climb"
    if not outlook.gaps:
        return "once open, some field always is"
    spans = (clock.span(gap.from_after_launch_s, gap.to_after_launch_s) for gap in outlook.gaps)
    return f"no field open {', '.join(spans)}"


def release_text(outlook: Outlook, clock: FlightClock) -> str:
    """Return the release window and the last moment to release, in words."""
    release = outlook.release
    if release is None:
        return "no release window"
    start, by_s = clock.local(release.window.from_after_launch_s), release.release_by_after_launch_s
    if not release.by_height:
        return f"from {start}, release by {clock.local(by_s)}"
    by = f"{km_text(release.release_by_amsl_m)} km, about {clock.local(by_s)}"
    return f"from {km_text(release.window.from_amsl_m)} km, about {start}, release by {by}"


def release_times(outlook: Outlook, clock: FlightClock) -> str:
    """Return the release window by the clock alone, short enough for a picture of the clock."""
    release = outlook.release
    if release is None or not release.by_height:
        return release_text(outlook, clock)
    start, by_s = clock.local(release.window.from_after_launch_s), release.release_by_after_launch_s
    return f"about {start}, release by {clock.local(by_s)}"


def ladder_sentence(outlook: Outlook, clock: FlightClock) -> str:
    """Return the answer and one sentence for each column of the release chart."""
    sentences = [outlook.verdict, *(height_sentence(field) for field in outlook.fields)]
    if outlook.release is not None:
        low_m, high_m = outlook.release.window.from_amsl_m, outlook.release.release_by_amsl_m
        low, high = km_text(low_m), km_text(high_m)
        sentences.append(f"Release window {low} to {high} km, {release_text(outlook, clock)}.")
    if outlook.held:
        sentences.append(held_sentence(outlook.held))
    sentences.append(f"Burst: {height_spread(outlook.ascent.burst.height_amsl_m)}.")
    return " ".join(sentences)


def strip_sentence(outlook: Outlook, clock: FlightClock) -> str:
    """Return the clock strip row by row, in sentences."""
    burst = clock.spread(outlook.ascent.burst.after_launch_s)
    sentences = (
        *(clock_sentence(field, clock) for field in outlook.fields),
        sentence(gap_text(outlook, clock)),
        f"Release: {release_text(outlook, clock)}.",
        f"Burst: {burst}.",
        *(f"{name} {clock.local(after_s)}{late}." for after_s, name, late in ends_told(outlook)),
    )
    return f"Clock. {' '.join(sentences)}"


def ends(outlook: Outlook) -> list[tuple[float, str]]:
    """Return what ends the day after the climb, by time: (seconds after launch, name)."""
    alone, release = len(outlook.packs) == 1, outlook.release
    found: list[tuple[float | None, str]] = [
        (pack.after_launch_s.p50, "packs end" if alone else f"{pack.name} ends")
        for pack in outlook.packs
    ]
    if release is not None:
        found += [
            (release.over_field_after_launch_s, f"over {release.field}"),
            (release.best_glide_end_after_launch_s, FLATTEST),
            (release.firm_spiral_end_after_launch_s, FLATTEST_SPIRAL),
        ]
    found.append((outlook.sun.sunset_after_launch_s, "sunset"))
    found.append((outlook.sun.dusk_after_launch_s, "dusk"))
    return sorted(
        (after_s, name) for after_s, name in found if after_s is not None and isfinite(after_s)
    )


def late_words(outlook: Outlook, after_launch_s: float) -> str:
    """Return ", after the packs" or ", after dark" for a moment that comes too late, or nothing."""
    lasts = [(pack.after_launch_s.p50, ", after the packs") for pack in outlook.packs]
    if outlook.sun.dusk_after_launch_s is not None:
        lasts.append((outlook.sun.dusk_after_launch_s, ", after dark"))
    return next((words for last_s, words in sorted(lasts) if last_s < after_launch_s), "")


def ends_told(outlook: Outlook) -> list[tuple[float, str, str]]:
    """Return what ends the day with what is to be said behind its time: (seconds, name, late)."""
    return [
        (after, name, late_words(outlook, after) if name.startswith(GLIDE_ENDS) else "")
        for after, name in ends(outlook)
    ]


def _joined(bands: Iterable[Band]) -> list[Band]:
    """Return the bands with neighbours of the same state made one."""
    joined: list[Band] = []
    for band in bands:
        if joined and joined[-1].state == band.state:
            end_s = band.to_after_launch_s
            band = replace(joined.pop(), to_amsl_m=band.to_amsl_m, to_after_launch_s=end_s)
        joined.append(band)
    return joined


def rising_steps(held: Sequence[HeldStep]) -> list[HeldStep]:
    """Return the steps of the climb upward; a balloon that sinks again is left to the clock."""
    kept: list[HeldStep] = []
    for step in held:
        if not kept or step.amsl_m > kept[-1].amsl_m:
            kept.append(step)
    return kept


def has_picture(held: Sequence[HeldStep]) -> bool:
    """Tell whether a picture link was asked about."""
    return any(step.picture_db is not None for step in held)


def has_command(held: Sequence[HeldStep]) -> bool:
    """Tell whether a command link was asked about."""
    return any(step.command_db is not None for step in held)


def held_sentence(held: Sequence[HeldStep]) -> str:
    """Return both columns in words, for those who do not see them."""
    steps = rising_steps(held)
    if not steps:
        return ""
    parts = []
    if has_picture(held):
        worst = min(steps, key=lambda step: step.grade)
        parts.append(f"Picture grade {worst.grade} at least, at {km_text(worst.amsl_m)} km")
    commands = [(s.command_db, s.amsl_m) for s in steps if s.command_db is not None]
    if commands:
        least_db, amsl_m = min(commands)
        margin = f"margin {number_text(least_db)} dB at least"
        parts.append(f"command {margin}, at {km_text(amsl_m)} km")
    if not parts:
        return "No stand is manned while the balloon climbs."
    words = ", ".join(parts)
    return f"{words[0].upper()}{words[1:]}."
