"""Places in words: fields, heights at barriers, and where to put it when no field is open."""

from math import isinf, isnan
from textwrap import wrap
from typing import Final

from farglide.outlook.barriers import BarrierWay
from farglide.outlook.places import FieldView, Outlanding, Outlandings, PlaceView
from farglide.present.lines import WIDTH, fact_lines, table_lines
from farglide.present.part import Column, Table
from farglide.present.say.places.barriers import decision_words, needed_text
from farglide.present.say.text import (
    FlightClock,
    bearing_text,
    chance_words,
    km_text,
    number_text,
    place_text,
    sentence,
)

CAUTIONS: Final = (
    "Never on the carriageway, nor near rails, wires, animals or people. Ask the owner first and "
    "keep to what was agreed; local law and the owner have the last word, and your eyes before "
    "these numbers. Do not enter water for it."
)
LETTERS: Final = "ab"  # of the places where no field is
_STRANGE_M: Final = 30.0
_DASH: Final = "–"
_COLUMNS: Final = (
    Column("", -34),
    Column("edge", 16),
    Column("midway", 16),
    Column("far edge", 16),
)


def place_lines(view: PlaceView) -> list[str]:
    """Return all that is known of a flight's places."""
    clock = FlightClock(launch_t_s=view.launch.t_s, zone=view.launch.zone)
    lines = [f"{view.name}: fields, barriers, and where else", "", "Fields, home first"]
    for n, field in enumerate(view.fields, start=1):
        lines += _field_lines(n, field)
    lines += ["", *_barrier_lines(view, clock)]
    lines += ["", *_otherwise_lines(view.otherwise, clock, view)]
    ground = f"Ground: {view.ground}." if view.ground else "No heights of the ground are stated."
    lines += ["", *fact_lines([ground, CAUTIONS], 0)]
    return lines


def _field_lines(n: int, view: FieldView) -> list[str]:
    field = view.field
    head = f"  {n} {field.name}: {place_text(field.lat_deg, field.lon_deg, 4)}, "
    head += f"{field.amsl_m:.0f} m above sea level"
    facts = [one for one in (field.role, field.surface) if one]
    if field.length_m is not None:
        along = "" if field.direction_deg is None else f" along {_both_ways(field.direction_deg)}"
        facts.append(f"{field.length_m:.0f} m long{along}")
    elif field.direction_deg is not None:
        facts.append(f"landed along {_both_ways(field.direction_deg)}")
    if view.area_m2 is not None:
        facts.append(f"{view.area_m2 / 10_000.0:.1f} ha")
    facts.append(slope_words(view.slope_deg))
    if field.obstacles:
        facts.append(f"obstacles: {field.obstacles}")
    if field.last_light:
        facts.append(f"last light {field.last_light}")
    lines = [head, *_wrapped(sentence("; ".join(facts)))]
    owner = f"The owner: {field.owner}" if field.owner else "No word of the owner: ask first"
    lines += _wrapped(sentence(owner))
    if abs(view.ground_amsl_m - field.amsl_m) > _STRANGE_M:
        found = f"The ground's files have {view.ground_amsl_m:.0f} m there: check the height."
        lines += _wrapped(found)
    if view.inside:
        lines += _wrapped(f"It lies inside {view.inside}: is that meant?")
    return lines


def _wrapped(words: str) -> list[str]:
    return wrap(words, WIDTH, initial_indent="    ", subsequent_indent="    ")


def _both_ways(direction_deg: float) -> str:
    """Return a direction and its opposite.

    >>> _both_ways(130.0)
    '130° or 310°'
    """
    return f"{bearing_text(direction_deg)} or {bearing_text(direction_deg + 180.0)}"


def slope_words(slope_deg: float) -> str:
    """Return a slope in whole degrees: posts of the ground say no more.

    >>> slope_words(0.4), slope_words(2.6), slope_words(float("nan"))
    ('slope under 1°', 'slope 3°', 'slope not known')
    """
    if isnan(slope_deg):
        return "slope not known"
    return "slope under 1°" if slope_deg < 1.0 else f"slope {slope_deg:.0f}°"


