"""Sun and power in words: which way to turn by the sun, what ends first."""

from math import isfinite
from typing import Final

from farglide.outlook.asked import Arrival, PowerNow, SunAim, SunNow
from farglide.present.say.asked.notopen import not_open
from farglide.present.say.asked.reply import Reply, joined
from farglide.present.say.links.aim import hour_words, side_words
from farglide.present.say.text import FlightClock, bearing_text, sun_words
from farglide.sortie.words import chance_words, duration_words, km_text, number_text

_GLARE_DEG: Final = 15.0
_TOO_HIGH_DEG: Final = 60.0
_ASIDE_DEG: Final = 60.0
"""Farther aside than this the sun is outside most pictures; common practice, no source."""
_SHORT_S: Final = 600.0


def sun_reply(found: SunNow, clock: FlightClock) -> Reply:
    """Return which way to turn by the sun for the field advised, let go now."""
    told, first = turn_reply(found, clock, "at first"), found.aims[0]
    warned = not_open(first.field, first.state, first.chance_ratio)
    return told._replace(answer=joined(warned, told.answer))


def turn_reply(found: SunNow, clock: FlightClock, flown: str) -> Reply:
    """Return which way to turn by the sun for the field advised; `flown`: at which speed."""
    first, *others = found.aims
    wind = f"wind from {bearing_text(found.wind_from_deg)} {number_text(found.wind_mps)} m/s"
    return Reply(
        answer=_turn(found, first),
        number=f"Sun {sun_words(found.azimuth_deg, found.elevation_deg)}; {_aim(first)}.",
        until=_until(found, first, clock),
        why=f"At {km_text(found.amsl_m)} km {wind}, through the air {_speed(found)} {flown}.",
        change="Another field, or a nose that is off: by eye it is good to 10 to 15 degrees.",
        more=(
            *((one.field, f"{_state(one)}{_clock(one)}; {_aim(one)}.") for one in others),
            ("Sets", _sets(found, clock)),
        ),
    )


def _turn(found: SunNow, aim: SunAim) -> str:
    if found.elevation_deg <= 0.0:
        return f"No sun to steer by: {bearing_text(aim.bearing_deg)} is {aim.field}."
    if aim.right_deg is None:
        return f"No heading reaches {aim.field}: the wind is faster."
    turn = f"Turn until the sun is at {side_words(aim.right_deg)}; then straight."
    if found.elevation_deg > _TOO_HIGH_DEG:
        return f"{turn} It stands too high to trust."
    if abs(aim.right_deg) < _GLARE_DEG:
        return f"{turn} Expect glare."
    return turn if abs(aim.right_deg) <= _ASIDE_DEG else f"{turn} It leaves the picture."


def _state(aim: SunAim) -> str:
    """Return that a field is not open, ahead of where it lies; empty of one that is."""
    return "" if aim.state == "open" else f"{aim.state}, {chance_words(aim.chance_ratio)}; "


def _clock(aim: SunAim) -> str:
    return "no heading" if aim.right_deg is None else f"sun at {hour_words(aim.right_deg)}"


def _aim(aim: SunAim) -> str:
    place = f"{aim.field} bears {bearing_text(aim.bearing_deg)}, {km_text(aim.distance_m, 0)} km"
    return place if aim.steer_deg is None else f"{place}, steer {bearing_text(aim.steer_deg)}"


def _until(found: SunNow, aim: SunAim, clock: FlightClock) -> str:
    if aim.right_deg is None or found.elevation_deg <= 0.0:
        return "The next wind, or the next height."
    good = clock.local(found.after_launch_s + aim.good_for_s)
    return f"Good for {duration_words(aim.good_for_s)}, to {good}; then ask again."


def _speed(found: SunNow) -> str:
    return f"{number_text(found.airspeed_mps)} m/s"


def _sets(found: SunNow, clock: FlightClock) -> str:
    aloft, below, dusk = (
        "not today" if one is None else clock.local(one)
        for one in (
            found.sets_aloft_after_launch_s, found.sets_after_launch_s, found.dusk_after_launch_s,
        )
    )  # fmt: skip
    where = found.aims[0].field
    return f"up there {aloft}, on the ground at {where} {below}, dark {dusk}."


