"""Launching: in words from where to launch, where that changes the day."""

from farglide.outlook.changes import Gain
from farglide.outlook.launch import LaunchArea, SpotField, ToldSpot
from farglide.sortie.spec import Sortie
from farglide.sortie.words import (
    chance_words,
    compass_words,
    duration_words,
    km_words,
    latlon_words,
)

PLAINLY_RATIO = 0.03
"""A launch that gives so much less chance more is not worth a word."""


def launch_headline(sortie: Sortie, area: LaunchArea | None) -> str:
    """Return where else to launch in a sentence or two, nothing where that changes little.

    Another launch is named where it gives at least 3 points more, and another wording; where no
    launch gives home an even chance, that is said.
    """
    if area is None:
        return ""
    advised, stated = area.advised, area.stated
    if max(advised.home_ratio, stated.home_ratio) < sortie.wish.doubtful_ratio:
        return _nowhere(area)
    said = [_instead(advised)] if _is_worth(stated, advised) else []
    if not said and stated.barred:
        said = [f"The stated launch is {stated.barred}."]
        said += [_instead(advised)] if advised.kind != "launch" else []
    free = area.free
    if free is not None and advised.kind == "place" and _is_worth(advised, free):
        better = f"near {_near(free)} ({_drive(free)}): home {chance_words(free.home_ratio)}"
        said.append(f"No place is prepared at the best spot, {better}.")
    return " ".join(said)


def spot_words(spot: ToldSpot) -> str:
    """Return where to launch in a few words: a name, or how far from home and which way."""
    if spot.kind == "place":
        return f"launch from {spot.name}"
    if spot.from_home_m < 500.0:
        return "launch at home"
    away, up_m = km_words(spot.from_home_m), spot.up_drift_m
    if abs(up_m) > 2.0 * abs(spot.across_m):
        return f"launch {away} {'up' if up_m > 0.0 else 'down'}-drift of home"
    return f"launch {away} {compass_words(spot.from_home_deg)} of home"


def spot_gain(area: LaunchArea | None, field: str) -> tuple[Gain, ...]:
    """Return what the advised launch buys for a field, nothing where it is the stated one."""
    if area is None or area.advised.kind == "launch":
        return ()
    here, there = _field(area.stated, field), _field(area.advised, field)
    return (
        Gain(
            what=spot_words(area.advised),
            chance_ratio=there.chance_ratio,
            shut_s=there.shut_s,
            release_by_shift_s=there.release_by_after_launch_s - here.release_by_after_launch_s,
        ),
    )


def spot_hint(area: LaunchArea | None, doubtful_ratio: float) -> tuple[str, ...]:
    """Return the launch that would open home, where another one would."""
    if area is None or area.advised.kind == "launch" or area.advised.home_ratio < doubtful_ratio:
        return ()
    return (spot_words(area.advised),)


def _is_worth(before: ToldSpot, after: ToldSpot) -> bool:
    """Tell whether a launch is plainly better than another, in number and in words."""
    more = after.home_ratio >= before.home_ratio + PLAINLY_RATIO
    return more and chance_words(after.home_ratio) != chance_words(before.home_ratio)


def _instead(spot: ToldSpot) -> str:
    near = "" if spot.kind == "place" else f", near {_near(spot)}"
    where = f"{spot_words(spot)} instead{near} ({_drive(spot)})"
    return f"{where[:1].upper()}{where[1:]}: home {chance_words(spot.home_ratio)}."


def _nowhere(area: LaunchArea) -> str:
    """Return that no spot brings it home, and which comes nearest."""
    best = max((area.stated, area.advised, area.free or area.stated), key=lambda s: s.home_ratio)
    reach = f"within {km_words(max(spot.up_drift_m for spot in area.spots))}"
    if area.may_drive_s is not None:
        reach = f"within {duration_words(area.may_drive_s)} of driving"
    above = f" from {km_words(area.from_amsl_m)} up" if area.from_amsl_m > 0.0 else ""
    if area.free is None:
        return f"No spot {reach} is left to launch from: barriers bar them all."
    where = "from the stated launch" if best is area.stated else f"near {_near(best)}"
    chance = chance_words(best.home_ratio)
    said = f"No launch {reach} brings it home{above}: best {chance}, {where}."
    far = area.unlimited
    if far is not None and _is_worth(best, far):
        said += f" Farther off, near {_near(far)} ({_drive(far)}): {chance_words(far.home_ratio)}."
    return said


def _near(spot: ToldSpot) -> str:
    return latlon_words(spot.lat_deg, spot.lon_deg)


def _drive(spot: ToldSpot) -> str:
    return f"{duration_words(spot.drive_s)} drive" if spot.drive_s > 0.0 else "no drive"


def _field(spot: ToldSpot, name: str) -> SpotField:
    return next((one for one in spot.fields if one.field == name), spot.fields[0])
