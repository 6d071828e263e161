"""Numbers in words: chance, heights, times, places, with no more digits than the doubt allows."""

from collections.abc import Callable
from dataclasses import dataclass
from math import floor, isfinite

from farglide.earth.clock import date_text, local_datetime
from farglide.errors import InputError
from farglide.outlook.ascent import Spread
from farglide.outlook.launch import LaunchArea
from farglide.sortie.words import compass_words as compass_words
from farglide.sortie.words import duration_words as duration_words
from farglide.sortie.words import height_words, km_text, moment_words, number_text


def grams_text(mass_kg: float) -> str:
    """Return a mass in whole tens of grams, without the unit: a spring balance shows no more."""
    return number_text(round(mass_kg * 100.0) * 10.0)


def plus_minutes(after_launch_s: float) -> str:
    """Return a time since launch in whole minutes begun, so that it agrees with a clock's face.

    >>> plus_minutes(76.4 * 60.0), plus_minutes(-900.0), plus_minutes(0.0)
    ('T+76', 'T−15', 'T+0')
    """
    if not isfinite(after_launch_s):
        raise InputError("after_launch_s", after_launch_s, "a finite number of seconds")
    n_minutes = floor(after_launch_s / 60.0 + 1e-6)
    return f"T−{-n_minutes}" if n_minutes < 0 else f"T+{n_minutes}"


def sentence(words: str) -> str:
    """Return words as a sentence: a capital at the start, a full stop at the end.

    >>> sentence("a rehearsal"), sentence("One hour in a freezer."), sentence(" ")
    ('A rehearsal.', 'One hour in a freezer.', '')
    """
    words = words.strip()
    end = "" if not words or words[-1] in ".!?" else "."
    return words[:1].upper() + words[1:] + end


def bearing_text(bearing_deg: float) -> str:
    """Return a true bearing in three figures.

    >>> bearing_text(7.4), bearing_text(359.8)
    ('007°', '000°')
    """
    return f"{round(bearing_deg) % 360:03d}°"


def sun_words(azimuth_deg: float, elevation_deg: float) -> str:
    """Return where the sun stands, also when it is down.

    >>> sun_words(257.4, 14.6), sun_words(239.0, -1.2)
    ('bears 257°, 15° up', 'bears 239°, 1° below the horizon')
    """
    n_deg = round(elevation_deg)
    height = f"{n_deg}° up" if n_deg >= 0 else f"{-n_deg}° below the horizon"
    return f"bears {bearing_text(azimuth_deg)}, {height}"


def place_text(lat_deg: float, lon_deg: float, n_decimals: int = 3) -> str:
    """Return a place in decimal degrees: three decimals are about a hundred metres.

    >>> place_text(-46.7366, 108.5526), place_text(-46.60589, 108.24539, 4)
    ('46.737 S 108.553 E', '46.6059 S 108.2454 E')
    """
    north, east = "S" if lat_deg < 0.0 else "N", "W" if lon_deg < 0.0 else "E"
    return f"{abs(lat_deg):.{n_decimals}f} {north} {abs(lon_deg):.{n_decimals}f} {east}"


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightClock:
    """The clock of one flight: seconds after launch to times on a watch."""

    launch_t_s: float
    zone: str

    def local(self, after_launch_s: float) -> str:
        """Return the time in the crew's zone, as HH:MM; "never" for a moment that does not come."""
        return moment_words(after_launch_s, self.launch_t_s, self.zone)

    def utc(self, after_launch_s: float) -> str:
        """Return the time in UTC, as HH:MM; "never" for a moment that does not come."""
        return moment_words(after_launch_s, self.launch_t_s, "UTC")

    def date(self) -> str:
        """Return the date of the launch in the crew's zone."""
        return date_text(self.launch_t_s, self.zone)

    def launch(self) -> str:
        """Return the time of the launch, with UTC behind it and its day where that differs."""
        day, utc_day = (local_datetime(self.launch_t_s, zone).date() for zone in (self.zone, "UTC"))
        told = {-1: " the day before", 1: " the day after"}.get((utc_day - day).days, "")
        return f"{self.local(0.0)} ({self.utc(0.0)} UTC{told})"

    def span(self, from_after_launch_s: float, to_after_launch_s: float) -> str:
        """Return two local times with a dash between."""
        return f"{self.local(from_after_launch_s)}–{self.local(to_after_launch_s)}"

    def span_with_minutes(self, from_after_launch_s: float, to_after_launch_s: float) -> str:
        """Return two local times, and behind them both as minutes since launch."""
        minutes = f"{plus_minutes(from_after_launch_s)} to {plus_minutes(to_after_launch_s)[2:]}"
        return f"{self.span(from_after_launch_s, to_after_launch_s)} ({minutes})"

    def both(self, after_launch_s: float) -> str:
        """Return the local time with the time since launch and UTC behind it."""
        if not isfinite(after_launch_s):
            return "never"
        utc = self.utc(after_launch_s)
        return f"{self.local(after_launch_s)} ({plus_minutes(after_launch_s)}, {utc} UTC)"

    def spread(self, spread: Spread) -> str:
        """Return a spread of times in words."""
        return ", ".join(_shares_words(spread, lambda moment_s: f"by {self.local(moment_s)}"))


def height_spread(spread: Spread) -> str:
    """Return a spread of heights in words; shares that never come end it.

    >>> height_spread(Spread(p10=28_400.0, p50=29_900.0, p90=float("nan")))
    '1 in 10 below 28.4 km, 5 in 10 below 29.9, fewer than 9 in 10 ever'
    """
    first, *more = _shares_words(spread, lambda amsl_m: f"below {km_text(amsl_m)}")
    return ", ".join([first + (" km" if isfinite(spread.p10) else ""), *more])


def _shares_words(spread: Spread, told: Callable[[float], str]) -> list[str]:
    """Return the three shares of a spread, up to the first that never comes."""
    words: list[str] = []
    known = (("1 in 10", spread.p10), ("5 in 10", spread.p50), ("9 in 10", spread.p90))
    for share, value in known:
        if not isfinite(value):
            return [*words, f"fewer than {share} ever"]
        words.append(f"{share} {told(value)}")
    return words


def from_text(area: LaunchArea) -> str:
    """Return from which height a release counts where launches are compared."""
    if area.from_amsl_m <= 0.0:
        return "released at any height"
    return f"released above {height_words(area.from_amsl_m)}"


def latest_launch_words(delay_s: float, ends_by: str, clock: FlightClock) -> str:
    """Return how late the launch may be, and what ends the flight that is launched later.

    `ends_by`: "packs" or "light", whichever ends first.

    >>> clock = FlightClock(launch_t_s=1800.0, zone="UTC")
    >>> latest_launch_words(600.0, "light", clock)
    'latest launch 00:40: later it gets dark too soon'
    >>> latest_launch_words(0.0, "packs", clock)[:30]
    'latest launch 00:30, as planne'
    """
    at = f"latest launch {clock.local(delay_s)}{', as planned' if delay_s < 30.0 else ''}"
    ends = "it gets dark" if ends_by == "light" else "the packs, on as planned, end"
    return f"{at}: later {ends} too soon"
