"""Search asked: what a person types of a search on the command line, as it is asked."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np

from farglide.atlas.terrain import Terrain, height_amsl_m
from farglide.cli.moments import moment_of
from farglide.earth.state import Place
from farglide.errors import AnswerError, InputError
from farglide.search.asked import Asked, Looked, weights_of
from farglide.search.bearings import Bearing
from farglide.search.cover import cover_named
from farglide.search.datum import LastSeen
from farglide.search.heard import LastHeard
from farglide.search.order import Party
from farglide.sortie.spec import Sortie
from farglide.track.typed.entries import Overlay
from farglide.track.typed.known import Known, LastPlace, named
from farglide.track.typed.numbers import cleaned, number_of, place_typed, tokens
from farglide.track.typed.physics import overlay_suspicion

_DAY_S: Final = 86_400.0
_FARTHEST_M: Final = 800_000.0  # a jet all the way up, and a glide straight on after it
_LAST: Final = re.compile(
    r"(?P<place>.+?)[,;]\s*(?P<height>[+-]?[\d.]+)\s*m?\s*(?P<ground>above ground|agl)?",
    re.IGNORECASE,
)
_LAST_HOW: Final = '"LAT, LON, HEIGHT m" above sea level, or "LAT, LON, HEIGHT m above ground"'


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What the command line told, word for word."""

    last: str
    heading_deg: float | None = None
    at: str | None = None
    now: str | None = None
    back_by: str | None = None
    start: str | None = None
    people: int = 2
    cover: str = "bush"
    bearings: Sequence[str] = ()
    heard: Sequence[str] = ()
    looked: Sequence[str] = ()
    stories: Sequence[str] = ()
    clock_t_s: float | None = None  # of the computer


class _Pair(NamedTuple):
    """What stands before and behind the sign in NAME=NUMBER."""

    name: str
    number: float


def asked_of(sortie: Sortie, terrain: Terrain | None, told: Told) -> Asked:
    """Return what a search is asked, each option refused by its name."""
    last = _last(sortie, terrain, told)
    party = Party(
        place=_start(sortie, told.start),
        t_s=_begins_t_s(sortie, last, told),
        n_people=told.people,
        back_by_t_s=moment_of("--back-by", told.back_by, sortie.launch) if told.back_by else None,
    )
    stands = {one.name: one for one in sortie.stands}
    bearings = [
        Bearing(stand=_mast(sortie, name), name=name, azimuth_deg=deg)
        for name, deg in _pairs("--bearing", told.bearings, list(stands))
    ]
    heard = [
        LastHeard(stand=_mast(sortie, name), name=name, amsl_m=height)
        for name, height in _pairs("--heard", told.heard, list(stands))
    ]
    looked = [
        Looked(segment=name.upper(), seconds=60.0 * minutes)
        for name, minutes in _pairs("--looked", told.looked)
    ]
    return Asked(
        last=last, party=party, bearings=tuple(bearings), heard=tuple(heard), looked=tuple(looked),
        weights=weights_of(dict(_pairs("--story", told.stories))),
        elsewhere=cover_named(told.cover), notes=_notes(sortie, told),
    )  # fmt: skip


def _pairs(option: str, told: Sequence[str], names: Sequence[str] | None = None) -> list[_Pair]:
    """Return NAME=NUMBER, the names completed where there is a list of them."""
    found = list[_Pair]()
    for one in told:
        name, sign, number = one.rpartition("=")
        if not sign or not name.strip():
            raise InputError(option, repr(one), "NAME=NUMBER")
        if names is not None:
            name = _completed(option, name, names)
        found.append(_Pair(name.strip(), _number(option, number)))
    return found


def _completed(option: str, name: str, names: Sequence[str]) -> str:
    try:
        return named(name, names, "stand")
    except AnswerError as error:
        raise InputError(option, repr(name), "a stand of the flight file", str(error)) from None


def _number(option: str, text: str) -> float:
    try:
        return number_of(text.strip())
    except AnswerError as error:
        raise InputError(option, repr(text), "a number", str(error)) from None


