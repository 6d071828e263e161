"""Physics: overlay digits that cannot be, and the nearest that could have been read instead."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Final

import numpy as np

from farglide.atlas.outline import LatLon
from farglide.earth.clock import clock_text
from farglide.earth.geodesy import distances_m
from farglide.earth.state import LOWEST_AMSL_M, Place
from farglide.sortie.words import km_text
from farglide.track.typed.entries import Overlay
from farglide.track.typed.known import AskedBack, Known, LastPlace, Understood
from farglide.track.typed.slips import (
    N_LOST,
    HeightMeant,
    HeightTyped,
    misread,
    other_units,
    wrong_digits,
)
from farglide.track.typed.told import understood, words_of

MOST_CLIMB_MPS: Final = 15.0
MOST_SINK_MPS: Final = 150.0  # of a glider just dropped in thin air (135 m/s true), rounded up
MOST_JUMP_M: Final = 5000.0
MOVED_M: Final = 300_000.0  # of a launch
MOST_AMSL_M: Final = 55_000.0
"""No balloon has been much above 53 km: from memory."""
_DRIFT_MPS: Final = 60.0  # a jet stream's; with it a jump grows with the age of the last place
_ERROR_M: Final = 100.0  # of the height that two readings may be off by
_N_OFFERED: Final = 3
_MOST_V: Final = 60.0


def overlay_suspicion(
    entry: Overlay,
    known: Known,
    height: HeightTyped | None = None,
    jump_m: float = MOST_JUMP_M,
) -> AskedBack | None:
    """Return why digits cannot be, and what may have been meant; None where they can.

    Refused: a climb above 15 m/s, a sink above 150 m/s, a jump of more than `jump_m`, or of 60 m/s
    since the last place, or since the launch where none is known; 55 km. `height`: as it was typed.
    Source: common practice, no source.
    """
    whys, fixed = list[str](), [entry]
    if entry.amsl_m is not None and (why := _height_why(entry.amsl_m, known)):
        whys.append(why)
        typed = height or HeightTyped(entry.amsl_m)
        meant = list(heights_meant(typed, known))
        fixed = [replace(one, amsl_m=amsl.amsl_m) for one in fixed for amsl in meant]
        words = {one.amsl_m: one.as_words for one in meant}
        fixed += _as_volts(entry, typed)
    else:
        words = {}
    last = known.since
    if last is not None and entry.lat_deg is not None and entry.lon_deg is not None:
        most_m = max(jump_m, _DRIFT_MPS * _age_s(last, known.t_s))
        away_m = _away_m(last, entry.lat_deg, entry.lon_deg)
        if away_m > most_m:
            of = "the last place" if known.last is not None else "the launch"
            whys.append(f"That is {_km(away_m)} from {of}; {_km(most_m)} can be.")
            places = _near_places(entry.lat_deg, entry.lon_deg, last, most_m)
            fixed = [
                replace(one, lat_deg=lat_deg, lon_deg=lon_deg)
                for one in fixed for lat_deg, lon_deg in places
            ]  # fmt: skip
    if not whys:
        return None
    offered = tuple(_offer(one, words) for one in fixed[:_N_OFFERED])
    return AskedBack(typed=understood(entry), why=" ".join(whys), alternatives=offered)


def _offer(fixed: Overlay, words: Mapping[float, str]) -> Understood:
    """Return an alternative, told whole: all that it says is taken, and nothing else."""
    how = words.get(fixed.amsl_m, "") if fixed.amsl_m is not None else ""
    told = words_of(fixed)
    return Understood(entry=fixed, words=f"{told} ({how})" if how else told)


def _as_volts(entry: Overlay, typed: HeightTyped) -> list[Overlay]:
    """Return the volts that a lone number with a point, and without a unit, may be."""
    alone = entry.lat_deg is None and entry.speed_mps is None and entry.volts is None
    if not alone or typed.is_told or not typed.has_point or not 0.0 <= typed.number <= _MOST_V:
        return []
    return [Overlay(volts=typed.number)]


def _km(length_m: float) -> str:
    return f"{km_text(length_m, 0 if length_m >= 20_000.0 else 1)} km"


def _age_s(last: LastPlace, t_s: float) -> float:
    return max(t_s - last.t_s, 0.0)


def _away_m(last: LastPlace, lat_deg: float, lon_deg: float) -> float:
    place = Place(lat_deg=last.lat_deg, lon_deg=last.lon_deg, amsl_m=0.0)
    return float(distances_m(place, np.array([lat_deg]), np.array([lon_deg]))[0])


def _height_fits(amsl_m: float, last: LastPlace, t_s: float) -> bool:
    age_s, change_m = _age_s(last, t_s), amsl_m - last.amsl_m
    return -MOST_SINK_MPS * age_s - _ERROR_M <= change_m <= MOST_CLIMB_MPS * age_s + _ERROR_M


def _height_why(amsl_m: float, known: Known) -> str:
    """Return why a height cannot be; nothing where it can."""
    last = known.since
    whys = [] if last is None or _height_fits(amsl_m, last, known.t_s) else [
        _rate_why(amsl_m, last, known)]  # fmt: skip
    if amsl_m > MOST_AMSL_M:
        whys.insert(0, f"No balloon flies {amsl_m:.0f} m high.")
    return whys[0] if whys else ""


def _rate_why(amsl_m: float, last: LastPlace, known: Known) -> str:
    age_s = max(_age_s(last, known.t_s), 1.0)
    rate_mps = (amsl_m - last.amsl_m) / age_s
    if known.last is None and known.t_s < last.t_s and rate_mps > 0.0:
        at = clock_text(last.t_s, known.zone)
        return f"{amsl_m:.0f} m cannot be: the launch is still to come, at {at}."
    if known.last is None:
        most_m = last.amsl_m + MOST_CLIMB_MPS * _age_s(last, known.t_s) + _ERROR_M
        return (
            f"{amsl_m:.0f} m cannot be: since the launch it can have climbed to {most_m:.0f} m."
            if rate_mps > 0.0
            else f"{amsl_m:.0f} m is below the launch, which lies at {last.amsl_m:.0f} m."
        )
    way = "a climb" if rate_mps > 0.0 else "a sink"
    most = MOST_CLIMB_MPS if rate_mps > 0.0 else MOST_SINK_MPS
    return f"{amsl_m:.0f} m would be {way} of {abs(rate_mps):.0f} m/s; {most:.0f} can be."


def heights_meant(typed: HeightTyped, known: Known) -> list[HeightMeant]:
    """Return heights that can be and may have been meant: the likelier slip first.

    Feet for what no balloon reaches in metres are offered even where nothing else bears them out.
    """
    last, units, digits = known.since, list(other_units(typed)), list(misread(typed))
    if last is not None:
        digits[N_LOST:] = sorted(digits[N_LOST:], key=lambda one: abs(one.amsl_m - last.amsl_m))
    else:
        digits = digits[:N_LOST]
    by_height = dict[float, HeightMeant]()
    for one in (*units, *digits):
        if _can_be_high(one, known):
            by_height.setdefault(one.amsl_m, one)
    found = list(by_height.values())
    high = [one for one in units if LOWEST_AMSL_M <= one.amsl_m <= MOST_AMSL_M]
    if typed.amsl_m <= MOST_AMSL_M or any(one in found for one in high):
        high = []
    return [*found[: _N_OFFERED - len(high)], *high]


def _can_be_high(meant: HeightMeant, known: Known) -> bool:
    last = known.since
    fits = last is None or _height_fits(meant.amsl_m, last, known.t_s)
    return fits and LOWEST_AMSL_M <= meant.amsl_m <= MOST_AMSL_M


def _near_places(lat_deg: float, lon_deg: float, last: LastPlace, most_m: float) -> list[LatLon]:
    """Return places that can be and may have been misread so, of the likeliest kind of slip."""
    for slips in _place_slips(lat_deg, lon_deg, last):
        found = [one for one in slips if _can_be(one, last, most_m)]
        if found:
            found.sort(key=lambda one: _away_m(last, *one))
            return list(dict.fromkeys(found))[:_N_OFFERED]
    return []


def _place_slips(lat_deg: float, lon_deg: float, last: LastPlace) -> Iterator[list[LatLon]]:
    """Yield what may have been meant, a list for each kind of slip: signs before digits."""
    signs = [(a, b) for a in (1.0, -1.0) for b in (1.0, -1.0)]
    yield [(a * lat_deg, b * lon_deg) for a, b in signs]
    yield [(a * lon_deg, b * lat_deg) for a, b in signs]
    minutes = _as_minutes(lat_deg), _as_minutes(lon_deg)
    yield [(a * minutes[0], b * minutes[1]) for a, b in signs]
    yield [(_shifted(lat_deg, last.lat_deg), _shifted(lon_deg, last.lon_deg))]
    one_off = [(lat, lon_deg) for lat in _digits_deg(lat_deg, last.lat_deg)]
    yield one_off + [(lat_deg, lon) for lon in _digits_deg(lon_deg, last.lon_deg)]


def _can_be(place: LatLon, last: LastPlace, most_m: float) -> bool:
    lat_deg, lon_deg = place
    on_earth = abs(lat_deg) <= 90.0 and abs(lon_deg) <= 180.0
    return on_earth and _away_m(last, lat_deg, lon_deg) <= most_m


def _as_minutes(deg: float) -> float:
    """Return degrees whose minutes were typed behind the point, 46.3074 for 46 degrees 30.74."""
    whole = math.floor(abs(deg))
    return math.copysign(whole + (abs(deg) - whole) / 0.6, deg)


def _shifted(deg: float, last_deg: float) -> float:
    """Return the degrees with the point moved to where they come nearest to the last ones."""
    options = [deg * 10.0**k for k in (-7, -6, -5, -4, -3, -2, -1, 0, 1, 2)]
    return min(options, key=lambda one: abs(one - last_deg))


def _digits_deg(deg: float, last_deg: float) -> Iterator[float]:
    """Yield degrees with one digit wrong or two neighbours swapped, in their own hemisphere."""
    text = f"{abs(deg):.5f}"
    for one in wrong_digits(text.replace(".", "")):
        yield math.copysign(one / 1e5, last_deg)
