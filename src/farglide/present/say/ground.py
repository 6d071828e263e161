"""On the ground, in words: launch and its wind, permissions, the winds used, and the fill."""

from collections.abc import Iterator
from math import isfinite

from farglide.outlook.decision import DecisionOutlook
from farglide.present.say.climb import bottle_words, gas_words, hang_words
from farglide.present.say.text import FlightClock, latest_launch_words, place_text, sentence
from farglide.sortie.words import duration_words, km_text, permission_words


def launch_sentences(outlook: DecisionOutlook, clock: FlightClock) -> Iterator[str]:
    """Yield the place and time of the launch, and the latest one."""
    where = place_text(outlook.launch_lat_deg, outlook.launch_lon_deg)
    when = f"{clock.date()}, {clock.launch()}"
    yield f"{outlook.launch_name}, {where}, {when}."
    yield sentence(latest_words(outlook, clock))


def ground_wind_words(wind_mps: float, limit_mps: float) -> str:
    """Return the wind at the launch against the limit of the crew, and what to do above it."""
    limit = f"{limit_mps:g}"
    wind = next(
        (words for n in (1, 2) if (words := f"{round(wind_mps, n):g}") != limit), f"{wind_mps:g}"
    )
    if wind_mps > limit_mps:
        todo = "wait, or fill in shelter"
        return f"{wind} m/s at the fill, above your limit of {limit} m/s: {todo}."
    return f"{wind} m/s at the fill, within your limit of {limit} m/s."


def latest_words(outlook: DecisionOutlook, clock: FlightClock) -> str:
    """Return how late the launch may be and why; nothing without a release to be late for."""
    if outlook.latest_launch_delay_s is None or outlook.release is None:
        return ""
    return latest_launch_words(outlook.latest_launch_delay_s, outlook.release.must_end_by, clock)


def permission_sentences(outlook: DecisionOutlook) -> Iterator[str]:
    """Yield what is asked for and not held yet, or that nothing is; what is missing stands above.

    What is missing heads the screen.
    """
    if outlook.asked:
        asked = ", ".join(map(permission_words, outlook.asked))
        yield f"Asked for, no answer yet: {asked}."
    elif outlook.cleared:
        yield "None is missing, and none is waiting for an answer."


def wind_sentences(outlook: DecisionOutlook) -> Iterator[str]:
    """Yield where the winds come from, how old and how far away they are, and where they end."""
    yield f"{sentence(outlook.wind_origin)} They are {winds_apart(outlook)}."
    beyond_m = outlook.ascent.beyond_amsl_m
    if beyond_m is not None:
        yield f"None are known above {km_text(beyond_m)} km: the last are carried on."


def winds_apart(outlook: DecisionOutlook) -> str:
    """Return how old the winds are at the launch, and how far from it."""
    age = "of unknown age"
    if isfinite(outlook.wind_age_s):
        lasts = duration_words(abs(outlook.wind_age_s))
        is_later = outlook.wind_age_s < 0.0
        age = f"from {lasts} after the launch" if is_later else f"{lasts} old at the launch"
        if abs(outlook.wind_age_s) < 30.0:
            age = "for the time of the launch"
    if outlook.wind_distance_m is None:
        return f"{age}, and their place is not stated"
    if outlook.wind_distance_m < 1000.0:
        return f"{age} and from its place"
    return f"{age} and from {km_text(outlook.wind_distance_m, 0)} km away"


def fill_sentences(outlook: DecisionOutlook) -> Iterator[str]:
    """Yield what to hang on the neck, and what gas that takes."""
    yield sentence(hang_words(outlook))
    yield f"That takes {gas_words(outlook)}, {bottle_words(outlook)}."
