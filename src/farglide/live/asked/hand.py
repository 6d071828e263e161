"""Hand: what is told the other car in twelve words."""

import math
from typing import Final

from farglide.live.asked.situation import Situation
from farglide.outlook.advice import AirNow
from farglide.outlook.asked import HandNow
from farglide.outlook.freshness import Freshness
from farglide.track.handover.sentence import MOST_FIELDS, TICK_S, Common, HandedOver, spoken

_WIDE_RATIO: Final = 1.3
_LEARNT_RATIO: Final = 0.02
"""Of the doubt about the winds below: with less gone, nothing is known of them."""


def hand_now(asked: Situation) -> HandNow:
    """Return the sentence for the other car, of the next moment that it can tell: up to 20 s on.

    The draws go on until then, so no rounding of time moves the place.
    """
    advice, launch = asked.advice, asked.launch
    at_t_s = TICK_S * math.ceil(asked.now_t_s / TICK_S - 1e-9)
    place = asked.place_then(at_t_s - launch.t_s)
    names = [one.name for one in asked.written.fields][:MOST_FIELDS]
    release = advice.release
    field = "" if release is None or release.field not in names else release.field
    left_s = None
    if release is not None:
        left_s = max(launch.t_s + release.release_by_after_launch_s - at_t_s, 0.0)
    told = HandedOver(
        lat_deg=place.lat_deg,
        lon_deg=place.lon_deg,
        amsl_m=place.amsl_m,
        at_t_s=at_t_s,
        phase="lost" if advice.data is Freshness.UNKNOWN else "climbing",
        field=names.index(field) + 1 if field else 0,
        left_s=left_s,
        wind=wind_class(asked.advice.air),
    )
    start = asked.written.launch
    common = Common(start.lat_deg, start.lon_deg, place.lat_deg, place.lon_deg, at_t_s)
    return HandNow(
        after_launch_s=at_t_s - launch.t_s,
        words=spoken(told, common),
        lat_deg=told.lat_deg,
        lon_deg=told.lon_deg,
        amsl_m=told.amsl_m,
        phase=told.phase,
        field=field,
        left_s=left_s,
        wind=told.wind,
    )


def wind_class(air: AirNow) -> str:
    """Return how the winds are told: as they were, off by more than told, or not known."""
    if air.spread_ratio >= _WIDE_RATIO:
        return "off by more than told"
    return "not known" if air.measured_ratio < _LEARNT_RATIO else "as told"
