"""Physics: overlay digits that cannot be, and the nearest that could have been read instead."""

import math
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise
from typing import Final

import numpy as np

from farglide.atlas.outline import LatLon
from farglide.earth.geodesy import distances_m
from farglide.earth.state import HIGHEST_AMSL_M, LOWEST_AMSL_M, Place
from farglide.track.typed.entries import Overlay
from farglide.track.typed.known import AskedBack, Known, LastPlace, Understood
from farglide.track.typed.told import place_words, understood
from farglide.units import FOOT_M

MOST_CLIMB_MPS: Final = 15.0
MOST_SINK_MPS: Final = 150.0  # of a glider just dropped in thin air (135 m/s true), rounded up
MOST_JUMP_M: Final = 5000.0
_DRIFT_MPS: Final = 60.0  # a jet stream's; with it a jump grows with the age of the last place
_ERROR_M: Final = 100.0  # of the height that two readings may be off by
_N_OFFERED: Final = 3


def overlay_suspicion(
    entry: Overlay, known: Known, jump_m: float = MOST_JUMP_M
) -> AskedBack | None:
    """Return why digits cannot be, and what may have been meant; None where they can.

    Refused: a climb above 15 m/s, a sink above 150 m/s, a jump of more than `jump_m`, or of 60 m/s
    since the last place. Source: common practice, no source.
    """
    last = known.last
    if last is None:
        return None
    whys, fixed = list[str](), [entry]
    if entry.amsl_m is not None and not _height_fits(entry.amsl_m, last, known.t_s):
        whys.append(_height_why(entry.amsl_m, last, known.t_s))
        heights = _near_heights(entry.amsl_m, last, known.t_s)
        fixed = [replace(one, amsl_m=amsl_m) for one in fixed for amsl_m in heights]
    if entry.lat_deg is not None and entry.lon_deg is not None:
        most_m = max(jump_m, _DRIFT_MPS * _age_s(last, known.t_s))
        away_m = _away_m(last, entry.lat_deg, entry.lon_deg)
        if away_m > most_m:
            whys.append(f"That is {_km(away_m)} from the last place; {_km(most_m)} can be.")
            places = _near_places(entry.lat_deg, entry.lon_deg, last, most_m)
            fixed = [
                replace(one, lat_deg=lat_deg, lon_deg=lon_deg)
                for one in fixed for lat_deg, lon_deg in places
            ]  # fmt: skip
    if not whys:
        return None
    offered = tuple(_offer(one, entry) for one in fixed[:_N_OFFERED])
    return AskedBack(typed=understood(entry), why=" ".join(whys), alternatives=offered)


def _offer(fixed: Overlay, typed: Overlay) -> Understood:
    """Return an alternative whose words tell what is changed alone."""
    words = list[str]()
    if (fixed.lat_deg, fixed.lon_deg) != (typed.lat_deg, typed.lon_deg):
        words.append(place_words(fixed.lat_deg or 0.0, fixed.lon_deg or 0.0))
    if fixed.amsl_m != typed.amsl_m:
        words.append(f"{fixed.amsl_m:.0f} m")
    return Understood(entry=fixed, words=", ".join(words))


def _km(length_m: float) -> str:
    return f"{length_m / 1000.0:,.0f} km" if length_m >= 20_000.0 else f"{length_m / 1000.0:.1f} km"


def _age_s(last: LastPlace, t_s: float) -> float:
    return max(t_s - last.t_s, 0.0)


def _away_m(last: LastPlace, lat_deg: float, lon_deg: float) -> float:
    place = Place(lat_deg=last.lat_deg, lon_deg=last.lon_deg, amsl_m=0.0)
    return float(distances_m(place, np.array([lat_deg]), np.array([lon_deg]))[0])


def _height_fits(amsl_m: float, last: LastPlace, t_s: float) -> bool:
    age_s, change_m = _age_s(last, t_s), amsl_m - last.amsl_m
    return -MOST_SINK_MPS * age_s - _ERROR_M <= change_m <= MOST_CLIMB_MPS * age_s + _ERROR_M


def _height_why(amsl_m: float, last: LastPlace, t_s: float) -> str:
    age_s = max(_age_s(last, t_s), 1.0)
    rate_mps = (amsl_m - last.amsl_m) / age_s
    way = "a climb" if rate_mps > 0.0 else "a sink"
    most = MOST_CLIMB_MPS if rate_mps > 0.0 else MOST_SINK_MPS
    return f"{amsl_m:.0f} m would be {way} of {abs(rate_mps):.0f} m/s; {most:.0f} can be."


def _near_heights(amsl_m: float, last: LastPlace, t_s: float) -> list[float]:
    """Return heights that can be and may have been misread so: the likelier slip first."""
    slips = [amsl_m * FOOT_M, amsl_m * 1000.0, amsl_m * 10.0, amsl_m / 10.0, amsl_m / FOOT_M]
    typed = f"{abs(amsl_m):.0f}"
    digits = [*_misread(typed), *_slipped(typed)]
    digits.sort(key=lambda one: abs(one - last.amsl_m))
    found = [one for one in (*slips, *digits) if LOWEST_AMSL_M <= one <= HIGHEST_AMSL_M]
    return list(dict.fromkeys(one for one in found if _height_fits(one, last, t_s)))[:_N_OFFERED]


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
    for one in _misread(text.replace(".", "")):
        yield math.copysign(one / 1e5, last_deg)


def _misread(digits: str) -> Iterator[float]:
    """Yield numbers with one digit wrong, or two neighbours swapped."""
    for k, old in enumerate(digits):
        for new in "0123456789":
            if new != old:
                yield float(f"{digits[:k]}{new}{digits[k + 1 :]}")
    for k, (a, b) in enumerate(pairwise(digits)):
        if a != b:
            yield float(f"{digits[:k]}{b}{a}{digits[k + 2 :]}")


def _slipped(digits: str) -> Iterator[float]:
    """Yield numbers with one digit more, or one less."""
    for k in range(len(digits) + 1):
        for new in "0123456789":
            yield float(f"{digits[:k]}{new}{digits[k:]}")
    for k in range(len(digits)):
        if len(digits) > 1:
            yield float(f"{digits[:k]}{digits[k + 1 :]}")
