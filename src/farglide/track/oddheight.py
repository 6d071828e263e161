"""Odd heights: of another kind than stated, or beyond what their source can give."""

from collections.abc import Iterator
from typing import Final

from farglide.air.standard import pressure_altitude_m
from farglide.track.received import (
    Flown,
    Oddity,
    Received,
    Suspicion,
    apart_m,
    distance_words,
    doubt_m,
)
from farglide.track.reports import HeightKind

LEAST_SEPARATION_M: Final = 10.0
"""A geoid nearer to the ellipsoid cannot be told from the error of a receiver."""
_SAME_M: Final = 5.0
_ANOTHER_KIND_M: Final = 150.0
_MOST_PRESSURE_OFF_M: Final = 2500.0  # of pressure heights (from memory: over 1000 m at 30 km)
_SOON_S: Final = 60.0
_USUAL_CLIMB_MPS: Final = 15.0
_BESIDE_M: Final = 2000.0


def limit_suspicions(now: Received) -> Iterator[Suspicion]:
    """Yield a height that its source cannot give."""
    height_m, source = now.fix.height_m, now.source
    if height_m is None:
        return
    is_pressure = now.fix.height_kind is HeightKind.PRESSURE
    if is_pressure and source.sensor_ends_pa is not None:
        limit_m, what = pressure_altitude_m(source.sensor_ends_pa), "its pressure sensor ends"
    elif not is_pressure and source.stops_above_m is not None:
        limit_m, what = source.stops_above_m, "its receiver is said to stop"
    else:
        return
    if height_m > limit_m - _SAME_M * is_pressure:  # a sensor at its end goes on saying the same
        yield Suspicion(
            oddity=Oddity.LIMIT,
            feed=now.fix.feed,
            what=f"{now.fix.feed} says {height_m:.0f} m; {what} at {limit_m:.0f} m.",
            changes="Taken as it is, the climb would seem to end there.",
            remedy="Go by another source of height; or correct the limit in the flight file.",
        )


def jump_suspicions(now: Received, before: Received, flight: Flown) -> Iterator[Suspicion]:
    """Yield a jump between two fixes of one feed that is the geoid's height, or a pressure's."""
    high_m, low_m = now.fix.height_m, before.fix.height_m
    if high_m is None or low_m is None:
        return
    span_s, jump_m = abs(now.t_s - before.t_s), high_m - low_m
    separation_m = _separation_m(now, flight)
    usual_m = _USUAL_CLIMB_MPS * span_s
    if separation_m is None or span_s > _SOON_S or abs(separation_m) < LEAST_SEPARATION_M:
        return
    if abs(abs(jump_m) - abs(separation_m)) <= _SAME_M and abs(jump_m) > usual_m:
        what = f"The height of {now.fix.feed} jumped by {jump_m:+.0f} m in {span_s:.0f} s"
        yield _kind_suspicion(now, f"{what}, as much as sea level and ellipsoid are apart.")


def pair_suspicions(now: Received, other: Received, flight: Flown) -> Iterator[Suspicion]:
    """Yield heights of two trackers side by side that cannot both count from where they say."""
    one_m, other_m = now.fix.height_m, other.fix.height_m
    gap_s = abs(now.t_s - other.t_s)
    beside_m = apart_m(now.fix, other.fix.lat_deg, other.fix.lon_deg)
    if one_m is None or other_m is None or gap_s > _SOON_S or beside_m > _BESIDE_M:
        return
    separation_m = _separation_m(now, flight)
    kinds = {now.fix.height_kind, other.fix.height_kind}
    off_m = abs(_sea_m(now, separation_m) - _sea_m(other, separation_m))
    usual_m = doubt_m(now, other) + _USUAL_CLIMB_MPS * gap_s
    told = f"{now.fix.feed} and {other.fix.feed} are {distance_words(off_m)} apart in height"
    if HeightKind.PRESSURE in kinds and len(kinds) == 2:
        if off_m > _MOST_PRESSURE_OFF_M + usual_m:
            yield _kind_suspicion(now, f"{told}, more than any air between pressure and metres.")
    elif _is_separation(off_m, separation_m, usual_m):
        yield _kind_suspicion(now, f"{told}, as much as sea level and ellipsoid are.")
    elif off_m > _ANOTHER_KIND_M + usual_m:
        yield _kind_suspicion(now, f"{told}, side by side: does one of them tell pressure height?")


def _is_separation(off_m: float, separation_m: float | None, usual_m: float) -> bool:
    if separation_m is None or abs(separation_m) < max(LEAST_SEPARATION_M, usual_m):
        return False
    return abs(off_m - abs(separation_m)) <= _SAME_M


def _separation_m(now: Received, flight: Flown) -> float | None:
    said_m = now.fix.separation_m
    return flight.separation_m if said_m is None else said_m


def _sea_m(one: Received, separation_m: float | None) -> float:
    """Return a height from the mean sea level, where its kind and the geoid tell it."""
    height_m = one.fix.height_m or 0.0
    is_ellipsoid = one.fix.height_kind is HeightKind.ELLIPSOID
    return height_m - (separation_m or 0.0) if is_ellipsoid else height_m


def _kind_suspicion(now: Received, what: str) -> Suspicion:
    return Suspicion(
        oddity=Oddity.HEIGHT_KIND,
        feed=now.fix.feed,
        what=what,
        changes="Taken as it is, climb, burst and spare height would be off by that.",
        remedy="Look up what the sender tells, and state height in its [[feeds]].",
    )
