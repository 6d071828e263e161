"""Typed: one line of a crew, taken where it fits what is known, asked back where it does not."""

from collections.abc import Iterator
from typing import Final

from farglide.earth.clock import clock_text
from farglide.earth.sun import sun_position
from farglide.errors import InputError
from farglide.track.handover.sentence import HandedOver
from farglide.track.typed.aimed import aim_whys
from farglide.track.typed.beyond import beyond, moved_to
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
from farglide.track.typed.handed import handed_suspicion
from farglide.track.typed.known import AskedBack, Known, Understood, Why
from farglide.track.typed.marks import mark_whys
from farglide.track.typed.overlay import said_of
from farglide.track.typed.parse import digits_in, entry_of
from farglide.track.typed.physics import MOVED_M, overlay_suspicion
from farglide.track.typed.told import understood, words_of

_AS_PLANNED_RATIO: Final = 0.15
"""So far off a fill is another one than was ordered, weighed to 0.02 kg; common practice, no
source."""
_SUN_DEG: Final = -3.0  # refraction, a dip of the horizon aloft
_BEFORE: Final = (LaunchMoved, LaunchLate)


def typed(line: str, known: Known) -> Understood | AskedBack:
    """Return what a line was taken for, or why it contradicts what is known and what was meant.

    Nothing is ever put right silently: a suspicion holds the entry as it was typed beside the
    alternatives. Raises AnswerError where a line says nothing, InputError beyond the limits.
    """
    try:
        entry = entry_of(line, known)
    except InputError as error:
        asked = beyond(error, line, known)
        if asked is not None:
            return asked
        raise
    if isinstance(entry, Overlay):
        height = said_of(digits_in(line), known).height
        return overlay_suspicion(entry, known, height) or understood(entry)
    return checked(entry, known)


def checked(entry: Entry, known: Known) -> Understood | AskedBack:
    """Return an entry that is no digits as it is taken, or what it contradicts."""
    if isinstance(entry, HandedOver):
        return handed_suspicion(entry, known) or understood(entry)
    for why in _whys(entry, known):
        return AskedBack(typed=told_now(entry, known), why=why.words, alternatives=why.meant)
    return told_now(entry, known)


def told_now(entry: Entry, known: Known) -> Understood:
    """Return an entry with its words; a later launch with the time that it makes."""
    if not isinstance(entry, LaunchLate) or known.launch is None:
        return understood(entry)
    at = clock_text(known.launch.t_s + entry.late_s, known.zone)
    return Understood(entry=entry, words=f"{words_of(entry)}, at {at}")


def _whys(entry: Entry, known: Known) -> Iterator[Why]:
    """Yield what an entry contradicts, and what may have been meant."""
    if isinstance(entry, _BEFORE) and MarkKind.LAUNCHED in known.marks:
        yield Why("It is marked as launched.", (understood(Undo(kind=MarkKind.LAUNCHED)),))
    if isinstance(entry, NeckLift):
        yield from _neck_whys(entry, known)
    elif isinstance(entry, Mark):
        yield from mark_whys(entry.kind, known)
    elif isinstance(entry, Undo) and entry.kind is not None and entry.kind not in known.marks:
        yield Why(f"{entry.kind.value.capitalize()} was never marked.")
    elif isinstance(entry, Bearing):
        yield from aim_whys(entry, known)
    elif isinstance(entry, Sighting) and entry.what is Seen.SUN:
        yield from _sun_whys(known)
    elif isinstance(entry, LaunchMoved):
        yield from _moved_whys(entry, known)
    elif isinstance(entry, LaunchLate):
        yield from _late_whys(entry, known)


def _late_whys(entry: LaunchLate, known: Known) -> Iterator[Why]:
    """Yield that a launch would be past; typed in the air it is asked about all the same."""
    if known.launch is None:
        return
    then_t_s = known.launch.t_s + entry.late_s
    ago_min = (known.t_s - then_t_s) / 60.0
    if ago_min >= 1.0:
        at = clock_text(then_t_s, known.zone)
        yield Why(f"The launch would then have been at {at}, {ago_min:.0f} min ago.")


def _neck_whys(entry: NeckLift, known: Known) -> Iterator[Why]:
    hanging_kg, planned_kg = known.hanging_kg, known.planned_neck_kg
    if hanging_kg is not None and entry.kg <= hanging_kg:
        words = f"{entry.kg:.2f} kg does not lift the {hanging_kg:.2f} kg that hang on it."
        yield Why(words)
    elif planned_kg is not None and abs(entry.kg / planned_kg - 1.0) > _AS_PLANNED_RATIO:
        yield Why(f"{entry.kg:.2f} kg is far from the {planned_kg:.2f} kg planned.")


def _sun_whys(known: Known) -> Iterator[Why]:
    if known.last is None:
        return
    sun = sun_position(known.t_s, known.last.lat_deg, known.last.lon_deg)
    if sun.elevation_deg < _SUN_DEG - 6.0:  # seen from 30 km the horizon lies 5.5 deg lower
        yield Why(f"The sun is {-sun.elevation_deg:.0f}° below the horizon there.")


def _moved_whys(entry: LaunchMoved, known: Known) -> Iterator[Why]:
    """Yield that a launch is far from what is known; offered as what may have been meant of it."""
    place = Overlay(lat_deg=entry.lat_deg, lon_deg=entry.lon_deg)
    asked = overlay_suspicion(place, known, jump_m=MOVED_M)
    if asked is not None:
        yield Why(asked.why, tuple(moved_to(one) for one in asked.alternatives))
