"""A search in words: the first place to look as one sentence, then all that carries it."""

from collections.abc import Iterator
from math import atan2, ceil, cos, degrees, hypot, isnan, radians
from typing import Final

from farglide.earth.clock import clock_text
from farglide.outlook.search import AfloatShare, SearchOutlook, SearchSegment, SearchStep
from farglide.present.lines import blocks, fact_lines, table_lines, wrapped
from farglide.present.part import Column, Table
from farglide.present.say.text import bearing_text, place_text
from farglide.sortie.words import (
    chance_words,
    compass_words,
    duration_words,
    km_text,
    number_text,
    shares_words,
)

_DEGREE_M: Final = 111_195.0
_SHOWN: Final = 12
_WIDE_M: Final = 5000.0
_KNOWN_M: Final = 100.0
"""Nine in ten so near to a place are seen from it; common practice, no source."""
_LOOKS: Final = (
    Column("segment", -9), Column("where", -27), Column("cover", -15), Column("way", 8),
    Column("from", 8), Column("look for", 12), Column("found by then", 16),
)  # fmt: skip
_SEGMENTS: Final = (
    Column("segment", -9), Column("where", -27), Column("cover", -20), Column("km2", 8),
    Column("chance", 16), Column("looked for", 14),
)  # fmt: skip


def search_lines(outlook: SearchOutlook) -> list[str]:
    """Return the whole answer, the first place to look first."""
    return blocks(
        wrapped(first_sentence(outlook), 0, 2),
        fact_lines(_why(outlook)),
        _looks(outlook),
        fact_lines(_stop(outlook), 0),
        _segments(outlook),
        fact_lines(_water(outlook), 0),
        ["Known only so far", *fact_lines(outlook.notes)],
        ["Before you go", *fact_lines(outlook.cautions)],
    )


def first_sentence(outlook: SearchOutlook) -> str:
    """Return where to look first, in one sentence; that it is too late, where it is."""
    if outlook.stop.is_late:
        return f"Do not set out today: {outlook.stop.why} is too near. {_likeliest(outlook)}"
    if not outlook.steps and outlook.datum.radius_90_m > _WIDE_M:
        wait = "a bearing from the side or a later position saves more time than any look"
        return f"It is too wide to walk yet: {wait}. {_likeliest(outlook)}"
    if not outlook.steps and outlook.datum.radius_90_m <= _KNOWN_M:
        return f"Go there, nothing is to be searched. {_likeliest(outlook)}"
    if not outlook.steps:
        return f"No ground is worth a look before you must turn back. {_likeliest(outlook)}"
    step, segment = outlook.steps[0], _named(outlook, outlook.steps[0].segment)
    chance = _chance(segment.chance_ratio)
    return (
        f"Look first in segment {segment.name}, {_where(outlook, segment)}, near "
        f"{place_text(segment.lat_deg, segment.lon_deg, 4)}: it lies there with a chance of "
        f"{chance}; {_minutes(step.way_s)} to get there, look for "
        f"{_minutes(step.look_s)}."
    )


def _likeliest(outlook: SearchOutlook) -> str:
    datum = outlook.datum
    near = place_text(datum.likely_lat_deg, datum.likely_lon_deg, 4)
    return f"It most likely lies within {within_text(datum.radius_50_m)} of {near}."


def within_text(radius_m: float) -> str:
    """Return a radius with its unit: below a kilometre in metres, up to the next ten.

    >>> within_text(3.0), within_text(441.0), within_text(7900.0)
    ('10 m', '450 m', '7.9 km')
    """
    if radius_m < 995.0:
        return f"{max(10.0 * ceil(radius_m / 10.0), 10.0):.0f} m"
    return f"{km_text(radius_m)} km"


def _named(outlook: SearchOutlook, name: str) -> SearchSegment:
    return next(one for one in outlook.segments if one.name == name)


def _chance(ratio: float) -> str:
    """Return a chance in words; sums of many shares may be a rounding above 1."""
    return chance_words(min(max(ratio, 0.0), 1.0))


def _minutes(seconds: float) -> str:
    minutes = max(round(seconds / 60.0), 1)
    return duration_words(60.0 * minutes) if minutes > 1 else "1 min"


def _where(outlook: SearchOutlook, segment: SearchSegment) -> str:
    """Return where a segment lies from the last place."""
    datum = outlook.datum
    north_m = (segment.lat_deg - datum.lat_deg) * _DEGREE_M
    turn = (segment.lon_deg - datum.lon_deg + 180.0) % 360.0 - 180.0
    east_m = turn * _DEGREE_M * cos(radians(datum.lat_deg))
    away_m = hypot(east_m, north_m)
    if away_m < 100.0:
        return "at the last place"
    way = compass_words(degrees(atan2(east_m, north_m)))
    far = f"{round(away_m, -1):.0f} m" if away_m < 1000.0 else f"{km_text(away_m)} km"
    return f"{far} {way} of the last place"


