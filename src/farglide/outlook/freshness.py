"""Freshness: how old, or how rough, what is known is for what it is needed for."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final, Literal, Self

_FRESH_S: Final = 15.0


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
        return cls.for_need(age_s, _FRESH_S)

    @classmethod
    def for_need(cls, age_s: float, fresh_s: float) -> Self:
        """Return what is called that is fresh up to an age, then ageing, and so on.

        Each lasts as many times as long as the one before as with a fix: 4, 5 times.
        """
        bounds_s = (fresh_s, 4.0 * fresh_s, 20.0 * fresh_s)
        return list(cls)[sum(age_s >= one for one in bounds_s)]

    @classmethod
    def of_need(cls, doubt_m: float, need_m: float) -> Self:
        """Return what a place is called that is known so well, where it should be so well known.

        >>> [str(Freshness.of_need(150.0, need_m)) for need_m in (1200.0, 87.0, 30.0, 5.0)]
        ['fresh', 'ageing', 'guessed', 'unknown']
        """
        worse = (doubt_m > need_m, doubt_m > 4.0 * need_m, doubt_m > 20.0 * need_m)
        return list(cls)[sum(worse)]


@dataclass(frozen=True, slots=True, kw_only=True)
class NeedNow:
    """How old what is needed now is: what is fresh enough aloft is old near the ground."""

    what: Literal["place", "picture", "car"]
    data: Freshness
    age_s: float | None  # None: never had


@dataclass(frozen=True, slots=True, kw_only=True)
class AimNow:
    """Where an antenna at a stand is aimed, and whether the place will do for its beam."""

    stand: str
    azimuth_deg: float  # true
    elevation_deg: float
    range_m: float
    beam_deg: float  # the narrowest on the ground that is aimed
    data: Freshness  # of the place, for that beam
