"""Launching: in words from where to launch, where that changes the day."""

from farglide.outlook.changes import Gain
from farglide.outlook.launch import LaunchArea, ToldSpot
from farglide.sortie.spec import Sortie
from farglide.sortie.words import (
    chance_words,
    compass_words,
    duration_words,
    height_words,
    km_words,
    latlon_words,
)

PLAINLY_RATIO = 0.03
"""A launch that gives so much less chance more is not worth a word."""
_MANY_RATIO = 0.3
"""From this share of spots on it is the car that keeps them shut, and told at once."""


def launch_headline(sortie: Sortie, area: LaunchArea | None, released_low: bool = False) -> str:
    """Return where else to launch in a sentence or two, nothing where that changes little.

    Another launch is named where it gives at least 3 points more, and another wording; where no
    launch gives home an even chance, that is said. `released_low`: the plan releases below the
    wished height, for which launches are compared.
    """
    if area is None:
        return ""
    advised, stated, free = area.advised, area.stated, area.free
    even = sortie.wish.doubtful_ratio
    above = _above(area) if released_low else ""
    if max(advised.home_ratio, stated.home_ratio) < even:
        if free is not None and area.places and free.home_ratio >= even:
            told = f"near {_near(free)} ({_drive(free)}), does: {chance_words(free.home_ratio)}"
            said = [f"{_less(sortie, 'No prepared place', area)}. The best spot, {told}."]
        else:
            said = [_nowhere(sortie, area)]
        return " ".join([*said, *_for_any(sortie, area, None, _above(area))])
    said = [_instead(sortie, advised, above)] if _is_worth(stated, advised) else []
    if not said and stated.barred:
        said = [f"The stated launch is {stated.barred}."]
        said += [_instead(sortie, advised, above)] if advised.kind != "launch" else []
    if free is not None and advised.kind == "place" and _is_worth(advised, free):
        better = f"near {_near(free)} ({_drive(free)}): the chance of home is {_home(free)}"
        said.append(f"No place is prepared at the best spot, {better} there.")
    return " ".join([*said, *_for_any(sortie, area, advised if said else None, above)])


def _for_any(sortie: Sortie, area: LaunchArea, named: ToldSpot | None, above: str) -> list[str]:
    """Return the launch that gives some field plainly more than the stated one and the named one.

    Where the wish is for home nobody asks for it.
    """
    if sortie.wish.bring_to == "home":
        return []
    known = (*area.places, area.free, area.stated)
    spots = [one for one in known if one is not None and not one.barred]
    if not spots:
        return []
    best = max(spots, key=lambda one: one.any_field_ratio)
    before = max(one.any_field_ratio for one in (area.stated, named or area.stated))
    there, here = chance_words(best.any_field_ratio), chance_words(before)
    if best.any_field_ratio < before + PLAINLY_RATIO or there == here:
        return []
    where = spot_words(best)
    told = f"{there} instead of {here}{above}"
    return [f"To reach any field at all, {where} ({_drive(best)}): {told}."]


def spot_words(spot: ToldSpot) -> str:
    """Return where to launch in a few words: a name, or how far from home and which way."""
    if spot.kind == "place":
        return f"launch from {spot.name}"
    if spot.from_home_m < 500.0:
        return "launch at home"
    away, up_m = km_words(spot.from_home_m), spot.up_drift_m
    if abs(up_m) > 2.0 * abs(spot.across_m):
        return f"launch {away} {'up' if up_m > 0.0 else 'down'}wind of home"
    return f"launch {away} {compass_words(spot.from_home_deg)} of home"


def spot_gain(area: LaunchArea) -> tuple[Gain, ...]:
    """Return what the advised launch buys for home, nothing where it is the stated one."""
    if area.advised.kind == "launch":
        return ()
    here, there = area.stated.fields[0], area.advised.fields[0]
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


def _instead(sortie: Sortie, spot: ToldSpot, above: str) -> str:
    near = "" if spot.kind == "place" else f", near {_near(spot)}"
    where = f"{spot_words(spot)} instead{near} ({_drive(spot)})"
    chance = chance_words(spot.home_ratio, sortie.wish.bounds)
    return f"{where[:1].upper()}{where[1:]}: the chance of home is then {chance}{above}."


def _home(spot: ToldSpot) -> str:
    return chance_words(spot.home_ratio)


def _less(sortie: Sortie, which: str, area: LaunchArea) -> str:
    """Return that some spots give home less than an even chance."""
    return f"{which} gives home {chance_words(sortie.wish.doubtful_ratio)} or more{_above(area)}"


def _nowhere(sortie: Sortie, area: LaunchArea) -> str:
    """Return that no spot brings it home, and which comes nearest."""
    prepared = [one for one in area.places if not one.barred]
    best = max((area.stated, *prepared, area.free or area.stated), key=lambda s: s.home_ratio)
    reach = f"within {km_words(max(spot.up_drift_m for spot in area.spots))}"
    if area.may_drive_s is not None:
        reach = f"within {duration_words(max(area.may_drive_s, 60.0))} of driving"
    if area.free is None and not prepared:
        if area.is_undriven:
            return f"No other spot to launch from lies {reach}."
        return f"Barriers bar every launch spot {reach}."
    where = f"near {_near(best)}" if best.kind == "free" else f"from {best.name}"
    where = "from the stated launch" if best is area.stated else where
    chance = chance_words(best.home_ratio)
    said = f"{_less(sortie, f'No launch {reach}', area)}: the best is {chance}, {where}."
    if area.n_unmanned > _MANY_RATIO * len(area.spots):
        said += (
            f" From {area.n_unmanned} of {len(area.spots)} spots the car reaches no stand in time: "
            "a second crew, waiting at a stand, would change that."
        )
    far = area.unlimited
    if far is not None and _is_worth(best, far):
        said += f" Farther off, near {_near(far)} ({_drive(far)}): {chance_words(far.home_ratio)}."
    return said


def _above(area: LaunchArea) -> str:
    """Return from which height launches are compared."""
    high = height_words(area.from_amsl_m)
    return f", released above {high}" if area.from_amsl_m > 0.0 else ""


def _near(spot: ToldSpot) -> str:
    return latlon_words(spot.lat_deg, spot.lon_deg)


def _drive(spot: ToldSpot) -> str:
    return f"{duration_words(spot.drive_s)} drive" if spot.drive_s > 0.0 else "no drive"