def _why(outlook: SearchOutlook) -> Iterator[str]:
    datum, zone = outlook.datum, outlook.zone
    heading = "" if datum.heading_deg is None else f", heading {bearing_text(datum.heading_deg)}"
    yield (
        f"last seen {clock_text(datum.t_s, zone)} at "
        f"{place_text(datum.lat_deg, datum.lon_deg, 4)}, "
        f"{number_text(datum.agl_m)} m above the ground{heading}"
    )
    circle = _km2(datum.circle_area_m2)
    area = f"a circle of {circle}"
    if datum.sector_area_m2 is not None:
        area = f"{_km2(datum.sector_area_m2)} ahead of it, the full circle {circle}"
    reach = within_text(datum.glide_radius_m)
    yield f"its glide of {datum.glide_ratio:.1f} reaches {reach}: {area}"
    near = place_text(datum.likely_lat_deg, datum.likely_lon_deg, 4)
    yield (
        f"by all stories it lies near {near}: half within {within_text(datum.radius_50_m)}, "
        f"9 in 10 within {within_text(datum.radius_90_m)}"
    )
    shares = shares_words([min(max(one.chance_ratio, 0.0), 1.0) for one in outlook.stories])
    for one, share in zip(outlook.stories, shares, strict=True):
        yield (
            f"{one.name}: {share}, down {clock_text(one.down_t_s, zone)} "
            f"near {place_text(one.lat_deg, one.lon_deg)}, 9 in 10 within "
            f"{within_text(one.radius_m)}"
        )
    for met in outlook.met:
        yield (
            f"bearings from {' and '.join(met.stands)} meet at {met.angle_deg:.0f} degrees near "
            f"{place_text(met.lat_deg, met.lon_deg)}: half within {within_text(met.radius_50_m)}, "
            f"9 in 10 within {within_text(met.radius_90_m)}"
        )


def _km2(area_m2: float) -> str:
    km2 = area_m2 / 1e6
    return f"{number_text(km2, 2 if km2 < 10.0 else 0)} km2"


def _looks(outlook: SearchOutlook) -> list[str]:
    rows = [_look_row(outlook, one) for one in outlook.steps]
    if not rows:
        return []
    people = f"{outlook.n_people} people" if outlook.n_people > 1 else "one person"
    begins = clock_text(outlook.begins_t_s, outlook.zone)
    head = f"In this order, {people} from {begins}"
    return [head, *table_lines(Table(columns=_LOOKS, rows=rows))]


def _look_row(outlook: SearchOutlook, step: SearchStep) -> tuple[str, ...]:
    segment = _named(outlook, step.segment)
    return (
        segment.name, _where(outlook, segment).removesuffix(" of the last place"),
        segment.cover, _minutes(step.way_s), clock_text(step.begin_t_s, outlook.zone),
        _minutes(step.look_s), _chance(step.found_ratio),
    )  # fmt: skip


def _stop(outlook: SearchOutlook) -> Iterator[str]:
    if outlook.stop.turn_t_s is not None:
        at = clock_text(outlook.stop.turn_t_s, outlook.zone)
        yield f"Be back at the car by {at}, a quarter of an hour before {outlook.stop.why}."
    if outlook.crossed:
        told = ", ".join(f"{one.name} ({one.kind}) after {km_text(one.after_m)} km"
                         for one in outlook.crossed)  # fmt: skip
        yield f"The straight way there meets {told}."
    if outlook.steps:
        pieces = [_named(outlook, one.segment) for one in outlook.steps]
        kinds = sorted({kind for one in pieces for kind in one.hazards})
        if kinds:
            yield f"In or near these segments: {', '.join(kinds)}."
        yield from dict.fromkeys(f"Owner of {one}." for piece in pieces for one in piece.owners)
        if pieces[0].road:
            yield f"To {pieces[0].name} from the road {pieces[0].road}, {_near_road(pieces[0])}."


def _near_road(segment: SearchSegment) -> str:
    return "beside it" if segment.road_m < 50.0 else f"{round(segment.road_m, -1):.0f} m aside"


def _segments(outlook: SearchOutlook) -> list[str]:
    ranked = sorted(outlook.segments, key=lambda one: -one.chance_ratio)
    rows = [
        (
            one.name, _where(outlook, one).removesuffix(" of the last place"),
            one.cover if one.is_walked else f"{one.cover}, edge",
            number_text(one.area_m2 / 1e6, 2), _chance(one.chance_ratio),
            _minutes(one.looked_s) if one.looked_s else "",
        )
        for one in ranked[:_SHOWN]
    ]  # fmt: skip
    if not rows:
        return []
    rest = sum(one.chance_ratio for one in ranked[_SHOWN:])
    elsewhere = [f"in {len(ranked) - _SHOWN} more segments: {_chance(rest)}"]
    more = elsewhere if len(ranked) > _SHOWN else []
    more.append(f"in none of them: {_chance(outlook.elsewhere_ratio)}")
    table = table_lines(Table(columns=_SEGMENTS, rows=rows))
    return ["Segments, the likeliest first", *table, *fact_lines(more)]


def _water(outlook: SearchOutlook) -> Iterator[str]:
    for one in outlook.afloat:
        yield _afloat(one, outlook.zone)


def _afloat(one: AfloatShare, zone: str) -> str:
    chance = _chance(one.chance_ratio)
    head = f"It came down on {one.water} with a chance of {chance}"
    if isnan(one.likely_t_s):
        return f"{head}; there is no wind to carry it ashore. Look from the bank only."
    return (
        f"{head}; the wind then carries it {compass_words(one.towards_deg)} at "
        f"{one.drift_mps:.2f} m/s: it strands near {place_text(one.lat_deg, one.lon_deg)} about "
        f"{clock_text(one.likely_t_s, zone)}, between {clock_text(one.soonest_t_s, zone)} and "
        f"{clock_text(one.latest_t_s, zone)}. Look from the bank only."
    )
