"""The call card in words: what to say to an air traffic unit, with times as they now are."""

from math import isfinite
from typing import Final

from farglide.outlook.asked import CallNow
from farglide.outlook.faults import Unsteered
from farglide.present.say.asked.reply import Reply
from farglide.present.say.text import FlightClock, bearing_text, place_text
from farglide.sortie.words import compass_words, km_text, number_text

_RISES_MPS: Final = 0.3
_NEAR_M: Final = 100.0
_AT_M: Final = 500.0
_HIGHEST: Final = 600
"""Above flight level 600 hardly anybody is told of one (common practice, no source)."""
_FOOT_M: Final = 0.3048
_FALLS: Final = ("all still tied together", "hands off")


def call_reply(found: CallNow, clock: FlightClock) -> Reply:
    """Return what to say, in the order in which it is asked for; times in UTC as they speak."""
    at = clock.utc(found.after_launch_s)
    off = off_words(found.from_launch_m, found.from_launch_deg)
    return Reply(
        answer=f"Say: balloon, {_level(found)}, {_moving(found)}.",
        number=f"At {at} UTC {place_text(found.lat_deg, found.lon_deg, 2)}, {off}, "
        f"{_height(found)}{_within(found)}.",
        until=_levels(found, clock),
        why=f"It climbs {number_text(found.climb_mps, 1)} m/s and moves to "
        f"{bearing_text(found.moves_to_deg)} at {number_text(found.moves_mps)} m/s.",
        change="Call again if it floats, bursts early, or is let go elsewhere.",
        more=(
            ("Let go", _let_go(found, clock)),
            ("Burst", _burst(found, clock)),
            *(_alone(one, clock) for one in found.unsteered
              if any(one.what.endswith(end) for end in _FALLS)),
            ("Airspace", f"{found.airspace} in your file. What holds, the unit says."),
        ),
    )  # fmt: skip


def off_words(away_m: float, bearing_deg: float) -> str:
    """Return where something is from the launch.

    >>> off_words(2.0, 90.0), off_words(44_000.0, 135.0)
    ('at the launch', '44 km south-east of the launch')
    """
    if away_m < _AT_M:
        return "at the launch"
    return f"{km_text(away_m, 0)} km {compass_words(bearing_deg)} of the launch"


def _level(found: CallNow) -> str:
    return f"level {found.level}" if found.level <= _HIGHEST else f"above level {_HIGHEST}"


def _burst(found: CallNow, clock: FlightClock) -> str:
    """Return when it bursts, in UTC as all that is said to a unit."""
    burst = found.burst_after_launch_s
    if not isfinite(burst.p50):
        return "none is coming."
    low, middle, high = (
        clock.utc(one) if isfinite(one) else "never" for one in (burst.p10, burst.p50, burst.p90)
    )
    return f"about {middle} UTC ({low} to {high}) if nobody lets go."


def _height(found: CallNow) -> str:
    return f"{number_text(found.amsl_m)} m ({number_text(found.amsl_m / _FOOT_M)} ft)"


def _within(found: CallNow) -> str:
    near = found.within_m < _NEAR_M
    return "" if near else f"; 9 in 10 within {km_text(found.within_m)} km"


def _moving(found: CallNow) -> str:
    if found.climb_mps > _RISES_MPS:
        return "climbing"
    return "sinking" if found.climb_mps < -_RISES_MPS else "level"


def _levels(found: CallNow, clock: FlightClock) -> str:
    if not found.levels:
        return "No level of theirs ahead."
    each = (
        f"{one.level} at {clock.utc(one.after_launch_s.p50)} "
        f"({clock.utc(one.after_launch_s.p10)} to {clock.utc(one.after_launch_s.p90)})"
        for one in found.levels
    )
    return f"Through level {', '.join(each)} UTC."


def _let_go(found: CallNow, clock: FlightClock) -> str:
    where = f"{found.field}, {place_text(found.field_lat_deg, found.field_lon_deg, 2)}"
    if found.let_go_after_launch_s is None:
        return f"not planned now; the field is {where}."
    first, last = (clock.utc(one) for one in found.let_go_after_launch_s)
    down = ""
    if found.down_after_launch_s is not None:
        by = clock.utc(found.down_after_launch_s)
        down = f", glider down through all levels there by {by} UTC"
    return f"{first} to {last} UTC for {where}{down}."


def _alone(one: Unsteered, clock: FlightClock) -> tuple[str, str]:
    label = "Tied on" if "tied" in one.what else "Unsteered"
    when = clock.utc(one.down_after_launch_s.p50)
    place = place_text(one.lat_deg, one.lon_deg, 2)
    return label, f"down near {place} about {when} UTC, 9 in 10 within {km_text(one.radius_m)} km."
