"""Places in words: fields, heights at barriers, and where to put it when no field is open."""

from collections.abc import Iterator
from math import isinf, isnan
from typing import Final

from farglide.outlook.barriers import BarrierWay
from farglide.outlook.places import FieldView, Outlanding, Outlandings, PlaceView
from farglide.present.lines import blocks, fact_lines, table_lines, wrapped
from farglide.present.part import Column, Table
from farglide.present.say.places.barriers import decision_words, needed_text
from farglide.present.say.text import FlightClock, bearing_text, place_text, sentence
from farglide.sortie.words import chance_words, km_text, number_text

CAUTIONS: Final = (
    "Never land on the carriageway, nor near rails, wires, animals or people. Ask the owner first "
    "and keep to what was agreed: local law and the owner decide, and your eyes count before these "
    "numbers. Do not enter water for it."
)
LETTERS: Final = "ab"  # of the places where no field is
_STRANGE_M: Final = 30.0
_COLUMNS: Final = (Column("", -34), *(Column(at, 16) for at in ("edge", "midway", "far edge")))


def place_lines(view: PlaceView) -> list[str]:
    """Return all that is known of a flight's places."""
    clock = FlightClock(launch_t_s=view.launch.t_s, zone=view.launch.zone)
    fields = [line for n, field in enumerate(view.fields, 1) for line in _field_lines(n, field)]
    ground = f"Ground: {view.ground}." if view.ground else "No heights of the ground are stated."
    return blocks(
        [f"{view.name}: fields, barriers, and where else to land"], ["Fields, home first", *fields],
        _barrier_lines(view, clock), _otherwise_lines(view.otherwise, clock, view),
        fact_lines([ground, CAUTIONS], 0),
    )  # fmt: skip


def _field_lines(n: int, view: FieldView) -> list[str]:
    field, where = view.field, place_text(view.field.lat_deg, view.field.lon_deg, 4)
    said = [sentence("; ".join(filter(None, _field_facts(view))))]
    owner = f"The owner: {field.owner}" if field.owner else "The owner has said nothing: ask first"
    said.append(sentence(owner))
    if abs(view.ground_amsl_m - field.amsl_m) > _STRANGE_M:
        said.append(f"The ground files say {view.ground_amsl_m:.0f} m there: check the height.")
    if view.inside:
        said.append(f"It lies inside {view.inside}: is that meant?")
    lines = [line for words in said for line in wrapped(words, 4, 4)]
    return [f"  {n} {field.name}: {where}, {field.amsl_m:.0f} m above sea level", *lines]


def _field_facts(view: FieldView) -> Iterator[str]:
    """Yield what is known of a field besides its place; empty words where nothing is."""
    field = view.field
    yield from (field.role, field.surface)
    ways = ""
    if field.direction_deg is not None:
        ways = f"{bearing_text(field.direction_deg)} or {bearing_text(field.direction_deg + 180.0)}"
    if field.length_m is not None:
        yield f"{field.length_m:.0f} m long" + (f" along {ways}" if ways else "")
    elif ways:
        yield f"landed along {ways}"
    if view.area_m2 is not None:
        yield f"{view.area_m2 / 10_000.0:.1f} ha"
    yield slope_words(view.slope_deg)
    yield f"obstacles: {field.obstacles}" if field.obstacles else ""
    yield f"last light {field.last_light}" if field.last_light else ""


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
    what = "the planned release" if view.release_planned else "where 5 in 10 have burst"
    at = clock.both(view.release_after_launch_s)
    where = place_text(view.release.lat_deg, view.release.lon_deg, 4)
    lines = fact_lines([f"Barriers on straight ways from {what}, at {at} over {where}"], 0)
    crossed = {way.barrier for way in view.ways}
    for way in view.ways:
        lines += _way_lines(way)
    missed = (one for one in view.places.barriers if one.name not in crossed)
    lines += [f"  {one.name}, {one.kind}: no straight way to a field crosses it" for one in missed]
    note = (
        f"Heights are above sea level and bring it {view.arrival_agl_m:.0f} m over the field with "
        f"a chance of {chance_words(view.open_ratio)}; in brackets, if nothing is off. They count "
        "height alone: links, packs and light may still end the flight."
    )
    return [*lines, *(wrapped(note, 2, 2) if view.ways else [])]


def _way_lines(way: BarrierWay) -> list[str]:
    rows = [
        ("km beyond the edge", *(km_text(one.beyond_edge_m) for one in way.stations)),
        ("fly on from, km", *(needed_text(one.ahead) for one in way.stations)),
    ]
    if way.behind:
        back = (needed_text(one.behind) if one.behind else "–" for one in way.stations)
        rows.append((f"turn back to {way.behind[:12]} from, km", *back))
    return [
        f"  {way.barrier}, {way.kind}, on the way to {way.ahead}",
        *table_lines(Table(columns=_COLUMNS, rows=rows), 4),
        *wrapped(decision_words(way), 4, 4),
    ]


def _otherwise_lines(found: Outlandings, clock: FlightClock, view: PlaceView) -> list[str]:
    at = f"{clock.both(found.after_launch_s)} at {km_text(found.amsl_m)} km"
    some = chance_words(found.any_open_ratio, [view.open_ratio])
    chance = f"when the chance of an open field is {some}"
    where = "Where else to land: for a release at the worst minute"
    head = f"{where}, {at}, {chance}"
    lines = fact_lines([head], 0)
    if not found.knows_ground:
        nothing = "Without [terrain] nobody knows what is flat, so no place is offered."
        return [*lines, *wrapped(nothing, 4, 4)]
    if not found.places:
        nothing = "No flat place is in reach from there with packs, light and links to spare."
        lines += wrapped(nothing, 4, 4)
    for letter, one in zip(LETTERS, found.places, strict=False):
        where = place_text(one.lat_deg, one.lon_deg, 4)
        lines.append(f"  {letter} {where}, {one.amsl_m:.0f} m above sea level")
        lines += wrapped(sentence("; ".join(_reasons(one, found, view.open_ratio))), 4, 4)
    return [*lines, *wrapped(_known_words(found, view), 4, 4)]


def _reasons(one: Outlanding, found: Outlandings, open_ratio: float) -> Iterator[str]:
    """Yield why a place was chosen."""
    yield f"in reach with a chance of {chance_words(one.open_ratio, [open_ratio])}"
    yield slope_words(one.slope_deg)
    if found.knows_roads and not isinf(one.road_m):
        yield f"{number_text(round(one.road_m, -1 if one.road_m < 1000.0 else -2))} m from a road"
    if found.n_stands:
        seen = f"{one.n_seen_by} of {found.n_stands} stands" if one.n_seen_by else "no stand"
        yield f"in sight of {seen}, 50 m over the ground"


def _known_words(found: Outlandings, view: PlaceView) -> str:
    stands, barriers = found.n_stands, view.places.barriers
    others = {"roads": found.knows_roads, "sight from the stands": stands, "barriers": barriers}
    *known, last = ("slope", *(what for what, is_known in others.items() if is_known))
    listed = f"{', '.join(known)} and {last}" if known else last
    missing = "" if found.knows_roads else "No road is stated. "
    return (
        f"Chosen by {listed} alone. {missing}Crops, fences, ditches and what grows there are not "
        "known: look before you take it."
    )
