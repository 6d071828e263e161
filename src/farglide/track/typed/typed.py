"""Typed: one line of a crew, taken where it fits what is known, asked back where it does not."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from farglide.earth.geodesy import geodesic
from farglide.earth.look import look
from farglide.earth.state import Place
from farglide.earth.sun import sun_position
from farglide.errors import InputError
from farglide.track.handover.sentence import SURE_M, HandedOver
from farglide.track.typed.entries import (
    Bearing,
    Entry,
    LaunchLate,
    LaunchMoved,
    Mark,
    MarkKind,
    NeckLift,
    Overlay,
    Seen,
    Sighting,
    Undo,
)
from farglide.track.typed.known import AskedBack, Known, StandKnown, Understood
from farglide.track.typed.marks import mark_whys
from farglide.track.typed.numbers import cleaned
from farglide.track.typed.overlay import said_of
from farglide.track.typed.parse import STARTS, entry_of
from farglide.track.typed.physics import overlay_suspicion
from farglide.track.typed.told import understood

_GRAMS: Final = 1000.0
_AS_PLANNED_RATIO: Final = 0.3
_AIM_DEG: Final = 60.0  # a wide antenna's side lobe, a compass by a car: nothing is farther off
_SUN_DEG: Final = -3.0  # refraction, a dip of the horizon aloft
_MOVED_M: Final = 300_000.0
_BEFORE: Final = (LaunchMoved, LaunchLate)


def typed(line: str, known: Known) -> Understood | AskedBack:
    """Return what a line was taken for, or why it contradicts what is known and what was meant.

    Nothing is ever put right silently: a suspicion holds the entry as it was typed beside the
    alternatives. Raises AnswerError where a line says nothing, InputError beyond the limits.
    """
    try:
        entry = entry_of(line, known)
    except InputError as error:
        asked = _grams(error) or _swapped(error, line, known)
        if asked is not None:
            return asked
        raise
    return checked(entry, known)


def checked(entry: Entry, known: Known) -> Understood | AskedBack:
    """Return an entry as it is taken, or what it contradicts."""
    if isinstance(entry, Overlay):
        return overlay_suspicion(entry, known) or understood(entry)
    if isinstance(entry, HandedOver):
        return _handed(entry, known)
    for why, alternatives in _whys(entry, known):
        told = tuple(understood(one) for one in alternatives)
        return AskedBack(typed=understood(entry), why=why, alternatives=told)
    return understood(entry)


def _handed(entry: HandedOver, known: Known) -> Understood | AskedBack:
    """Return a hand-over as it is taken; one that checks was told so, but may be of elsewhere."""
    digits = Overlay(lat_deg=entry.lat_deg, lon_deg=entry.lon_deg, amsl_m=entry.amsl_m)
    found = overlay_suspicion(digits, replace(known, t_s=entry.at_t_s))
    whys = [] if found is None else [found.why]
    if (about := known.about) is not None:
        here = Place(lat_deg=entry.lat_deg, lon_deg=entry.lon_deg, amsl_m=0.0)
        there = Place(lat_deg=about.lat_deg, lon_deg=about.lon_deg, amsl_m=0.0)
        away_m = geodesic(here, there).distance_m
        if away_m > SURE_M:
            whys.append(
                f"That is {away_m / 1000.0:.0f} km from where it was expected: the words give a "
                "place only but for whole steps of 204.8 km. Ask for latitude and longitude."
            )
    return AskedBack(typed=understood(entry), why=" ".join(whys)) if whys else understood(entry)


def _whys(entry: Entry, known: Known) -> Iterator[tuple[str, tuple[Entry, ...]]]:
    """Yield what an entry contradicts, and what may have been meant."""
    if isinstance(entry, _BEFORE) and MarkKind.LAUNCHED in known.marks:
        yield "It is marked as launched.", (Undo(kind=MarkKind.LAUNCHED),)
    if isinstance(entry, NeckLift):
        yield from _neck_whys(entry, known)
    elif isinstance(entry, Mark):
        yield from mark_whys(entry.kind, known)
    elif isinstance(entry, Undo) and entry.kind is not None and entry.kind not in known.marks:
        yield f"{entry.kind.value.capitalize()} was never marked.", ()
    elif isinstance(entry, Bearing):
        yield from _bearing_whys(entry, known)
    elif isinstance(entry, Sighting) and entry.what is Seen.SUN:
        yield from _sun_whys(known)
    elif isinstance(entry, LaunchMoved):
        yield from _moved_whys(entry, known)


def _grams(error: InputError) -> AskedBack | None:
    """Return the question whether a neck lift was in grams; None for any other error."""
    if error.name != "neck lift" or not isinstance(error.value, float):
        return None
    try:
        meant = NeckLift(kg=error.value / _GRAMS)
    except InputError:
        return None
    why = f"A neck lift of {error.value:g} kg is none of a sounding balloon. Grams?"
    return AskedBack(typed=None, why=why, alternatives=(understood(meant),))


def _swapped(error: InputError, line: str, known: Known) -> AskedBack | None:
    """Return the question whether latitude and longitude were swapped; None for any other error."""
    if error.name != "lat_deg" or not STARTS.match(text := cleaned(line)):
        return None
    said = said_of(text, known)
    try:
        meant = Overlay(**(said | {"lat_deg": said["lon_deg"], "lon_deg": said["lat_deg"]}))
    except InputError:
        return None
    found = overlay_suspicion(meant, known)
    offered = (understood(meant),) if found is None else found.alternatives
    why = f"There is no latitude of {said['lat_deg']:g} degrees."
    return AskedBack(typed=None, why=why, alternatives=offered)


def _neck_whys(entry: NeckLift, known: Known) -> Iterator[tuple[str, tuple[Entry, ...]]]:
    hanging_kg, planned_kg = known.hanging_kg, known.planned_neck_kg
    meant: tuple[Entry, ...] = (NeckLift(kg=planned_kg),) if planned_kg else ()
    if hanging_kg is not None and entry.kg <= hanging_kg:
        yield f"{entry.kg:.2f} kg does not lift the {hanging_kg:.2f} kg that hang on it.", meant
    elif planned_kg is not None and abs(entry.kg / planned_kg - 1.0) > _AS_PLANNED_RATIO:
        yield f"{entry.kg:.2f} kg is far from the {planned_kg:.2f} kg planned.", meant


def _bearing_whys(entry: Bearing, known: Known) -> Iterator[tuple[str, tuple[Entry, ...]]]:
    stand, last = known.stand_named(entry.stand), known.last
    if stand is None or last is None:
        return
    wanted_deg = _aim_deg(stand, known)
    if wanted_deg is None or _apart_deg(entry.azimuth_deg, wanted_deg) <= _AIM_DEG:
        return
    options = [(entry.azimuth_deg + 180.0) % 360.0]
    if entry.elevation_deg is not None:
        options.append(entry.elevation_deg % 360.0)
    near = [one for one in options if _apart_deg(one, wanted_deg) <= _AIM_DEG]
    up = entry.elevation_deg
    meant = tuple(Bearing(azimuth_deg=one, elevation_deg=up, stand=entry.stand) for one in near)
    yield f"From {stand.name} it should stand near {wanted_deg:03.0f} deg.", meant


def _aim_deg(stand: StandKnown, known: Known) -> float | None:
    """Return where the last place stands; None where that is overhead, or too long ago to say."""
    last = known.last
    if last is None or known.t_s - last.t_s > 1800.0:
        return None
    here = Place(lat_deg=stand.lat_deg, lon_deg=stand.lon_deg, amsl_m=stand.amsl_m)
    there = Place(lat_deg=last.lat_deg, lon_deg=last.lon_deg, amsl_m=last.amsl_m)
    if here == there:
        return None
    seen = look(here, there)
    return None if seen.elevation_deg > 70.0 else seen.azimuth_deg


def _apart_deg(a_deg: float, b_deg: float) -> float:
    return abs((a_deg - b_deg + 180.0) % 360.0 - 180.0)


def _sun_whys(known: Known) -> Iterator[tuple[str, tuple[Entry, ...]]]:
    if known.last is None:
        return
    sun = sun_position(known.t_s, known.last.lat_deg, known.last.lon_deg)
    if sun.elevation_deg < _SUN_DEG - 6.0:  # seen from 30 km the horizon lies 5.5 deg lower
        yield f"The sun is {-sun.elevation_deg:.0f} deg below the horizon there.", ()


def _moved_whys(entry: LaunchMoved, known: Known) -> Iterator[tuple[str, tuple[Entry, ...]]]:
    if known.last is None:
        return
    place = Overlay(lat_deg=entry.lat_deg, lon_deg=entry.lon_deg)
    asked = overlay_suspicion(place, known, _MOVED_M)
    if asked is not None:
        yield (
            asked.why,
            tuple(
                LaunchMoved(lat_deg=one.entry.lat_deg, lon_deg=one.entry.lon_deg)
                for one in asked.alternatives
                if isinstance(one.entry, Overlay)
                and one.entry.lat_deg is not None
                and one.entry.lon_deg is not None
            ),
        )
