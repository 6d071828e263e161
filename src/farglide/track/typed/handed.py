"""Handed: a hand-over as it is typed, of when and of where, and what is asked back of it."""

import re
from dataclasses import replace
from datetime import timedelta
from typing import Final

from farglide.earth.clock import clock_text, local_datetime
from farglide.earth.geodesy import geodesic
from farglide.earth.state import Place
from farglide.errors import AnswerError
from farglide.sortie.words import number_text
from farglide.track.handover.sentence import SURE_M, TICK_S, Common, HandedOver, elsewhere, heard
from farglide.track.typed.entries import Overlay
from farglide.track.typed.known import AskedBack, Known, LastPlace
from farglide.track.typed.physics import overlay_suspicion
from farglide.track.typed.told import understood

_TIMED: Final = re.compile(r"([01]?\d|2[0-3]):([0-5]\d)(?::([0-5]\d))?\s+(.+)", re.ASCII)
_DAY_S: Final = 86_400.0
_NEWER_S: Final = 30.0
_OFF_S: Final = 60.0 + TICK_S
"""A clock that is read aloud tells no seconds, and a sentence 20 s."""


def handed_of(rest: str, known: Known) -> HandedOver:
    """Return what twelve words say: `over alfa 6 ...`, or `over 17:50 alfa 6 ...`.

    A clock before the words says when they were said, by the clock of the flight on the day about
    which it is; without one they are of within 42 min. Raises AnswerError.
    """
    launch, about = known.launch, known.about
    if launch is None or about is None:
        raise AnswerError("Without a launch no place follows from a hand-over.")
    match = _TIMED.fullmatch(rest)
    places = launch.lat_deg, launch.lon_deg, about.lat_deg, about.lon_deg
    if match is None:
        return heard(rest, Common(*places, known.t_s, known.ahead_s, known.zone))
    said_t_s = nearest_t_s(match, known)
    if said_t_s > known.t_s + known.ahead_s:
        at = clock_text(said_t_s, known.zone)
        raise AnswerError(f"{at} is still to come. Type when it was said.")
    told = heard(match[4], Common(*places, said_t_s, _DAY_S, known.zone))
    if abs(told.at_t_s - said_t_s) > _OFF_S:
        at, then = (clock_text(one, known.zone) for one in (told.at_t_s, said_t_s))
        raise AnswerError(
            f"These words are of {at}, or 85 min before or after, not of {then}: ask for the time."
        )
    return told


def nearest_t_s(match: re.Match[str], known: Known) -> float:
    """Return the moment of a clock, UTC, on the day that brings it nearest to now."""
    here = local_datetime(known.t_s, known.zone)
    hours, minute, seconds = (int(one or 0) for one in match.groups()[:3])
    days = (here + timedelta(days=k) for k in (-1, 0, 1))
    # a clock that is put back tells an hour twice, and a day may have 23 or 25
    moments = (
        day.replace(hour=hours, minute=minute, second=seconds, microsecond=0, fold=fold)
        for day in days
        for fold in (0, 1)
    )
    return min((one.timestamp() for one in moments), key=lambda one: abs(one - known.t_s))


def handed_suspicion(entry: HandedOver, known: Known) -> AskedBack | None:
    """Return why a hand-over that checks may be of elsewhere; None where it fits.

    Its place is told but for whole steps of 204.8 km: another one that it may be is offered where
    the glider can have come there.
    """
    last = known.last
    if last is not None and entry.at_t_s < last.t_s - _NEWER_S:
        said, heard_at = (clock_text(one, known.zone) for one in (entry.at_t_s, last.t_s))
        why = f"It is of {said}, and a fix of {heard_at} is known: it tells nothing new."
        return AskedBack(typed=understood(entry), why=why)
    then = replace(known, t_s=entry.at_t_s)
    digits = _place_of(entry)
    found = overlay_suspicion(digits, then)
    whys = [] if found is None else [found.why]
    about, launch = known.about, known.launch
    away_m = 0.0 if about is None else _away_m(entry, about)
    if away_m > SURE_M:
        whys.append(
            f"That is {number_text(away_m / 1000.0)} km from where it was expected: the words give "
            "a place only but for whole steps of 204.8 km. Ask for latitude and longitude."
        )
    if not whys or about is None or launch is None:
        return AskedBack(typed=understood(entry), why=" ".join(whys)) if whys else None
    common = Common(launch.lat_deg, launch.lon_deg, about.lat_deg, about.lon_deg, entry.at_t_s)
    others = [
        one for one in elsewhere(entry, common) if overlay_suspicion(_place_of(one), then) is None
    ]
    others.sort(key=lambda one: _away_m(one, about))
    return AskedBack(
        typed=understood(entry), why=" ".join(whys), alternatives=tuple(map(understood, others[:2]))
    )


def _place_of(entry: HandedOver) -> Overlay:
    return Overlay(lat_deg=entry.lat_deg, lon_deg=entry.lon_deg, amsl_m=entry.amsl_m)


def _away_m(entry: HandedOver, other: LastPlace) -> float:
    here = Place(lat_deg=entry.lat_deg, lon_deg=entry.lon_deg, amsl_m=0.0)
    there = Place(lat_deg=other.lat_deg, lon_deg=other.lon_deg, amsl_m=0.0)
    return geodesic(here, there).distance_m
