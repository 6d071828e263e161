"""A payload's flight in plain lines: where it comes down, when, into what, and until when heard."""

from collections.abc import Iterator
from typing import Final

from farglide.outlook.links import HeardLink, HeardStand, LinksOutlook
from farglide.outlook.payload import PayloadOutlook
from farglide.present.lines import blocks, part_lines
from farglide.present.part import Part
from farglide.present.say.climb import early_words, levels_part
from farglide.present.say.ground import (
    age_words,
    asked_words,
    draws_text,
    ground_wind_words,
    last_word,
)
from farglide.present.say.links.aim import aim_part, manned
from farglide.present.say.text import (
    FlightClock,
    duration_words,
    grams_text,
    height_spread,
    place_text,
    sentence,
)
from farglide.sortie.words import (
    chance_words,
    compass_words,
    gas_caution,
    km_text,
    number_text,
    permission_words,
)

_PERMISSIONS: Final = (
    "The balloon in the airspace and each radio need permissions of their own. This plan is none."
)
_CARE: Final = (
    "The gas bottle is tied upright to fill from it, and tied down on the road, valve shut.",
    "The driver neither reads nor hears any of this.",
    "Latex and line fall too: off people, off power lines.",
    "A lithium pack that is dented, swollen, hot or wet stays outdoors and is not charged.",
)
"""Common practice, no source; local rules come first."""
_FETCH: Final = "Ask the owner before you fetch it. Nobody enters water or a gorge for it."


def payload_lines(outlook: PayloadOutlook, full: bool = False) -> list[str]:
    """Return the plan of a payload in plain lines of at most 100 columns; `full`: all of it."""
    clock = FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)
    missing = tuple(f"missing: {permission_words(one)}" for one in outlook.missing)
    parts = (
        Part(head="NOT CLEARED", facts=missing),
        Part(head="LOOK AGAIN", facts=outlook.suspicions),
        Part(margin=0, facts=answer_sentences(outlook, clock)),
        Part(margin=0, facts=(_winds(outlook, clock), *_before(outlook))),
        Part(title="Landing", facts=tuple(_landing(outlook, clock))),
        Part(title="Climb", facts=tuple(_climb(outlook, clock))),
        *((levels_part(outlook.ascent, clock, ""),) if full else ()),
        Part(title="Links", facts=tuple(_links(outlook, clock))),
        *((_aim(outlook, clock),) if full else ()),
        Part(title="Notes", facts=tuple(sentence(note) for note in outlook.notes)),
        Part(title="Cautions", facts=(_PERMISSIONS, gas_caution(outlook.gas), _FETCH)),
        Part(margin=0, facts=(last_word("crew"),)),
    )
    return blocks(*map(part_lines, parts))


def sheet_parts(outlook: PayloadOutlook, clock: FlightClock) -> tuple[Part, ...]:
    """Return the parts of the printed plan, those of the first sheet first."""
    wind = ground_wind_words(outlook.ground_wind_mps, outlook.ground_wind_limit_mps)
    hang, *climb = _climb(outlook, clock)
    notes = (_winds(outlook, clock), *map(sentence, outlook.notes))
    return (
        Part(title="Landing", facts=tuple(_landing(outlook, clock))),
        Part(title="Fill", facts=(hang, sentence(f"ground wind {wind}"))),
        Part(title="Take care", facts=(gas_caution(outlook.gas), *_CARE, _FETCH, _PERMISSIONS)),
        Part(title="Climb", facts=climb),
        levels_part(outlook.ascent, clock, "to call"),
        Part(title="Links", facts=tuple(_links(outlook, clock))),
        _aim(outlook, clock),
        Part(title="Notes", facts=notes),
    )


def _aim(outlook: PayloadOutlook, clock: FlightClock) -> Part:
    """Return where to aim from the stand that hears best."""
    heard = LinksOutlook(links=outlook.links, held=(), car=None, ground=outlook.ground)
    return aim_part(heard, outlook.ascent.burst.after_launch_s.p50, clock)


def answer_sentences(outlook: PayloadOutlook, clock: FlightClock) -> tuple[str, ...]:
    """Return where and when it comes down, and into what."""
    return tuple(_answer(outlook, clock))


