"""Advised: an advice read back from its document."""

from collections.abc import Mapping
from typing import Any

from farglide.outlook.advice import (
    Advice,
    AimNow,
    AirNow,
    BurstAhead,
    FieldNow,
    FillNow,
    Freshness,
    LeakNow,
    Level,
    PictureNow,
    PlaceNow,
    ReleaseAdvice,
    Waited,
)
from farglide.outlook.ascent import Spread


def advice_read(document: Mapping[str, Any]) -> Advice:
    """Return the advice of a document, its numbers as they are written there.

    Raises ValueError where it is none.
    """
    try:
        release, burst, leak = document["release"], document["burst"], document["leak"]
        fill, picture = document["fill"], document["picture"]
        return Advice(
            after_launch_s=document["after_launch_s"],
            level=Level(document["level"]),
            data=Freshness(document["data"]),
            place=PlaceNow(**document["place"]),
            fields=tuple(
                FieldNow(**one | {"data": Freshness(one["data"])}) for one in document["fields"]
            ),
            release=None if release is None else ReleaseAdvice(**release),
            waiting=tuple(Waited(**one) for one in document["waiting"]),
            burst=BurstAhead(**{name: _spread(one) for name, one in burst.items()}),
            leak=LeakNow(**leak | {"top_amsl_m": _spread(leak["top_amsl_m"])}),
            air=AirNow(**document["air"]),
            fill=None if fill is None else _fill(fill),
            picture=None if picture is None else PictureNow(**picture),
            aims=tuple(
                AimNow(**one | {"data": Freshness(one["data"])}) for one in document["aims"]
            ),
            changed=document["changed"],
        )
    except (AttributeError, KeyError, TypeError) as error:
        raise ValueError(f"holds no advice: {error}") from None


def _fill(document: Mapping[str, Any]) -> FillNow:
    return FillNow(**dict(document) | {"neck_lift_kg": _spread(document["neck_lift_kg"])})


def _spread(document: Mapping[str, float | None]) -> Spread:
    return Spread(**{name: float("nan") if x is None else x for name, x in document.items()})
