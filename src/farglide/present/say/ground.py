"""On the ground, in words: launch and its wind, permissions, the winds used, and the fill."""

from collections.abc import Iterable, Iterator
from math import isfinite

from farglide.outlook.decision import DecisionOutlook
from farglide.present.say.climb import bottle_words, gas_words, hang_words
from farglide.present.say.text import FlightClock, latest_launch_words, place_text, sentence
from farglide.sortie.words import (
    duration_words,
    km_text,
    number_text,
    permission_words,
    winds_end_words,
)


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
        yield asked_words(outlook.asked)
    elif outlook.cleared:
        yield "None is missing, and none is waiting for an answer."


def asked_words(asked: Iterable[str]) -> str:
    """Return which permissions are asked for and not held yet."""
    return f"Asked for, no answer yet: {', '.join(map(permission_words, asked))}."


def wind_sentences(outlook: DecisionOutlook) -> Iterator[str]:
    """Yield where the winds come from, how old and how far away they are, and where they end."""
    yield f"{sentence(outlook.wind_origin)} They are {winds_apart(outlook)}."
    beyond_m = outlook.ascent.beyond_amsl_m
    if beyond_m is not None:
        yield winds_end_words(beyond_m)


def winds_apart(outlook: DecisionOutlook) -> str:
    """Return how old the winds are at the launch, and how far from it."""
    age = age_words(outlook.wind_age_s)
    if outlook.wind_distance_m is None:
        return f"{age}, and their place is not stated"
    if outlook.wind_distance_m < 1000.0:
        return f"{age} and from its place"
    return f"{age} and from {km_text(outlook.wind_distance_m, 0)} km away"


def age_words(age_s: float) -> str:
    """Return how old winds are at the launch; NaN where nobody knows.

    >>> age_words(9600.0), age_words(-3600.0), age_words(0.0)
    ('2 h 40 min old at the launch', 'from 1 h after the launch', 'for the time of the launch')
    """
    if not isfinite(age_s):
        return "of unknown age"
    if abs(age_s) < 30.0:
        return "for the time of the launch"
    lasts = duration_words(abs(age_s))
    return f"from {lasts} after the launch" if age_s < 0.0 else f"{lasts} old at the launch"


def draws_text(n_draws: int, seed: int) -> str:
    """Return how many flights were drawn, and by which seed."""
    return f"{number_text(n_draws)} flights drawn, seed {seed}."


def last_word(who: str) -> str:
    """Return who decides: none of this does."""
    return (
        f"This is advice from a forecast and a model that may be wrong. The {who} and the "
        "authorities decide; your eyes have the last word."
    )


def fill_sentences(outlook: DecisionOutlook) -> Iterator[str]:
    """Yield what to hang on the neck, and what gas that takes."""
    yield sentence(hang_words(outlook))
    yield f"That takes {gas_words(outlook)}, {bottle_words(outlook)}."
