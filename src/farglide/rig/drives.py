"""Drives: how long the crew drives to a launch spot and on to its stands, and what bars a spot."""

from typing import Final

import numpy as np

from farglide.arrays import BoolArray, FloatArray
from farglide.atlas.behind import is_crossed
from farglide.atlas.outline import contains
from farglide.atlas.terrain import Terrain, height_amsl_m
from farglide.earth.geodesy import distances_m
from farglide.earth.state import Place, place_of
from farglide.rig.listening import AT_LAUNCH_M, ROAD_MPS, ROAD_RATIO
from farglide.sortie.launch_place import ROADLESS
from farglide.sortie.spec import SECOND_CREW, Sortie

SEA: Final = "the sea"


def home_place(sortie: Sortie) -> Place:
    """Return home, the first field; the launch where there is none."""
    return place_of(sortie.fields[0] if sortie.fields else sortie.launch, 0.0)


def roads_s(place: Place, lat_deg: FloatArray, lon_deg: FloatArray) -> FloatArray:
    """Return a guess of the drives between a place and spots, as `listening.road_s`."""
    away_m = distances_m(place, lat_deg, lon_deg)
    return np.where(away_m < AT_LAUNCH_M, 0.0, ROAD_RATIO * away_m / ROAD_MPS)


def within_drive_m(drive_s: float) -> float:
    """Return how far from home a drive leads as the crow flies, by the guess of `roads_s`."""
    return drive_s * ROAD_MPS / ROAD_RATIO


def drives_home_s(sortie: Sortie, lat_deg: FloatArray, lon_deg: FloatArray) -> FloatArray:
    """Return a guess of the drives from home to spots."""
    return roads_s(home_place(sortie), lat_deg, lon_deg)


def drives_on_s(sortie: Sortie, lat_deg: FloatArray, lon_deg: FloatArray) -> FloatArray:
    """Return the drives from spots on to each stand, shape (n_spots, n_stands).

    A stated drive holds from the stated launch only. From elsewhere it is guessed by the straight
    line: no longer than by way of the launch, and no shorter than what the stated drive implies,
    else one would go that way from the launch too. So both meet at the launch.
    """
    back_s = roads_s(place_of(sortie.launch, 0.0), lat_deg, lon_deg)
    found = np.zeros((len(lat_deg), len(sortie.stands)))
    for k, stand in enumerate(sortie.stands):
        guess_s = roads_s(place_of(stand, 0.0), lat_deg, lon_deg)
        if stand.drive_s is not None:
            guess_s = np.minimum(guess_s, back_s + stand.drive_s)
            guess_s = np.maximum(guess_s, stand.drive_s - back_s)
        found[:, k] = guess_s
    return found


def manned_s(sortie: Sortie, lat_deg: FloatArray, lon_deg: FloatArray) -> FloatArray:
    """Return from when after a launch at spots each stand is manned, shape (n_spots, n_stands).

    By a car that leaves at the launch, or from the launch on where a second crew waits.
    """
    takes_s = drives_on_s(sortie, lat_deg, lon_deg)
    ready_s = np.where(takes_s > 0.0, takes_s + sortie.set_up_s, 0.0)
    waits = np.array([stand.crew == SECOND_CREW for stand in sortie.stands], dtype=np.bool_)
    return np.where(waits, 0.0, ready_s)


def is_sea(terrain: Terrain | None, lat_deg: FloatArray, lon_deg: FloatArray) -> BoolArray:
    """Tell which spots the terrain has at sea level or below; what it does not know is not told."""
    if terrain is None:
        return np.zeros(len(lat_deg), dtype=np.bool_)
    return np.asarray(height_amsl_m(terrain, lat_deg, lon_deg) <= 0.0)


def barred_by(
    sortie: Sortie, lat_deg: FloatArray, lon_deg: FloatArray, terrain: Terrain | None
) -> list[str]:
    """Return for each spot what bars a launch there: a barrier's name or the sea; else nothing.

    A spot is barred that lies in a barrier, or behind one that no road is known to cross.
    """
    at_home, found = home_place(sortie), [""] * len(lat_deg)
    home = at_home.lat_deg, at_home.lon_deg
    for k in np.flatnonzero(is_sea(terrain, lat_deg, lon_deg)):
        found[k] = SEA
    for barrier in sortie.barriers:
        barred = contains(barrier.outline, lat_deg, lon_deg)
        if barrier.kind in ROADLESS:
            barred |= is_crossed(barrier.outline, home, lat_deg, lon_deg)
        for k in np.flatnonzero(barred):
            found[k] = found[k] or barrier.name
    return found
