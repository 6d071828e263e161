"""From where to launch: the spots looked at closely, and the chance of home over the area."""

from collections.abc import Iterator
from typing import Final

from farglide.outlook.launch import LaunchArea, LaunchSpot, SpotField, ToldSpot
from farglide.outlook.outlook import Outlook
from farglide.present.part import Column, Part, Table
from farglide.present.say.text import FlightClock, chance_short
from farglide.sortie.words import (
    chance_words,
    compass_words,
    duration_words,
    height_words,
    km_text,
    latlon_words,
)

TITLE: Final = "Launch spots"
_ANY_RATIO: Final = 0.02
_ALONG_EVERY: Final = 4
_ACROSS_EVERY: Final = 2
"""Of the spots along and across the drift, those that a terminal has room for."""
_COLUMNS: Final = (
    Column("launch from", width=-34, prose=True),
    Column("from home", width=10),
    Column("drive", width=11),
    Column("home", width=14),
    Column("any field", width=14),
    Column("links home", width=14),
)


def launch_parts(outlook: Outlook, clock: FlightClock) -> tuple[Part, ...]:
    """Return the spots compared, and for a terminal the chances of the area."""
    area = outlook.launch
    if area is None:
        return ()
    told = told_spots(area)
    table = Table(columns=_COLUMNS, rows=[_row(spot, outlook.bounds) for spot in told])
    facts = [*_facts(outlook, area, clock)]
    compared = Part(title=TITLE, note=_note(area), table=table, after=facts, paper=facts)
    return compared, _grid(area)


def told_spots(area: LaunchArea) -> tuple[ToldSpot, ...]:
    """Return the spots looked at closely: the stated launch, prepared places, the best spots."""
    more = (one for one in (area.free, area.unlimited) if one is not None)
    return (area.stated, *area.places, *more)


def from_text(area: LaunchArea) -> str:
    """Return from which height a release counts."""
    if area.from_amsl_m <= 0.0:
        return "released at any height"
    return f"released from {height_words(area.from_amsl_m)} up"


def _note(area: LaunchArea) -> str:
    return f"chances of the best release, {from_text(area)}"


def _row(spot: ToldSpot, bounds: tuple[float, ...]) -> tuple[str, ...]:
    name = spot.name
    if spot.kind == "free":
        name = f"{name}, {latlon_words(spot.lat_deg, spot.lon_deg)}"
    drive = duration_words(spot.drive_s) if spot.drive_s > 0.0 else "none"
    return (
        f"{name} ({spot.barred})" if spot.barred else name,
        _away(spot.from_home_m, spot.from_home_deg),
        drive,
        chance_words(spot.home_ratio, bounds),
        chance_words(spot.any_field_ratio, bounds),
        "–" if spot.links_ratio is None else chance_words(spot.links_ratio),
    )


def _away(distance_m: float, bearing_deg: float) -> str:
    return "there" if distance_m < 500.0 else f"{km_text(distance_m, 0)} km {_short(bearing_deg)}"


def _short(bearing_deg: float) -> str:
    """Return a compass word for a cell.

    >>> _short(312.0), _short(90.0)
    ('NW', 'E')
    """
    return "".join(word[0].upper() for word in compass_words(bearing_deg).split("-"))


def _facts(outlook: Outlook, area: LaunchArea, clock: FlightClock) -> Iterator[str]:
    """Yield what the advised launch changes, or else the best spot."""
    spot = area.advised if area.advised.kind != "launch" else area.free
    if spot is None:
        undriven = "no drive that you allow leads to any other spot"
        yield undriven if area.is_undriven else "barriers bar every spot but the stated launch"
        return
    yield f"{spot.name}: {latlon_words(spot.lat_deg, spot.lon_deg)}; {_ways(spot)}"
    yield from _ground(spot)
    yield from _stand(spot, clock)
    yield from _other_fields(spot, outlook.bounds)
    home, before = spot.fields[0], area.stated.fields[0]
    yield f"home is {_openness(home)}; from the stated launch {_openness(before)}"
    leave = f"leave home by {clock.local(-spot.drive_s)}, the filling not counted; "
    yield (
        f"{leave if spot.drive_s > 0.0 else ''}launched at the same time, packs and light end "
        "as planned: each minute later takes one from both"
    )
    if area.n_unmanned:
        yield (
            f"from {area.n_unmanned} of {len(area.spots)} spots, those far off, no stand is manned "
            "before the climb ends: a second crew at a stand would open them"
        )
    if area.may_drive_s is not None:
        yield f"no spot is advised beyond {duration_words(area.may_drive_s)} of driving from home"


