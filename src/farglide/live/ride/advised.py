"""Advised: an advice read back from its document."""

from collections.abc import Mapping
from typing import Any

from farglide.outlook.advice import (
    Advice,
    AirNow,
    BurstAhead,
    FieldNow,
    FillNow,
    LeakNow,
    Level,
    PictureOff,
    PlaceNow,
    ReleaseAdvice,
    Waited,
)
from farglide.outlook.after import (
    AfterNow,
    BarrierAhead,
    ComesDown,
    LandingNow,
    LinkEnd,
    Stage,
    SteerNow,
    StoryNow,
)
from farglide.outlook.ascent import Spread
from farglide.outlook.freshness import AimNow, Freshness, NeedNow


def advice_read(document: Mapping[str, Any]) -> Advice:
    """Return the advice of a document, its numbers as they are written there.

    Raises ValueError where it is none.
    """
    try:
        release, burst, leak = document["release"], document["burst"], document["leak"]
        after = document.get("after")  # logs of older versions hold what is carried alone
        fill, picture = document.get("fill"), document.get("picture")  # and nothing of these
        return Advice(
            after_launch_s=document["after_launch_s"],
            level=Level(document["level"]),
            data=Freshness(document["data"]),
            place=PlaceNow(**document["place"]),
            fields=tuple(_field(one, document["data"]) for one in document["fields"]),
            stage=Stage(document.get("stage", Stage.CARRIED.value)),
            stories=tuple(StoryNow(**one) for one in document.get("stories", ())),
            needs=tuple(_need(one) for one in document.get("needs", ())),
            release=None if release is None else ReleaseAdvice(**release),
            waiting=tuple(Waited(**one) for one in document["waiting"]),
            burst=None
            if burst is None
            else BurstAhead(**{name: _spread(one) for name, one in burst.items()}),
            leak=None
            if leak is None
            else LeakNow(**leak | {"top_amsl_m": _spread(leak["top_amsl_m"])}),
            after=None if after is None else _after(after),
            air=AirNow(**document["air"]),
            fill=None if fill is None else _fill(fill),
            picture=None if picture is None else PictureOff(**picture),
            aims=tuple(_aim(one) for one in document.get("aims", ())),
            changed=document["changed"],
        )
    except (AttributeError, KeyError, TypeError) as error:
        raise ValueError(f"holds no advice: {error}") from None


def _field(one: Mapping[str, Any], data: str) -> FieldNow:
    """Return a field; `data`: of the whole, which older logs tell alone."""
    arrival = one.get("arrival_agl_m")
    parts = {
        "data": Freshness(one.get("data", data)),
        "arrival_agl_m": None if arrival is None else _spread(arrival),
    }
    return FieldNow(**{**one, **parts})


def _fill(one: Mapping[str, Any]) -> FillNow:
    return FillNow(**{**one, "neck_lift_kg": _spread(one["neck_lift_kg"])})


def _aim(one: Mapping[str, Any]) -> AimNow:
    return AimNow(**{**one, "data": Freshness(one["data"])})


def _need(one: Mapping[str, Any]) -> NeedNow:
    return NeedNow(**{**one, "data": Freshness(one["data"])})


def _after(one: Mapping[str, Any]) -> AfterNow:
    steer, landing = one["steer"], one["landing"]
    if steer is not None:
        arrival = steer["arrival_agl_m"]
        steer = {**steer, "arrival_agl_m": None if arrival is None else _spread(arrival)}
    if landing is not None:
        lost = tuple((name, agl_m) for name, agl_m in landing["lost_picture"])
        landing = {**landing, "lost_picture": lost}
    parts = {
        "steer": None if steer is None else SteerNow(**steer),
        "barrier": None if one["barrier"] is None else BarrierAhead(**one["barrier"]),
        "links": tuple(LinkEnd(**each) for each in one["links"]),
        "aim": None if one["aim"] is None else _aim(one["aim"]),
        "landing": None if landing is None else LandingNow(**landing),
        "comes_down": tuple(ComesDown(**each) for each in one["comes_down"]),
    }
    return AfterNow(**{**one, **parts})


def _spread(document: Mapping[str, float | None]) -> Spread:
    return Spread(**{name: float("nan") if x is None else x for name, x in document.items()})
