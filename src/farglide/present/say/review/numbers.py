"""Numbers of a review in words: heights, times, spreads, each in the unit that a crew uses."""

from typing import Final

from farglide.outlook.review import Learned, Promise
from farglide.present.say.text import FlightClock, plus_minutes
from farglide.sortie.words import km_text

_FAR_M = 1000.0
_WITHIN: Final = {"half": "5 in 10", "most": "9 in 10", "outside": "outside", "unjudged": ""}


def told_text(value: float | None, unit: str, clock: FlightClock) -> str:
    """Return a number of a promise; nothing where there is none.

    >>> clock = FlightClock(launch_t_s=0.0, zone="UTC")
    >>> told_text(29_921.0, "m", clock), told_text(840.0, "m", clock), told_text(3600.0, "s", clock)
    ('29.9 km', '840 m', '01:00')
    """
    if value is None:
        return ""
    if unit == "m":
        return f"{km_text(value)} km" if abs(value) >= _FAR_M else f"{value:.0f} m"
    if unit == "s":
        return clock.local(value)
    return f"{value:.2f}"


def came_text(one: Promise, clock: FlightClock) -> str:
    """Return how it came; "over" before what is only known to be larger."""
    words = told_text(one.came, one.unit, clock)
    if one.unit == "s" and one.came is not None:
        words = f"{words} ({plus_minutes(one.came)})"
    return f"over {words}" if one.at_least and words else words or "not seen"


def within_text(one: Promise) -> str:
    """Return in which range it came, by the range that was told; nothing where none was."""
    if one.within == "most" and one.half_low is None:
        return "8 in 10" if "8 in 10" in one.told else "inside"
    return _WITHIN[one.within]


def range_text(low: float | None, high: float | None, unit: str, clock: FlightClock) -> str:
    """Return a range; nothing where none was told."""
    if low is None or high is None:
        return ""
    if unit == "m" and low == 0.0:
        return f"up to {told_text(high, unit, clock)}"
    first, last = told_text(low, unit, clock), told_text(high, unit, clock)
    if first.endswith(" km") and last.endswith(" km"):
        first = first.removesuffix(" km")
    return f"{first} to {last}"


def number_text(value: float, unit: str) -> str:
    """Return a learnt number in three digits with its unit.

    >>> number_text(0.9262, ""), number_text(7.056, "m"), number_text(-1.26, "dB")
    ('0.926', '7.06 m', '−1.3 dB')
    """
    digits = f"{value:.1f}" if unit in ("dB", "s") else f"{value:.3g}"
    sign = "−" if digits.startswith("-") and float(digits) else ""
    return f"{sign}{digits.removeprefix('-')} {unit}".strip()


def spread_text(value: float | None, sd: float | None, unit: str) -> str:
    """Return a number give or take its spread; one taken as exact is told so.

    >>> spread_text(1.0, 0.1, ""), spread_text(10.0, 0.0, "s"), spread_text(None, None, "m")
    ('1 ± 0.1', '10.0 s, exact', '')
    """
    if value is None or sd is None:
        return ""
    if sd <= 0.0:
        return f"{number_text(value, unit)}, exact"
    wide = f"{sd:.1f}" if unit in ("dB", "s") else f"{sd:.2g}"
    bare = number_text(value, unit).removesuffix(f" {unit}") if unit else number_text(value, unit)
    return f"{bare} ± {wide} {unit}".strip()


def was_text(one: Learned) -> str:
    """Return what the newest flight that tells of it showed by itself."""
    if one.was is None:
        return "not seen"
    if one.was_at_least:
        return f"over {number_text(one.was, one.unit)}"
    return spread_text(one.was, one.was_sd, one.unit)


def flights_text(one: Learned) -> str:
    """Return how many flights support a number, and how many of them only from one side."""
    if one.n_at_least:
        return f"{one.n_told}, {one.n_at_least} one-sided"
    return str(one.n_told)