def _ways(spot: ToldSpot) -> str:
    guess = ", a guess by the straight line" if spot.drive_guessed else ""
    drive = f"{duration_words(spot.drive_s)} drive from home{guess}" if spot.drive_s else "at home"
    if spot.from_launch_m < 500.0:
        return f"the stated launch, {drive}"
    launch = _away(spot.from_launch_m, spot.from_launch_deg)
    return f"{_away(spot.from_home_m, spot.from_home_deg)} of home, {launch} of the launch, {drive}"


def _ground(spot: ToldSpot) -> Iterator[str]:
    if spot.kind == "place":
        yield "; ".join(
            words
            for words in (
                f"owner: {spot.owner}",
                spot.surface,
                spot.trees_upwind and f"trees up-wind: {spot.trees_upwind}",
                spot.obstacles and f"obstacles down-wind: {spot.obstacles}",
            )
            if words
        )
    else:
        yield "nothing is known of the ground there: look, and ask the owner first"


def _stand(spot: ToldSpot, clock: FlightClock) -> Iterator[str]:
    if not spot.stand:
        if spot.links_ratio is not None:
            yield "no stand is manned in time from there"
        return
    if spot.stand_drive_s is None:
        yield f"{spot.stand} is manned by the second crew from the launch on"
    elif spot.stand_drive_s > 0.0 and spot.stand_ready_after_launch_s is not None:
        ready = clock.local(spot.stand_ready_after_launch_s)
        yield f"{duration_words(spot.stand_drive_s)} drive on to {spot.stand}, set up at {ready}"
    else:
        yield f"{spot.stand} is manned from the launch on"


def _other_fields(spot: ToldSpot, bounds: tuple[float, ...]) -> Iterator[str]:
    others = [f"{one.field} {chance_words(one.chance_ratio, bounds)}" for one in spot.fields[1:]]
    if others:
        yield f"from there also {', '.join(others)}"


def _openness(field: SpotField) -> str:
    """Return how long of the climb a field is not open."""
    if field.shut_s >= 0.5:
        return f"shut or doubtful for {duration_words(field.shut_s)} of the climb"
    return "open all the way up" if field.chance_ratio >= _ANY_RATIO else "never open"


def _grid(area: LaunchArea) -> Part:
    """Return the chances of home over the area, thinned to what a terminal has room for."""
    known = {(spot.up_drift_m, spot.across_m): spot for spot in area.spots}
    along, sides = area.up_drift_m[::_ALONG_EVERY], area.across_m[::_ACROSS_EVERY]
    heads = ("km aside", *(km_text(up_m, 0) for up_m in along), "km up")
    columns = [Column(head, width=-12 if not k else 7) for k, head in enumerate(heads)]
    rows = [
        (_side_words(side), *(_cell(known[up_m, side]) for up_m in along), "")
        for side in reversed(sides)
    ]
    head = f"Chance of home by where it is launched, km up the drift of home, {from_text(area)}"
    return Part(head=head, table=Table(columns=columns, rows=rows))


def _side_words(across_m: float) -> str:
    if not across_m:
        return "on the line"
    return f"{km_text(abs(across_m), 0)} {'left' if across_m > 0.0 else 'right'}"


def _cell(spot: LaunchSpot) -> str:
    return "x" if spot.barred else chance_short(spot.home_ratio)