def _barrier_lines(view: PlaceView, clock: FlightClock) -> list[str]:
    if not view.places.barriers:
        return ["No barrier is stated: write [[barriers]] into the flight file."]
    what = "the planned release" if view.release_planned else "the burst of half the balloons"
    at = clock.both(view.release_after_launch_s)
    where = place_text(view.release.lat_deg, view.release.lon_deg, 4)
    lines = fact_lines([f"Barriers, on straight ways from {what}, {at}, over {where}"], 0)
    crossed = {way.barrier for way in view.ways}
    for way in view.ways:
        lines += _way_lines(way)
    for barrier in view.places.barriers:
        if barrier.name not in crossed:
            lines.append(f"  {barrier.name}, {barrier.kind}: no straight way to a field crosses it")
    if view.ways:
        note = (
            f"Heights above sea level, for {view.arrival_agl_m:.0f} m over the field: with a "
            f"chance of {chance_words(view.open_ratio)}, and in brackets if nothing is off. "
            "By height alone: links, packs and light end a flight by themselves."
        )
        lines += wrap(note, WIDTH, initial_indent="  ", subsequent_indent="  ")
    return lines


def _way_lines(way: BarrierWay) -> list[str]:
    rows = [
        ("km beyond the edge", *(km_text(one.beyond_edge_m) for one in way.stations)),
        ("on, from km", *(needed_text(one.ahead) for one in way.stations)),
    ]
    if way.behind:
        back = (needed_text(one.behind) if one.behind else _DASH for one in way.stations)
        rows.append((f"back to {way.behind[:17]}, from km", *back))
    return [
        f"  {way.barrier}, {way.kind}, on to {way.ahead}",
        *table_lines(Table(columns=_COLUMNS, rows=tuple(rows)), 4),
        *_wrapped(decision_words(way)),
    ]


def _otherwise_lines(found: Outlandings, clock: FlightClock, view: PlaceView) -> list[str]:
    at = f"{clock.both(found.after_launch_s)} at {km_text(found.amsl_m)} km"
    head = (
        f"Where else, if no field is open: for a release at the worst minute, {at}, when some "
        f"field is open with a chance of {chance_words(found.any_open_ratio)}"
    )
    lines = fact_lines([head], 0)
    if not found.knows_ground:
        return [
            *lines,
            *_wrapped("Without [terrain] nothing is known to be flat: none is offered."),
        ]
    if not found.places:
        lines += _wrapped(
            "Nothing known to be flat is open from there, by reach, packs, light and links."
        )
    for letter, one in zip(LETTERS, found.places, strict=False):
        where = place_text(one.lat_deg, one.lon_deg, 4)
        lines.append(f"  {letter} {where}, {one.amsl_m:.0f} m above sea level")
        lines += _wrapped(sentence(_reasons(one, found)))
    return [*lines, *_wrapped(_known_words(found, view))]


def _reasons(one: Outlanding, found: Outlandings) -> str:
    """Return why a place was chosen."""
    reasons = [
        f"in reach with a chance of {chance_words(one.open_ratio)}",
        slope_words(one.slope_deg),
    ]
    if found.knows_roads and not isinf(one.road_m):
        away = number_text(round(one.road_m, -1 if one.road_m < 1000.0 else -2))
        reasons.append(f"{away} m from a road")
    if found.n_stands:
        seen = f"{one.n_seen_by} of {found.n_stands} stands" if one.n_seen_by else "no stand"
        reasons.append(f"in sight of {seen}, 50 m over the ground")
    return "; ".join(reasons)


def _known_words(found: Outlandings, view: PlaceView) -> str:
    known = ["slope"]
    if found.knows_roads:
        known.append("roads")
    if found.n_stands:
        known.append("sight from the stands")
    if view.places.barriers:
        known.append("barriers")
    listed = ", ".join(known[:-1]) + (" and " if len(known) > 1 else "") + known[-1]
    missing = "" if found.knows_roads else "No road is stated. "
    return (
        f"Chosen by {listed} alone. {missing}Nothing here knows crops, fences, ditches or what "
        "grows there: look before you take it."
    )
