"""Odd pairs: two feeds that cannot both be what they are said to be."""

from collections.abc import Iterator
from typing import Final

from farglide.track.received import (
    Flown,
    Oddity,
    Received,
    Suspicion,
    apart_m,
    distance_words,
    doubt_m,
)

_ON_THE_GROUND_M: Final = 300.0  # about the ground of the launch
WELL_ABOVE_M: Final = 1000.0
_DRIVES_MPS: Final = 5.0
_WITH_M: Final = 50.0
_SOON_S: Final = 120.0
_USUAL_MPS: Final = 60.0  # along the ground, where no speed is said
_SWAP: Final = "Look which plug is whose, and correct of in the flight file."


def mixed_up_suspicions(
    now: Received, others: tuple[Received, ...], flight: Flown
) -> Iterator[Suspicion]:
    """Yield why a feed is carried by something else than is said."""
    if not flight.is_away(now.utc_s):
        return
    if now.source.of == "glider":
        yield from _on_the_road(now, others, flight)
    else:
        yield from _in_the_air(now, flight)


def disagreement_suspicions(now: Received, other: Received) -> Iterator[Suspicion]:
    """Yield two feeds of one carrier that are farther apart than both their doubts allow."""
    gap_s = abs(now.t_s - other.t_s)
    if now.source.of != other.source.of or gap_s > _SOON_S:
        return
    speeds_mps = [one for one in (now.fix.speed_mps, other.fix.speed_mps) if one is not None]
    moved_m = gap_s * max(speeds_mps, default=_USUAL_MPS)
    off_m = apart_m(now.fix, other.fix.lat_deg, other.fix.lon_deg)
    allowed_m = doubt_m(now, other) + moved_m
    if off_m > allowed_m:
        told = f"{now.fix.feed} and {other.fix.feed} are {distance_words(off_m)} apart"
        yield Suspicion(
            oddity=Oddity.DISAGREE,
            feed=now.fix.feed,
            what=f"{told}; their doubts allow {distance_words(allowed_m)}.",
            changes="Whichever is taken moves the glider by that.",
            remedy="Both are kept. Hold them against a bearing, or the ground in the picture.",
        )


def _on_the_road(now: Received, others: tuple[Received, ...], flight: Flown) -> Iterator[Suspicion]:
    """Yield a glider's tracker that moves with the car, or stays below while another climbs."""
    speed_mps, feed = now.fix.speed_mps or 0.0, now.fix.feed
    changes = "Taken as it is, the glider would be in the car."
    for other in others:
        gap_s = abs(now.t_s - other.t_s)
        if other.source.of != "glider":
            if speed_mps > _DRIVES_MPS and gap_s < _SOON_S and _is_beside(now, other):
                what = f"{feed} moves with {other.fix.feed}, at {3.6 * speed_mps:.0f} km/h."
                yield _mixed_up(now, what, changes)
                return
        elif _is_on_the_ground(now, flight) and _is_well_above(other, now) and gap_s < _SOON_S:
            how = "moves on the ground" if speed_mps > _DRIVES_MPS else "stays on the ground"
            what = f"{feed} {how} while {other.fix.feed} is {other.fix.height_m:.0f} m high."
            yield _mixed_up(now, what, changes)
            return


def _in_the_air(now: Received, flight: Flown) -> Iterator[Suspicion]:
    """Yield a car's receiver that flies."""
    height_m = now.fix.height_m
    if height_m is not None and height_m > flight.launch.amsl_m + 3.0 * WELL_ABOVE_M:
        what = f"{now.fix.feed}, said to be in the {now.source.of}, is {height_m:.0f} m high."
        yield _mixed_up(now, what, "Taken as it is, drives and stands would be wrong.")


def _is_beside(now: Received, other: Received) -> bool:
    """Tell whether two are at one place, and not one above the other."""
    moved_m = (now.fix.speed_mps or 0.0) * abs(now.t_s - other.t_s)
    high_m, low_m = now.fix.height_m, other.fix.height_m
    is_level = high_m is None or low_m is None or abs(high_m - low_m) < _ON_THE_GROUND_M
    off_m = apart_m(now.fix, other.fix.lat_deg, other.fix.lon_deg)
    return is_level and off_m < _WITH_M + moved_m


def _is_on_the_ground(now: Received, flight: Flown) -> bool:
    height_m = now.fix.height_m
    return height_m is not None and abs(height_m - flight.launch.amsl_m) < _ON_THE_GROUND_M


def _is_well_above(other: Received, now: Received) -> bool:
    high_m, low_m = other.fix.height_m, now.fix.height_m
    return high_m is not None and low_m is not None and high_m - low_m > WELL_ABOVE_M


def _mixed_up(now: Received, what: str, changes: str) -> Suspicion:
    return Suspicion(oddity=Oddity.CAR, feed=now.fix.feed, what=what, changes=changes, remedy=_SWAP)
