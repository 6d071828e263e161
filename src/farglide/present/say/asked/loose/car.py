"""The car in words after the release: where to be for the landing, and where the picture ends."""

from collections.abc import Iterator
from typing import Final

from farglide.outlook.advice import Advice
from farglide.outlook.after import AfterNow, Stage
from farglide.outlook.askedafter import ParkAfter, StandAfter
from farglide.present.say.after import aim_words, landing_words, lost_words
from farglide.present.say.asked.reply import Reply, joined
from farglide.present.say.text import FlightClock, place_text, sentence
from farglide.sortie.words import duration_words, km_text

_SOON_S: Final = 120.0
_SURE_RATIO: Final = 0.95
_NEAR_S: Final = 60.0


def picture_reply(advice: Advice, after: AfterNow, clock: FlightClock) -> Reply:
    """Return where the picture ends, on the way and over the field."""
    ends = next((one for one in after.links if one.purpose == "picture"), None)
    if ends is None:
        answer = "Nothing is known of the picture on the way."
    elif ends.after_launch_s is None:
        answer = f"The picture holds on the way, from {ends.stand}."
    else:
        at, high = clock.local(ends.after_launch_s), km_text(ends.amsl_m or 0.0)
        answer = f"The picture ends about {at}, at {high} km, from {ends.stand}."
    landing = after.landing
    low = () if landing is None else tuple(landing_words(landing, after))
    return Reply(
        answer=answer,
        number=joined(*low),
        why="" if ends is None else "By the link budget as stated: ground, distance, antennas.",
        change="Another stand, or an aim that is off.",
        more=(("Aim", aim_words(after)), ("Else", joined(*_lost_at(after)))),
    )


def _lost_at(after: AfterNow) -> Iterator[str]:
    landing = after.landing
    for name, agl_m in landing.lost_picture if landing is not None else ():
        if after.aim is None or name != after.aim.stand:
            yield f"From {name} it {lost_words(agl_m)}."


def park_after_reply(found: ParkAfter, advice: Advice, clock: FlightClock) -> Reply:
    """Return where the car should be until it has landed, and when to set off."""
    if advice.stage is Stage.DOWN:
        return Reply(
            answer=f"It should be down: go there{_road(found)}.",
            number=_where(found),
            why="No picture is needed any more.",
            change="A fix, or a picture, from somewhere else.",
        )
    if not found.stands:
        return Reply(
            answer=f"Go to where it comes down{_road(found)}.",
            number=_where(found),
            why="No stand is stated in the flight file.",
            change="Another field: <ask now>.",
        )
    best, *others = found.stands
    return Reply(
        answer=_go(found, best, clock),
        number=joined(_heard(best), _low(found, best)) if best.is_in_time else "",
        until=_times(found, clock),
        why=joined(f"The car counts as {found.car}.", _drive(found, best)),
        change="Another field, or a lost picture: ask again. Drives are by the flight file.",
        more=(
            *((one.name, joined(_there(found, one, clock), _heard(one), _low(found, one)))
              for one in others),
            ("Then", _then(found)),
        ),
    )  # fmt: skip


def _go(found: ParkAfter, best: StandAfter, clock: FlightClock) -> str:
    if best.drive_s == 0.0:
        return f"Stay at {best.name} until it has landed."
    off_s = best.set_off_after_launch_s
    if not best.is_in_time or off_s is None:
        return "Stop where you are, antenna high: no stand is in time."
    if off_s - found.after_launch_s < _SOON_S:
        return f"Set off for {best.name} now."
    return f"Set off for {best.name} by {clock.local(off_s)} at the latest."


def _heard(one: StandAfter) -> str:
    if one.heard_ratio is None or not one.is_in_time:
        return ""
    ends = [f"{each.purpose} to {km_text(each.amsl_m)} km"
            for each in one.links if each.amsl_m is not None]  # fmt: skip
    told = "Picture and command " + _share(one.heard_ratio)
    return f"{told}: {', '.join(ends)}." if ends else f"{told}."


def _low(found: ParkAfter, one: StandAfter) -> str:
    if not found.field:
        return ""
    return sentence(f"at {found.field} the picture {lost_words(one.lost_agl_m)}")


def _times(found: ParkAfter, clock: FlightClock) -> str:
    if found.down_after_launch_s is None:
        return ""
    down = f"down by {clock.local(found.down_after_launch_s)}"
    if found.over_after_launch_s is None:
        return sentence(down)
    return f"Over {found.field} about {clock.local(found.over_after_launch_s)}, {down}."


def _drive(found: ParkAfter, one: StandAfter) -> str:
    if one.drive_s == 0.0:
        return "Nobody sees it while you drive."
    drive, set_up = duration_words(one.drive_s), duration_words(found.set_up_s)
    return f"{drive} to drive and {set_up} to set up: so long nobody sees it."


def _there(found: ParkAfter, one: StandAfter, clock: FlightClock) -> str:
    if one.drive_s == 0.0:
        return "There now."
    late = "" if one.is_in_time else ", too late"
    return f"Set up {clock.local(one.ready_after_launch_s)} if you leave now{late}."


def _then(found: ParkAfter) -> str:
    return sentence(f"to where it lands{_road(found)}. {_where(found)}") if _where(found) else ""


def _road(found: ParkAfter) -> str:
    if found.drive_s is None:
        return ""
    if found.drive_s < _NEAR_S:
        return ", beside you"
    return f", about {duration_words(found.drive_s)} by road"


def _where(found: ParkAfter) -> str:
    if found.lat_deg is None or found.lon_deg is None:
        return ""
    return sentence(f"{found.field} {place_text(found.lat_deg, found.lon_deg)}".strip())


def _share(ratio: float) -> str:
    if ratio >= _SURE_RATIO:
        return "all the way left"
    tenths = round(10.0 * ratio)
    if not tenths:
        return "on next to none of the way left"
    return f"{tenths} tenth{'s' if tenths > 1 else ''} of the way left"
