"""From where to launch: the spots looked at closely, and the chance of home over the area."""

from collections.abc import Iterator
from typing import Final

from farglide.outlook.launch import LaunchArea, LaunchSpot, SpotField, ToldSpot
from farglide.outlook.outlook import Outlook
from farglide.present.part import Column, Part, Table
from farglide.present.say.text import FlightClock
from farglide.present.say.text import from_text as from_text
from farglide.sortie.words import (
    chance_words,
    compass_words,
    duration_words,
    km_text,
    latlon_words,
)

TITLE: Final = "Launch spots"
_ANY_RATIO: Final = 0.02
_ALONG_EVERY: Final = 4
_ACROSS_EVERY: Final = 2
"""Of the spots along and across the drift, those that a terminal has room for."""
_N_ALONG: Final = 6
_NONE, _BARRED = "–", "x"
_PLAINLY_RATIO: Final = 0.03
"""A spot that gives so little more is not worth a line."""
_BEST: Final = (
    "it is the one with the shortest drive of those within 0.02 of the best on the map; its chance "
    "was asked again, at every height"
)
_COLUMNS: Final = (
    Column("launch from", width=-34, prose=True),
    Column("from home", width=10),
    Column("drive", width=11),
    Column("home", width=14),
    Column("any field", width=14),
    Column("links", width=14),
)


def launch_parts(outlook: Outlook, clock: FlightClock) -> tuple[Part, ...]:
    """Return the spots compared, and for a terminal the chances of the area."""
    area = outlook.launch
    if area is None:
        return ()
    told = told_spots(area)
    columns = _COLUMNS if area.places or _is_worth_it(area) else [*map(_on_paper, _COLUMNS)]
    table = Table(columns=columns, rows=[_row(spot, outlook.bounds) for spot in told])
    facts = [*_facts(outlook, area, clock)]
    after = facts if _is_worth_it(area) else []
    compared = Part(title=TITLE, note=_note(area), table=table, after=after, paper=facts, long=True)
    return compared, _grid(area)


def _on_paper(column: Column) -> Column:
    """Return a column that a terminal leaves out."""
    return column._replace(width=0)


def _is_worth_it(area: LaunchArea) -> bool:
    """Tell whether other spots are worth a word in a terminal: one is better, or all are barred."""
    if area.free is None:
        return True
    others = [*area.places, area.free]
    best = max((one.home_ratio for one in others), default=0.0)
    return area.advised.kind != "launch" or best >= area.stated.home_ratio + _PLAINLY_RATIO


def told_spots(area: LaunchArea) -> tuple[ToldSpot, ...]:
    """Return the spots looked at closely: the stated launch, prepared places, the best spots."""
    more = (one for one in (area.free, area.unlimited) if one is not None)
    return (area.stated, *area.places, *more)


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
        undriven = "within the drive that you allow there is no other spot"
        yield undriven if area.is_undriven else "barriers bar every spot but the stated launch"
        return
    yield f"{spot.name}: {latlon_words(spot.lat_deg, spot.lon_deg)}; {_ways(spot)}"
    yield from (_BEST,) if spot.kind == "free" else ()
    yield from _ground(spot)
    yield from _stand(spot, clock)
    yield from _other_fields(spot, outlook.bounds)
    home, before = spot.fields[0], area.stated.fields[0]
    yield f"from there home is {_openness(home)}, from the stated launch {_openness(before)}"
    if spot.drive_s > 0.0:
        yield f"leave home by {clock.local(-spot.drive_s)} or earlier: the filling is not counted"
    yield "each minute that the launch is later takes one from the packs and from the light"
    if area.n_unmanned:
        yield (
            f"from {area.n_unmanned} of {len(area.spots)} spots the car reaches no stand before "
            "the climb ends: a second crew, waiting at a stand, would change that"
        )
    if area.may_drive_s is not None:
        yield f"spots beyond {duration_words(area.may_drive_s)} of driving from home are left out"


def _ways(spot: ToldSpot) -> str:
    guess = ", guessed from the straight line" if spot.drive_guessed else ""
    drive = (
        f"{duration_words(spot.drive_s)} to drive from home{guess}" if spot.drive_s else "at home"
    )
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
                spot.trees_upwind and f"trees upwind: {spot.trees_upwind}",
                spot.obstacles and f"obstacles downwind: {spot.obstacles}",
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
        drive = duration_words(spot.stand_drive_s)
        yield f"from there drive {drive} on to {spot.stand}, which is set up at {ready}"
    else:
        yield f"{spot.stand} is manned from the launch on"


def _other_fields(spot: ToldSpot, bounds: tuple[float, ...]) -> Iterator[str]:
    others = [f"{one.field} {chance_words(one.chance_ratio, bounds)}" for one in spot.fields[1:]]
    if others:
        yield f"chances of the other fields from there: {', '.join(others)}"


def _openness(field: SpotField) -> str:
    """Return how long of the climb a field is not open."""
    if field.shut_s >= 0.5:
        return f"shut or doubtful for {duration_words(field.shut_s)} of the climb"
    return "open all the way up" if field.chance_ratio >= _ANY_RATIO else "never open"


def _grid(area: LaunchArea) -> Part:
    """Return the chances of home over the area where they vary, thinned to what there is room for.

    Nothing where all its spots have the same one.
    """
    known = {(spot.up_drift_m, spot.across_m): _cell(spot) for spot in area.spots}
    sides = tuple(reversed(area.across_m[::_ACROSS_EVERY]))
    along = area.up_drift_m[::_ALONG_EVERY]
    along = _varied([(up_m, [known[up_m, side] for side in sides]) for up_m in along])[:_N_ALONG]
    sides = _varied([(side, [known[up_m, side] for up_m in along]) for side in sides])
    if not along or not sides:
        return Part()
    heads = ("km aside", *(km_text(up_m, 0) for up_m in along))
    columns = [Column(head, width=-12 if not k else 14) for k, head in enumerate(heads)]
    rows = [(_side_words(side), *(known[up_m, side] for up_m in along)) for side in sides]
    head = f"Chance of home by km that the launch lies upwind of home, {from_text(area)}"
    key = f"{_NONE}: {chance_words(0.0)}, as everywhere beyond; {_BARRED}: barred"
    return Part(head=head, table=Table(columns=columns, rows=rows), after=[key])


def _varied(lines: list[tuple[float, list[str]]]) -> tuple[float, ...]:
    """Return the places of lines without those at both ends where hardly any spot has a chance."""
    empty = [set(cells) <= {_NONE, _BARRED} for _, cells in lines]
    full = [k for k, is_empty in enumerate(empty) if not is_empty]
    if not full:
        return ()
    first, last = max(full[0] - 1, 0), min(full[-1] + 2, len(lines))
    return tuple(at for at, _ in lines[first:last])


def _side_words(across_m: float) -> str:
    if not across_m:
        return "on the line"
    return f"{km_text(abs(across_m), 0)} {'left' if across_m > 0.0 else 'right'}"


def _cell(spot: LaunchSpot) -> str:
    if spot.barred:
        return _BARRED
    words = chance_words(spot.home_ratio)
    return _NONE if words == chance_words(0.0) else words
