"""The release in words: its window, its last moment, its chance, and how it is flown."""

from math import isfinite
from typing import Final

from farglide.outlook.outlook import Outlook
from farglide.outlook.release import ReleaseOutlook
from farglide.present.part import Part
from farglide.present.say.sentences import FLATTEST, FLATTEST_SPIRAL, ends_told, late_words
from farglide.present.say.speeds import flown_words, timely_words
from farglide.present.say.text import FlightClock, chance_words, km_text, plus_minutes

ENDING_WORDS: Final = {
    "burst": "the burst ends",
    "reach": "the way back ends",
    "packs": "the packs end",
    "light": "the light ends",
    "command": "the command link ends",
    "picture": "the picture link ends",
}


def release_s(outlook: Outlook) -> float:
    """Return the last moment to release, without end where there is none."""
    return outlook.release.release_by_after_launch_s if outlook.release else float("inf")


def release_part(outlook: Outlook, clock: FlightClock) -> Part:
    """Return what there is to say about the release, one fact a line."""
    release = outlook.release
    if release is None:
        return Part(title="Release", facts=("no release meets what you ask",))
    over_s = release.over_field_after_launch_s
    flattest = "; ".join(
        f"{name} {clock.local(after)}{late}"
        for after, name, late in reversed(ends_told(outlook))
        if name in (FLATTEST, FLATTEST_SPIRAL)
    )
    facts = (
        f"window {_window_words(release, clock)}",
        f"release by {clock.both(release.release_by_after_launch_s)}, near "
        f"{km_text(release.release_by_amsl_m)} km: then {ENDING_WORDS[release.bound_by]} the "
        "window",
        f"{release.field}: {chance_words(release.chance_ratio)}; {_record_words(release)}",
        f"burst by then {chance_words(release.burst_ratio)}; if still whole, in two minutes more "
        f"{chance_words(release.burst_within_120_s_ratio)}",
        f"{km_text(release.spare_m, 0)} km to spare over {release.field}; quickest to "
        f"{release.arrival_agl_m:.0f} m over it {clock.local(over_s)}{late_words(outlook, over_s)}",
        timely_words(outlook, clock),
        flattest,
        *flown_words(outlook, clock),
    )
    return Part(title="Release", facts=tuple(fact for fact in facts if fact))


def _window_words(release: ReleaseOutlook, clock: FlightClock) -> str:
    window = release.window
    start, end = window.from_after_launch_s, window.to_after_launch_s
    return (
        f"{clock.span(start, end)} ({plus_minutes(start)} to {plus_minutes(end)[2:]}), "
        f"{km_text(window.from_amsl_m)} to {km_text(window.to_amsl_m)} km"
    )


def _record_words(release: ReleaseOutlook) -> str:
    if not isfinite(release.product_ratio):
        return "no record of both releases and pull-outs, so the share that works is unknown"
    return f"with the record of releases and pull-outs {chance_words(release.product_ratio)}"
