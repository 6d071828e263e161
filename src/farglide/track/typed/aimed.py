"""Aimed: a direction from a stand, held against where the glider is taken to be."""

from collections.abc import Iterator
from dataclasses import replace
from math import radians, sin
from typing import Final

from farglide.earth.geodesy import geodesic
from farglide.earth.look import look
from farglide.earth.state import Place
from farglide.sortie.words import number_text
from farglide.track.typed.entries import Bearing
from farglide.track.typed.known import Known, LastPlace, StandKnown, Why
from farglide.track.typed.told import understood

_AIM_DEG: Final = 60.0  # a wide antenna's side lobe, a compass by a car: nothing is farther off
_AIM_HOLDS_S: Final = 1800.0
_OVERHEAD_DEG: Final = 70.0  # from there on no direction tells it
_STRAIGHT_UP_DEG: Final = 90.0


def aim_whys(entry: Bearing, known: Known) -> Iterator[Why]:
    """Yield that a direction points away from where it is taken to be, and what may be meant."""
    stand, there = known.stand_named(entry.stand), _taken_to_be_at(known)
    if stand is None or there is None:
        return
    wanted_deg = _aim_deg(stand, there)
    if wanted_deg is None or _apart_deg(entry.azimuth_deg, wanted_deg) <= _AIM_DEG:
        return
    options = [replace(entry, azimuth_deg=(entry.azimuth_deg + 180.0) % 360.0)]
    if entry.elevation_deg is not None and entry.azimuth_deg <= _STRAIGHT_UP_DEG:
        turned = replace(
            entry, azimuth_deg=entry.elevation_deg % 360.0, elevation_deg=entry.azimuth_deg
        )
        options.append(turned)
    near = [one for one in options if _apart_deg(one.azimuth_deg, wanted_deg) <= _AIM_DEG]
    meant = tuple(understood(one) for one in near)
    yield Why(_puts_it(entry, stand, there, wanted_deg), meant)


def _puts_it(entry: Bearing, stand: StandKnown, there: LastPlace, wanted_deg: float) -> str:
    """Return where it should stand from a stand, and how far off a direction would put it."""
    away_m = geodesic(_place_of(stand), _place_of(there)).distance_m
    off_deg = _apart_deg(entry.azimuth_deg, wanted_deg)
    off_m = away_m * (sin(radians(off_deg)) if off_deg < 90.0 else 1.0)
    return (
        f"From {stand.name} it should stand near {wanted_deg:03.0f}°. "
        f"{round(entry.azimuth_deg) % 360:03d}° puts it {number_text(off_m / 1000.0)} km from "
        "there or more."
    )


def _taken_to_be_at(known: Known) -> LastPlace | None:
    """Return its last place, or where it is expected if that is long ago; None: neither known."""
    last = known.last
    is_old = last is None or known.t_s - last.t_s > _AIM_HOLDS_S
    return known.expected if is_old else last


def _aim_deg(stand: StandKnown, there: LastPlace) -> float | None:
    """Return the direction of a place from a stand; None where it stands overhead."""
    if _place_of(stand) == _place_of(there):
        return None
    seen = look(_place_of(stand), _place_of(there))
    return None if seen.elevation_deg > _OVERHEAD_DEG else seen.azimuth_deg


def _apart_deg(a_deg: float, b_deg: float) -> float:
    return abs((a_deg - b_deg + 180.0) % 360.0 - 180.0)


def _place_of(one: LastPlace | StandKnown) -> Place:
    return Place(lat_deg=one.lat_deg, lon_deg=one.lon_deg, amsl_m=one.amsl_m)
