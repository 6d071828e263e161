"""Advice in words: one sentence to speak, and the lines behind it."""

from collections.abc import Iterator
from math import isfinite
from typing import Final

from farglide.outlook.advice import Advice, FieldNow, Level, ReleaseAdvice, Waited
from farglide.outlook.freshness import Freshness
from farglide.present.lines import blocks, part_lines
from farglide.present.part import Part
from farglide.present.say.asked.after import after_lines
from farglide.present.say.asked.asks import Asks, on_command_line
from farglide.present.say.fieldchance import told_chance
from farglide.present.say.placed import aim_lines, place_words
from farglide.present.say.spokenafter import MOST_SPOKEN, spoken_after
from farglide.present.say.text import FlightClock, sentence
from farglide.present.say.unreleased import FLAT_RATIO, unreleased_words
from farglide.sortie.words import chance_words, duration_words, km_text

ENDS: Final = {
    "burst": "after that a burst becomes likely",
    "top": "there the balloon tops out",
    "reach": "after that the field is out of reach",
    "speeds": "higher up no speed fits between stall and limit",
    "packs": "after that the packs end too soon",
    "light": "after that it gets dark too soon",
    "command": "after that the command link fails on the way",
    "picture": "after that the picture is lost on the way",
}
QUESTIONS: Final = {
    "now": ("release", "waiting", "fields", "burst", "where", "winds"),
    "wait": ("waiting", "release", "burst"),
    "burst": ("burst", "release"),
    "where": ("aims", "winds"),
}
"""What can be asked of a balloon in the air, and which parts of an advice answer it."""
_WIDE_RATIO: Final = 1.3
_LIFTS_KG: Final = 0.1
LEAKS_RATIO: Final = 0.85
"""A leak is said to be one from this chance on: in air that rises and sinks by 1 m/s fewer than 1
sound climb in 20 comes to that (``docs/alarms.txt``), 1 in 10 to half."""


def spoken(advice: Advice, clock: FlightClock) -> str:
    """Return what is said aloud, in nine words or fewer."""
    if advice.after is not None:
        return spoken_after(advice, advice.after)
    release = advice.release
    if release is None:
        return unreleased_words(advice)
    if advice.level is Level.NOW:
        if advice.after_launch_s > release.to_after_launch_s:
            return "Past the window. Release now."
        named = f"Release now, for {release.field}."
        return named if len(named.split()) <= MOST_SPOKEN else "Release now."
    leak = advice.leak
    if leak is not None and leak.floats_since_after_launch_s is not None:
        by = clock.local(release.release_by_after_launch_s)
        return f"It climbs no more. Release by {by}."
    if leak is not None and leak.chance_ratio >= LEAKS_RATIO and advice.level is Level.DECIDE:
        by = clock.local(release.release_by_after_launch_s)
        return f"It leaks. Release from {km_text(release.from_amsl_m)} kilometres, by {by}."
    by = clock.local(release.release_by_after_launch_s)
    if advice.after_launch_s >= release.from_after_launch_s:
        return f"Window open. Release by {by}, or {km_text(release.to_amsl_m)} kilometres."
    at = clock.local(release.from_after_launch_s)
    return f"Wait. Window opens at {km_text(release.from_amsl_m)} kilometres, about {at}."


def advice_lines(advice: Advice, clock: FlightClock) -> list[str]:
    """Return all of an advice as a terminal shows it: what to do, what it is worth, and why."""
    return answer_lines("now", advice, clock)


def answer_lines(
    question: str, advice: Advice, clock: FlightClock, asks: Asks = on_command_line
) -> list[str]:
    """Return what an advice says to one of `QUESTIONS`, the sentence that answers it first."""
    if advice.after is not None:
        return after_lines(question, advice, advice.after, clock, asks)
    parts = _parts(advice, clock)
    first = Part(margin=0, facts=(_answer(question, advice, clock),))
    return blocks(*(part_lines(one) for one in (first, *(parts[k] for k in QUESTIONS[question]))))


def _answer(question: str, advice: Advice, clock: FlightClock) -> str:
    """Return the sentence that answers a question; what to do now where it asks for that."""
    if question == "where":
        return place_words(advice, clock)
    if question != "burst" or advice.burst is None:
        return spoken(advice, clock)
    middle_s = advice.burst.after_launch_s.p50
    if not isfinite(middle_s):
        return "It is not likely to burst any more."
    return f"It bursts about {clock.local(middle_s)} if nobody lets go."


def _parts(advice: Advice, clock: FlightClock) -> dict[str, Part]:
    return {
        "release": Part(title="Release", facts=tuple(_release(advice.release, clock))),
        "waiting": Part(title="Waiting", facts=(waiting_words(advice),)),
        "fields": Part(
            title="Fields now",
            facts=(*(_field(one, clock) for one in advice.fields), *_picture(advice)),
        ),
        "burst": Part(
            title="Burst", facts=(*_burst(advice, clock), *_fill(advice), *_leak(advice, clock))
        ),
        "where": Part(title="Where", facts=(place_words(advice, clock), *aim_lines(advice))),
        "aims": Part(title="Aim", facts=tuple(aim_lines(advice))),
        "winds": Part(title="Winds", facts=tuple(_air(advice))),
    }


