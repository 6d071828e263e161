"""Places: the spots that are compared, and from which anchors their flights are computed."""

from collections.abc import Sequence
from typing import Final, NamedTuple

import numpy as np

from farglide.atlas.terrain import Terrain
from farglide.earth.geodesy import east_north_m, geodesic, offset
from farglide.earth.state import Place, Placed, place_of
from farglide.errors import InputError
from farglide.outlook.launch import OWNER_REFUSED, TOO_FAR, Kind
from farglide.outlook.season import ComparedSpot
from farglide.rig.drives import barred_by, drives_home_s, home_place
from farglide.season.ground import Needs, launchable
from farglide.sortie.launch_place import REFUSED, LaunchPlace
from farglide.sortie.spec import Sortie

ANCHOR_M: Final = 35_000.0
"""Anchors are so far apart: from the farthest spot of one it is 25 km."""
_MOST_SPOTS: Final = 400


class Lattice(NamedTuple):
    """Even spots round home: how far apart, how far off at the most, on what ground."""

    spacing_m: float
    within_m: float
    needs: Needs = Needs()


class Anchor(NamedTuple):
    """A place from which draws are flown, and the spots that they are shifted to, by number."""

    place: Place
    spots: tuple[int, ...]


def compared_spots(
    sortie: Sortie, terrain: Terrain | None, lattice: Lattice | None
) -> tuple[ComparedSpot, ...]:
    """Return the stated launch, the prepared places and even spots; those barred are told so.

    An even one is moved to the nearest ground to launch from; where there is none within 2 km, or
    where it is barred, it is left out: nobody named it. Raises InputError.
    """
    launch = _spot(sortie, terrain, sortie.launch.name, "launch", sortie.launch)
    prepared = tuple(_spot(sortie, terrain, one.name, "place", one) for one in sortie.launch_places)
    even = () if lattice is None else tuple(_even(sortie, terrain, lattice))
    return (launch, *prepared, *(one for one in even if not one.barred))


def anchors_of(
    sortie: Sortie, spots: Sequence[ComparedSpot], are_winds_around: bool
) -> list[Anchor]:
    """Return from where to fly: the launch alone where the winds are those of one place."""
    if not are_winds_around:
        return [Anchor(place_of(sortie.launch), tuple(range(len(spots))))]
    home, found = home_place(sortie), dict[tuple[int, int], list[int]]()
    for k, spot in enumerate(spots):
        away = east_north_m(home, spot.place)
        cell = round(away.east_m / ANCHOR_M), round(away.north_m / ANCHOR_M)
        found.setdefault(cell, []).append(k)
    amsl_m = sortie.launch.amsl_m
    return [
        Anchor(place_of(offset(home, ANCHOR_M * east, ANCHOR_M * north), amsl_m), tuple(rows))
        for (east, north), rows in sorted(found.items())
    ]


def _even(sortie: Sortie, terrain: Terrain | None, lattice: Lattice) -> list[ComparedSpot]:
    n = int(lattice.within_m // lattice.spacing_m)
    steps = lattice.spacing_m * np.arange(-n, n + 1)
    away = [(e, s) for s in steps for e in steps if 0.0 < np.hypot(e, s) <= lattice.within_m]
    if len(away) > _MOST_SPOTS:
        remedy = "Lay them farther apart, or stay nearer to home."
        raise InputError("spots", len(away), f"up to {_MOST_SPOTS}", remedy)
    home = home_place(sortie)
    spots = [offset(home, float(east), float(north)) for east, north in away]
    found = [launchable(sortie, terrain, one, lattice.needs) for one in spots]
    return [
        _spot(sortie, terrain, _name(home, one), "free", one) for one in found if one is not None
    ]


def _name(home: Place, place: Place) -> str:
    line = geodesic(home, place)
    return f"{line.distance_m / 1000.0:.0f} km at {line.azimuth_deg:03.0f}°"


def _spot(
    sortie: Sortie, terrain: Terrain | None, name: str, kind: Kind, at: Placed
) -> ComparedSpot:
    lat_deg, lon_deg = np.array([at.lat_deg]), np.array([at.lon_deg])
    place = at if isinstance(at, LaunchPlace) else None
    stated_s = None if place is None else place.drive_s
    guess_s = float(drives_home_s(sortie, lat_deg, lon_deg)[0])
    drive_s, limit_s = guess_s if stated_s is None else stated_s, sortie.launch.may_drive_s
    barred = barred_by(sortie, lat_deg, lon_deg, terrain)[0] if stated_s is None else ""
    if limit_s is not None and drive_s > limit_s:
        barred = barred or TOO_FAR
    if place is not None and place.owner == REFUSED:
        barred = OWNER_REFUSED
    return ComparedSpot(
        name=name,
        kind=kind,
        lat_deg=at.lat_deg,
        lon_deg=at.lon_deg,
        drive_s=drive_s,
        drive_guessed=stated_s is None and drive_s > 0.0,
        barred=barred,
    )
