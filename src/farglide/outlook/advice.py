"""Advice: what the ride answers at one moment, while the balloon still carries the glider."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Self

from farglide.outlook.ascent import Spread
from farglide.outlook.document import Documented
from farglide.outlook.fields import State
from farglide.outlook.release import Ending


class Level(StrEnum):
    """How much an advice asks of the crew."""

    QUIET = "quiet"  # nothing to do
    WATCH = "watch"  # something will change soon, or is not as it was told
    DECIDE = "decide"  # a choice is open now
    NOW = "now"  # to be done at once


class Freshness(StrEnum):
    """How old the last fix is, or how rough the place for what is asked of it.

    Up to 15 s, 60 s, 5 min; where the need is known, up to that, 4 and 20 times it, as the ages are
    of the first: common practice, no source.
    """

    FRESH = "fresh"
    AGEING = "ageing"
    GUESSED = "guessed"
    UNKNOWN = "unknown"

    @classmethod
    def of_age(cls, age_s: float) -> Self:
        """Return what a fix of an age is called.

        >>> [str(Freshness.of_age(s)) for s in (0.0, 15.0, 60.0, 300.0)]
        ['fresh', 'ageing', 'guessed', 'unknown']
        """
        older = (age_s >= 15.0, age_s >= 60.0, age_s >= 300.0)
        return list(cls)[sum(older)]

    @classmethod
    def of_need(cls, doubt_m: float, need_m: float) -> Self:
        """Return what a place is called that is known so well, where it should be so well known.

        >>> [str(Freshness.of_need(150.0, need_m)) for need_m in (1200.0, 87.0, 30.0, 5.0)]
        ['fresh', 'ageing', 'guessed', 'unknown']
        """
        worse = (doubt_m > need_m, doubt_m > 4.0 * need_m, doubt_m > 20.0 * need_m)
        return list(cls)[sum(worse)]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceNow:
    """Where it is taken to be, and how sure that is."""

    lat_deg: float
    lon_deg: float
    amsl_m: float
    half_within_m: float  # over ground, of the draws
    most_within_m: float  # nine tenths
    seen_after_launch_s: float  # the last fix, or direction from the ground
    height_seen_after_launch_s: float | None = None  # None: with the place


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldNow:
    """One field, released now, and what becomes of it while nobody lets go."""

    name: str
    state: State
    chance_ratio: float  # released now, the burst counted
    open_ratio: float  # which the state is told by
    until_after_launch_s: float | None  # the state changes then; None: not before the climb ends
    then: State | None
    data: Freshness = Freshness.FRESH  # of the place, for this field


@dataclass(frozen=True, slots=True, kw_only=True)
class AimNow:
    """Where an antenna at a stand is aimed, and whether the place will do for its beam."""

    stand: str
    azimuth_deg: float
    elevation_deg: float
    data: Freshness


@dataclass(frozen=True, slots=True, kw_only=True)
class Waited:
    """What a release is worth so much later, the burst until then counted."""

    seconds: float
    chance_ratio: float  # of the field advised, or of the best one now
    climbed_m: float  # of the middle draw
    burst_ratio: float  # by then, of the balloons whole now


@dataclass(frozen=True, slots=True, kw_only=True)
class ReleaseAdvice:
    """For which field to let go, between which heights, and by when."""

    field: str
    from_amsl_m: float
    to_amsl_m: float
    from_after_launch_s: float
    to_after_launch_s: float
    release_by_after_launch_s: float
    chance_ratio: float
    bound_by: Ending
    is_enough: bool  # as good as the crew asks for


@dataclass(frozen=True, slots=True, kw_only=True)
class BurstAhead:
    """When the balloon bursts if nobody lets go, given that it is whole now.

    NaN where so many never do: a balloon that leaks tops out.
    """

    after_launch_s: Spread
    amsl_m: Spread


@dataclass(frozen=True, slots=True, kw_only=True)
class LeakNow:
    """Whether the balloon loses gas or climbs no more, and where it tops out if nobody lets go."""

    chance_ratio: float
    since_after_launch_s: float | None  # None: a leak is not likely
    top_amsl_m: Spread
    floats_since_after_launch_s: float | None = None  # None: it climbs


@dataclass(frozen=True, slots=True, kw_only=True)
class AirNow:
    """What the climb has told of the air."""

    measured_ratio: float  # of the doubt told about the layers between the ground and here
    ahead_ratio: float  # of the doubt about those from here to the top of the release
    spread_ratio: float  # how many times as wide as told the winds' errors look


@dataclass(frozen=True, slots=True, kw_only=True)
class FillNow:
    """What the filled balloon lifts at its neck: by the plan or a weighing, and by its climb."""

    told_kg: float
    told_sd_kg: float
    neck_lift_kg: Spread  # after the climb so far


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureNow:
    """How much stronger a picture link is than its budget, by the grades that were typed."""

    link: str
    offset_db: float
    offset_sd_db: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice(Documented):
    """One answer of the ride; times are seconds after the launch."""

    after_launch_s: float
    level: Level
    data: Freshness
    place: PlaceNow
    fields: tuple[FieldNow, ...]
    release: ReleaseAdvice | None
    waiting: tuple[Waited, ...]  # of one, two and five minutes
    burst: BurstAhead
    leak: LeakNow
    air: AirNow
    fill: FillNow | None = None
    picture: PictureNow | None = None
    aims: tuple[AimNow, ...] = ()
    changed: str = ""  # since the last advice, in one clause; of a running ride alone