def _release(release: ReleaseAdvice | None, clock: FlightClock) -> Iterator[str]:
    if release is None:
        yield "At no height ahead is a field open with a chance worth an order."
        return
    span = f"from {km_text(release.from_amsl_m)} to {km_text(release.to_amsl_m)} km"
    ends = release.from_after_launch_s, release.to_after_launch_s
    times = " to ".join(clock.local(one) for one in ends)
    chance = chance_words(release.chance_ratio)
    yield f"For {release.field}, {span} (about {times}): the chance is {chance}."
    yield f"Release by {clock.local(release.release_by_after_launch_s)}: {ENDS[release.bound_by]}."
    if not release.is_enough:
        yield "That is less than you asked for."


def waiting_words(advice: Advice) -> str:
    """Return what waiting is worth for the field advised, else for the best one now.

    Also that it makes no difference.
    """
    now, *later = waits = advice.waiting
    ratios = [one.chance_ratio for one in waits]
    best = max(advice.fields, key=lambda one: one.chance_ratio).name
    field = best if advice.release is None else advice.release.field
    first = f"released now, for {field}: {chance_words(now.chance_ratio)}"
    if max(ratios) - min(ratios) < FLAT_RATIO:
        longest = duration_words(later[-1].seconds)
        return sentence(f"{first}, and as likely for {longest} to come: waiting costs nothing")
    told = ", ".join(_wait(one) for one in later)
    return sentence(f"{first}; {told}")


def _wait(one: Waited) -> str:
    words = f"in {round(one.seconds / 60.0)} min {chance_words(one.chance_ratio)}"
    up = f"{one.climbed_m / 1000.0:.1f} km higher"
    if one.burst_ratio < FLAT_RATIO:
        return f"{words} ({up})"
    return f"{words} ({up}, burst by then {chance_words(one.burst_ratio)})"


def _field(one: FieldNow, clock: FlightClock) -> str:
    now = f"{one.name}: {one.state}, {told_chance(one, 'burst counted')}"
    if one.data in (Freshness.GUESSED, Freshness.UNKNOWN):
        now += f" (the place is {one.data} for it)"
    if one.until_after_launch_s is None:
        return sentence(f"{now}, and so it stays until the burst")
    return sentence(f"{now}; {one.then} from {clock.local(one.until_after_launch_s)}")


def _burst(advice: Advice, clock: FlightClock) -> Iterator[str]:
    """Yield when it bursts, of a balloon that carries it."""
    if advice.burst is not None:
        times = clock.spread(advice.burst.after_launch_s)
        yield sentence(f"if nobody lets go, given that it is whole now: {times}")


def _fill(advice: Advice) -> Iterator[str]:
    """Yield what the balloon lifts by its climb, where that is plainly not what was told."""
    fill = advice.fill
    if fill is None or abs(fill.neck_lift_kg.p50 - fill.told_kg) < _LIFTS_KG:
        return
    low, middle, high = (f"{one:.2f}" for one in (
        fill.neck_lift_kg.p10, fill.neck_lift_kg.p50, fill.neck_lift_kg.p90))  # fmt: skip
    told = f"{fill.told_kg:.2f}"
    yield f"By its climb it lifts {middle} kg at the neck ({low} to {high}), told {told}."


def _picture(advice: Advice) -> Iterator[str]:
    """Yield how much the picture link is off its budget, where that can be told."""
    told = advice.picture
    if told is None or abs(told.offset_db) < told.offset_sd_db:
        return
    how = "stronger" if told.offset_db > 0.0 else "weaker"
    yield (
        f"By the grades typed {told.link} is {abs(told.offset_db):.0f} dB {how} than its budget, "
        f"give or take {told.offset_sd_db:.0f}: its end is told by that."
    )


def _leak(advice: Advice, clock: FlightClock) -> Iterator[str]:
    """Yield whether the balloon climbs no more or leaks, and where it tops out then."""
    leak, burst = advice.leak, advice.burst
    if leak is None or burst is None:
        return
    if leak.floats_since_after_launch_s is not None:
        since = clock.local(leak.floats_since_after_launch_s)
        yield f"It climbs no more since about {since}: do not wait for height or a burst."
    if leak.since_after_launch_s is None:
        return
    since, chance = clock.local(leak.since_after_launch_s), chance_words(leak.chance_ratio)
    leaks = "leaks" if leak.chance_ratio >= LEAKS_RATIO else "may leak"
    yield f"The climb is falling off: it {leaks} since about {since}, with a chance of {chance}."
    low, middle, high = (
        km_text(one) for one in (leak.top_amsl_m.p10, leak.top_amsl_m.p50, leak.top_amsl_m.p90)
    )
    yield f"It tops out at about {middle} km ({low} to {high}), and then sinks."
    if not isfinite(burst.after_launch_s.p10):
        yield "No burst is coming: do not wait for one."


def _air(advice: Advice) -> Iterator[str]:
    air = advice.air
    below, above = (part_words(one) for one in (air.measured_ratio, air.ahead_ratio))
    yield (
        f"The climb so far has taken away {below} of the doubt about the winds below here, and "
        f"{above} of that about the winds above."
    )
    if air.spread_ratio >= _WIDE_RATIO:
        times = f"{air.spread_ratio:.1f}"
        yield f"The winds miss the forecast {times} times as far as was said: doubt is wider now."


def part_words(ratio: float) -> str:
    """Return how much of a doubt a share is, to tens of per cent: no chance, so not told as one.

    >>> part_words(0.38), part_words(0.02), part_words(0.98)
    ('40 %', 'hardly any', 'all')
    """
    n = round(10.0 * ratio)
    return "hardly any" if n == 0 else "all" if n == 10 else f"{10 * n} %"