def _answer(outlook: PayloadOutlook, clock: FlightClock) -> Iterator[str]:
    land = outlook.landing
    yield (
        f"The payload comes down about {clock.local(land.after_launch_s.p50)}, "
        f"{km_text(land.from_launch_m, 0)} km {compass_words(land.bearing_deg)} of the launch, "
        f"near {place_text(land.lat_deg, land.lon_deg)}; 9 in 10 land within "
        f"{km_text(land.radius_m)} km of it."
    )
    for name, kind, ratio in land.barriers[:2]:
        yield f"The chance that it comes down in {name} ({kind}) is {chance_words(ratio)}."


def _before(outlook: PayloadOutlook) -> Iterator[str]:
    """Yield what is settled before the launch: the wind on the ground, and what is asked for."""
    wind = ground_wind_words(outlook.ground_wind_mps, outlook.ground_wind_limit_mps)
    yield f"Ground wind: {wind}"
    if outlook.asked:
        yield asked_words(outlook.asked)


def _winds(outlook: PayloadOutlook, clock: FlightClock) -> str:
    return (
        f"{outlook.name}, {clock.date()}, launch {clock.launch()} at {outlook.launch_name}. "
        f"Winds: {outlook.wind_origin}, {age_words(outlook.wind_age_s)}. "
        f"{draws_text(outlook.n_draws, outlook.seed)}"
    )


def _landing(outlook: PayloadOutlook, clock: FlightClock) -> Iterator[str]:
    land = outlook.landing
    early, late = (clock.local(one) for one in (land.after_launch_s.p10, land.after_launch_s.p90))
    yield f"8 in 10 land between {early} and {late}."
    yield (
        f"The fall takes {duration_words(land.fall_s.p50)}; it meets the ground, at "
        f"{number_text(land.amsl_m)} m, with {number_text(land.sink_mps, 1)} m/s."
    )
    for name, kind, ratio in land.barriers[2:]:
        yield f"In {name} ({kind}): {chance_words(ratio)}."
    dusk_s = outlook.dusk_after_launch_s
    if dusk_s is not None:
        dark = " Most land in the dark." * (dusk_s < land.after_launch_s.p50)
        yield f"It gets dark at {clock.local(dusk_s)}.{dark}"


def _climb(outlook: PayloadOutlook, clock: FlightClock) -> Iterator[str]:
    burst, mean = outlook.ascent.burst, outlook.ascent.mean_mps
    height = height_spread(burst.height_amsl_m)
    yield (
        f"Hang {grams_text(outlook.neck_lift_kg)} g on the neck: it must just float. That takes "
        f"{number_text(outlook.volume_m3, 2)} m³ of {outlook.gas}. It climbs at "
        f"{number_text(mean.p50, 1)} m/s on average."
    )
    yield (
        f"5 in 10 have burst by {clock.local(burst.after_launch_s.p50)}, at "
        f"{km_text(burst.height_amsl_m.p50)} km, most likely near "
        f"{place_text(burst.lat_deg, burst.lon_deg)}."
    )
    yield f"Burst by the clock: {clock.spread(burst.after_launch_s)}; by height: {height}."
    yield from map(sentence, early_words(burst))


def _links(outlook: PayloadOutlook, clock: FlightClock) -> Iterator[str]:
    for link in outlook.links:
        for stand in link.stands:
            yield _heard(link, stand, clock)
        if not link.stands:
            yield (
                f"{link.name}: {km_text(link.reach_m, 0)} km in free space; state [[stands]] to "
                "learn where it can be received"
            )


def _heard(link: HeardLink, stand: HeardStand, clock: FlightClock) -> str:
    points = manned(stand)
    if not points:
        return f"{link.name} at {stand.name}: nobody is there before it is down"
    weakest = min(points, key=lambda point: point.p50)
    told = (
        f"{link.name} at {stand.name}: weakest at {clock.local(weakest.after_launch_s)}, at "
        f"{km_text(weakest.amsl_m)} km, with {number_text(weakest.p50)} dB of margin"
    )
    held = [point for point in points if point.p50 > 0.0]
    if not held:
        return f"{told}; it is hardly ever received there"
    last = held[-1]
    end = points[-1]
    if last is end:
        return f"{told}; received down to the ground or nearly so, {km_text(end.amsl_m)} km"
    lost = f"lost at {clock.local(last.after_launch_s)}, below {km_text(last.amsl_m)} km"
    return f"{told}; {lost}"
