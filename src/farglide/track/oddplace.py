"""Odd places, clocks and speeds: one fix held against its flight and the fix before it.

Source of the limits: a latex balloon climbs at 4 to 8 m/s, no jet stream blows 150 m/s (common
practice, no source); the limits stand well beyond both.
"""

from collections.abc import Iterator
from typing import Final, NamedTuple

from farglide.earth.geodesy import geodesic
from farglide.earth.state import Place
from farglide.sortie.words import duration_words
from farglide.track.received import Flown, Oddity, Received, Suspicion, apart_m, distance_words

FAR_M: Final = 500_000.0
NEAR_M: Final = 300_000.0
FASTEST_UP_MPS: Final = 15.0
FASTEST_DOWN_MPS: Final = 250.0  # a tangled fall from 30 km stays below
FASTEST_ALONG_MPS: Final = 400.0
AHEAD_S: Final = 5.0
BEHIND_S: Final = 30.0
_HOUR_S: Final = 3600.0
_ZONE_STEP_S: Final = 900.0
_NEAR_STEP_S: Final = 20.0
_WIDEST_ZONE_S: Final = 14.0 * _HOUR_S
_RUN_OVER_S: Final = 1024.0 * 7.0 * 86_400.0  # weeks of the satellites are counted to 1024
_LEAST_SPAN_S: Final = 0.2


class _Way(NamedTuple):
    """One way to have written another place."""

    lat_deg: float
    lon_deg: float
    words: str


def place_suspicions(now: Received, flight: Flown) -> Iterator[Suspicion]:
    """Yield why a place is not of this flight: swapped, without its sign, or of another one."""
    fix, launch = now.fix, flight.launch
    off_m = apart_m(fix, launch.lat_deg, launch.lon_deg)
    if off_m <= FAR_M:
        return
    away = f"{fix.feed} is {distance_words(off_m)} from the launch"
    changes = "Taken as it is, it would shut every field."
    for way in _ways(fix.lat_deg, fix.lon_deg):
        if abs(way.lat_deg) <= 90.0 and _near(flight, way):
            remedy = "Look at the columns and signs of this feed."
            what = f"{away}; with {way.words} it would be here."
            yield _suspicion(now, Oddity.SWAPPED, what, changes, remedy)
            return
    remedy = "Is it the tracker, or the log, of another flight? Take the feed out until you know."
    yield _suspicion(now, Oddity.ELSEWHERE, f"{away}.", changes, remedy)


def clock_suspicions(now: Received) -> Iterator[Suspicion]:
    """Yield why the sender's clock cannot be right, or ours."""
    t_s = now.fix.t_s
    if t_s is None or -BEHIND_S <= t_s - now.utc_s <= AHEAD_S:
        return
    off_s = t_s - now.utc_s
    side = "ahead of" if off_s > 0.0 else "behind"
    steps = round(off_s / _ZONE_STEP_S)
    is_zone = steps and abs(off_s - steps * _ZONE_STEP_S) < _NEAR_STEP_S
    if abs(abs(off_s) - _RUN_OVER_S) < _HOUR_S:
        told, remedy = "1024 weeks", "Its calendar has run over: the time of day still holds."
    elif is_zone and abs(off_s) <= _WIDEST_ZONE_S:
        told = f"{steps * _ZONE_STEP_S / _HOUR_S:g} h".lstrip("-")
        remedy = "Is one of them set to local time? Set it to UTC."
    else:
        told = duration_words(abs(off_s))
        remedy = "Hold both against a third clock; or the feed repeats what it stored."
    what = f"The clock of {now.fix.feed} is {told} {side} ours."
    changes = "Taken as it is, its age and the wind learnt from it would be wrong."
    yield _suspicion(now, Oddity.CLOCK, what, changes, remedy)


def speed_suspicions(now: Received, before: Received) -> Iterator[Suspicion]:
    """Yield why nothing moves so from the fix before it to this one."""
    span_s = abs(now.t_s - before.t_s)
    if span_s < _LEAST_SPAN_S:
        return
    error_m = 4.0 * now.source.error_m
    gone_m = apart_m(now.fix, before.fix.lat_deg, before.fix.lon_deg)
    along_mps = max(gone_m - error_m, 0.0) / span_s
    changes = "Taken as it is, it would be learnt as wind."
    remedy = "It is left out until the next fixes agree with it."
    if along_mps > FASTEST_ALONG_MPS:
        what = f"{now.fix.feed} moved {distance_words(gone_m)} in {span_s:.0f} s."
        yield _suspicion(now, Oddity.TOO_FAST, what, changes, remedy)
    up_mps = _up_mps(now, before, error_m, span_s)
    if up_mps > FASTEST_UP_MPS or up_mps < -FASTEST_DOWN_MPS:
        word = "climbed" if up_mps > 0.0 else "fell"
        what = f"{now.fix.feed} {word} {_climbed_m(now, before):.0f} m in {span_s:.0f} s."
        changes = "Taken as it is, climb and burst would be wrong."
        yield _suspicion(now, Oddity.TOO_FAST, what, changes, remedy)


def _ways(lat_deg: float, lon_deg: float) -> Iterator[_Way]:
    yield _Way(-lat_deg, lon_deg, "the sign of its latitude turned")
    yield _Way(lat_deg, -lon_deg, "the sign of its longitude turned")
    yield _Way(-lat_deg, -lon_deg, "both signs turned")
    for lat_sign in (1.0, -1.0):
        for lon_sign in (1.0, -1.0):
            signs = "" if lat_sign == lon_sign == 1.0 else " and another sign"
            words = f"latitude and longitude swapped{signs}"
            yield _Way(lat_sign * lon_deg, lon_sign * lat_deg, words)


def _near(flight: Flown, way: _Way) -> bool:
    there = Place(lat_deg=way.lat_deg, lon_deg=way.lon_deg, amsl_m=0.0)
    return geodesic(flight.launch, there).distance_m <= NEAR_M


def _climbed_m(now: Received, before: Received) -> float:
    return abs((now.fix.height_m or 0.0) - (before.fix.height_m or 0.0))


def _up_mps(now: Received, before: Received, error_m: float, span_s: float) -> float:
    """Return how fast it rose at least, 0 where that is not known or of two kinds of height."""
    high_m, low_m = now.fix.height_m, before.fix.height_m
    if high_m is None or low_m is None or now.fix.height_kind is not before.fix.height_kind:
        return 0.0
    rise_m = high_m - low_m
    least_m = max(abs(rise_m) - error_m, 0.0) / span_s
    return least_m if rise_m > 0.0 else -least_m


def _suspicion(now: Received, oddity: Oddity, what: str, changes: str, remedy: str) -> Suspicion:
    return Suspicion(oddity=oddity, feed=now.fix.feed, what=what, changes=changes, remedy=remedy)