def _mast(sortie: Sortie, name: str) -> Place:
    """Return the antenna of a stand."""
    one = next(stand for stand in sortie.stands if stand.name == name)
    return Place(lat_deg=one.lat_deg, lon_deg=one.lon_deg, amsl_m=one.amsl_m + one.mast_m)


def _last(sortie: Sortie, terrain: Terrain | None, told: Told) -> LastSeen:
    match = _LAST.fullmatch(told.last.strip())
    if match is None:
        raise InputError("--last", repr(told.last), _LAST_HOW)
    lat_deg, lon_deg = _place("--last", match["place"], _LAST_HOW)
    amsl_m = _number("--last", match["height"])
    if match["ground"]:
        amsl_m += _ground_m(sortie, terrain, lat_deg, lon_deg)
    t_s = moment_of("--at", told.at, sortie.launch) if told.at else None
    if t_s is None:
        t_s = told.clock_t_s if _is_of_flight(sortie, told.clock_t_s) else sortie.launch.t_s
    place = Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=amsl_m)
    _check_near(sortie, place, match["place"])
    return LastSeen(place=place, t_s=t_s or sortie.launch.t_s, heading_deg=told.heading_deg)


def _check_near(sortie: Sortie, place: Place, text: str) -> None:
    """Refuse a last place that no flight from the launch comes to, and ask which was meant."""
    launch = sortie.launch
    start = LastPlace(
        lat_deg=launch.lat_deg, lon_deg=launch.lon_deg, amsl_m=launch.amsl_m, t_s=launch.t_s
    )
    typed = Overlay(lat_deg=place.lat_deg, lon_deg=place.lon_deg)
    asked = overlay_suspicion(typed, Known(t_s=launch.t_s, begun=start), jump_m=_FARTHEST_M)
    if asked is not None:
        allowed = f"a place within {_FARTHEST_M / 1000.0:.0f} km of the launch"
        raise InputError("--last", repr(text), allowed, asked.words)


def _place(option: str, text: str, how: str) -> tuple[float, float]:
    try:
        return place_typed(tokens(cleaned(text)))
    except AnswerError as error:
        raise InputError(option, repr(text), how, str(error)) from None


def _ground_m(sortie: Sortie, terrain: Terrain | None, lat_deg: float, lon_deg: float) -> float:
    flat_m = (sortie.fields[0] if sortie.fields else sortie.launch).amsl_m
    if terrain is None:
        return flat_m
    found = float(height_amsl_m(terrain, np.array(lat_deg), np.array(lon_deg)))
    return flat_m if np.isnan(found) else found


def _notes(sortie: Sortie, told: Told) -> tuple[str, ...]:
    if told.at or _is_of_flight(sortie, told.clock_t_s):
        return ()
    return ("When it was last seen was not told: the time of the launch is taken (--at).",)


def _is_of_flight(sortie: Sortie, clock_t_s: float | None) -> bool:
    """Tell whether a clock shows a time of the flight's own day."""
    return clock_t_s is not None and 0.0 <= clock_t_s - sortie.launch.t_s < _DAY_S


def _begins_t_s(sortie: Sortie, last: LastSeen, told: Told) -> float:
    """Return when the party sets out: as told, else now if that is the day of the flight."""
    if told.now:
        return moment_of("--now", told.now, sortie.launch)
    if told.clock_t_s is not None and _is_of_flight(sortie, told.clock_t_s):
        return max(told.clock_t_s, last.t_s)
    return last.t_s


def _start(sortie: Sortie, told: str | None) -> Place:
    """Return where the party is: a stand, or a place; else the first stand, or the launch."""
    names = [one.name for one in sortie.stands]
    if told is None:
        first = sortie.stands[0] if sortie.stands else sortie.launch
        return Place(lat_deg=first.lat_deg, lon_deg=first.lon_deg, amsl_m=first.amsl_m)
    if any(sign.isdigit() for sign in told):
        lat_deg, lon_deg = _place("--from", told, "a stand, or LAT, LON")
        return Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=0.0)
    return _mast(sortie, _completed("--from", told, names))
