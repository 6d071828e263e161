"""Received: a fix with its feed and when it came, what a flight is known by, and a suspicion."""

import math
from dataclasses import dataclass
from enum import StrEnum

from farglide.earth.geodesy import geodesic
from farglide.earth.state import Place
from farglide.sortie.feeds import FeedSpec
from farglide.sortie.words import km_text
from farglide.track.reports import Fix


class Oddity(StrEnum):
    """What is odd about a fix."""

    SWAPPED = "swapped"
    ELSEWHERE = "elsewhere"
    CLOCK = "clock"
    LIMIT = "limit"
    HEIGHT_KIND = "height kind"
    TOO_FAST = "too fast"
    CAR = "car"
    DISAGREE = "disagree"


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspicion:
    """What is odd about a fix, what taking it as it is would change, and what to do."""

    oddity: Oddity
    feed: str
    what: str
    changes: str
    remedy: str

    @property
    def text(self) -> str:
        """Return all of it."""
        return f"{self.what} {self.changes} {self.remedy}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Received:
    """A fix, the feed that said it, and when it came by this machine's clock."""

    fix: Fix
    source: FeedSpec
    utc_s: float

    @property
    def t_s(self) -> float:
        """Return when it was so: by the sender's clock, else when it came."""
        return self.utc_s if self.fix.t_s is None else self.fix.t_s


@dataclass(frozen=True, slots=True, kw_only=True)
class Flown:
    """The flight that fixes are held against."""

    launch: Place
    launched_utc_s: float | None = None  # None: still on the hand
    due_utc_s: float | None = None  # when it is to leave it; None: not known
    separation_m: float | None = None  # of the geoid above the ellipsoid about there

    def is_away(self, utc_s: float) -> bool:
        """Tell whether the balloon left the hand five minutes ago or more."""
        return self.launched_utc_s is not None and utc_s - self.launched_utc_s >= 300.0


def apart_m(fix: Fix, lat_deg: float, lon_deg: float) -> float:
    """Return how far a fix lies from a place, along the ground."""
    here = Place(lat_deg=fix.lat_deg, lon_deg=fix.lon_deg, amsl_m=0.0)
    return geodesic(here, Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=0.0)).distance_m


def doubt_m(one: Received, other: Received) -> float:
    """Return three standard deviations of how far two fixes are apart."""
    return 3.0 * math.hypot(one.source.error_m, other.source.error_m)


def distance_words(distance_m: float) -> str:
    """Return a distance as it is said.

    >>> distance_words(640.0), distance_words(4260.0), distance_words(612_000.0)
    ('640 m', '4.3 km', '612 km')
    """
    if distance_m < 1000.0:
        return f"{distance_m:.0f} m"
    return f"{km_text(distance_m, 1 if distance_m < 10_000.0 else 0)} km"