def power_reply(found: PowerNow, clock: FlightClock) -> Reply:
    """Return which of packs and light ends first, and whether the glider is home before."""
    ends = _ends(found)
    if not ends:
        return Reply("Nothing ends it: no pack, no dusk.")
    first_s, what = min(ends)
    if not found.arrivals:
        return Reply(
            answer=f"{what} at {clock.local(first_s)}; {found.field} is out of reach.",
            number=_pack_words(found, clock), until=clock.local(first_s),
            why=f"No way to {found.field} is open, let go now.", change=_CHANGE,
            more=_light(found, clock),
        )  # fmt: skip
    last = found.arrivals[-1]
    spare_s = first_s - last.soonest_after_launch_s
    return Reply(
        answer=_enough(what, spare_s, last, found, clock),
        number=f"{_pack_words(found, clock)} Over {found.field} {_left(spare_s)}, flown fast.",
        until=f"{clock.local(first_s)}: {what.lower()} first.",
        why=joined(
            not_open(found.field, found.state, found.chance_ratio),
            *(_arrival(found, one, first_s, clock) for one in found.arrivals),
        ),
        change=_CHANGE,
        more=_light(found, clock),
    )


_CHANGE: Final = "The switch-on was earlier, or the cold takes more: a volt reading tells."


def _ends(found: PowerNow) -> list[tuple[float, str]]:
    """Return what ends when, packs with the time kept in hand, by the early one in ten."""
    ends = [(one.ends_after_launch_s.p10 - one.reserve_s, "Battery ends") for one in found.packs]
    if len(found.packs) > 1:
        ends = [(one.ends_after_launch_s.p10 - one.reserve_s, f"Battery {one.name} ends")
                for one in found.packs]  # fmt: skip
    if found.sets_after_launch_s is not None:
        ends.append((found.sets_after_launch_s, "Sun sets"))
    return [one for one in ends if isfinite(one[0])]


def _enough(what: str, spare_s: float, last: Arrival, found: PowerNow, clock: FlightClock) -> str:
    """Return whether what ends first leaves time over the field, let go at the last moment told."""
    at = "" if _is_now(last, found) else f", let go at {clock.local(last.let_go_after_launch_s)}"
    if spare_s < 0.0:
        return f"Not enough: {what.lower()} {duration_words(-spare_s)} too early{at}."
    hurry = "Fly fast: " if spare_s < _SHORT_S else "Enough: "
    return f"{hurry}{duration_words(spare_s)} left over the field{at}."


def _is_now(one: Arrival, found: PowerNow) -> bool:
    return one.let_go_after_launch_s <= found.after_launch_s + 1.0


def _left(spare_s: float) -> str:
    words = duration_words(abs(spare_s))
    return f"{words} before that" if spare_s >= 0.0 else f"{words} after that"


def _pack_words(found: PowerNow, clock: FlightClock) -> str:
    told = []
    for one in found.packs:
        middle = clock.local(one.ends_after_launch_s.p50)
        sure = clock.local(one.ends_after_launch_s.p10 - one.reserve_s)
        told.append(f"Pack {one.name}: empty about {middle}, counted to {sure}.")
    return " ".join(told) or "No pack is stated."


def _arrival(found: PowerNow, one: Arrival, first_s: float, clock: FlightClock) -> str:
    when = "now" if _is_now(one, found) else f"at {clock.local(one.let_go_after_launch_s)}"
    slow = clock.local(one.slowly_after_launch_s)
    late = ": too late, so fly faster" if one.slowly_after_launch_s > first_s else ""
    over = clock.local(one.soonest_after_launch_s)
    return f"Let go {when}: over the field {over} flown fast; down {slow} at best glide{late}."


def _light(found: PowerNow, clock: FlightClock) -> tuple[tuple[str, str], ...]:
    sets, dusk = (
        "not today" if one is None else clock.local(one)
        for one in (found.sets_after_launch_s, found.dusk_after_launch_s)
    )
    return (("Light", f"sun sets {sets} at {found.field}, dark {dusk}."),)
