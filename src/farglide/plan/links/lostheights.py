"""Lost heights: below which height over a field a stand loses a link."""

import math
from typing import Final

import numpy as np

from farglide.atlas.horizon import STANDARD_EARTH_RATIO, profile
from farglide.atlas.terrain import Terrain
from farglide.constants import MEAN_EARTH_RADIUS_M
from farglide.earth.geodesy import geodesic
from farglide.earth.look import look
from farglide.earth.state import Place, place_of
from farglide.errors import InputError
from farglide.radio.link import margin_db
from farglide.radio.path.bulge import clear_amsl_m
from farglide.radio.path.parts import Profile
from farglide.rig.links import LinkGear
from farglide.rig.listening import mast_of
from farglide.sim.hear.ears import CLEAR_M
from farglide.sortie.spec import StandSpec

EARTH_M: Final = STANDARD_EARTH_RATIO * MEAN_EARTH_RADIUS_M
_POST_M: Final = 90.0
_N_FLAT: Final = 201
_HIGHEST_AGL_M: Final = 3000.0


def lost_agl_m(
    gear: LinkGear, stand: StandSpec, field: Place, terrain: Terrain | None = None
) -> float | None:
    """Return the height over a field below which a stand loses the link.

    Lost means that six tenths of the first Fresnel zone are no longer clear of the ground, or that
    the margin is used up. Without terrain the ground is flat at the height of the field. The first
    300 m round the stand count as clear. The antennas gain what they do at
    that elevation. None where the link is lost up to 3 km already.
    """
    ground = _ground_along(stand, field, terrain)
    floor_m = field.amsl_m if terrain is None else -1e9
    antenna_m = max(mast_of(stand, terrain).amsl_m, floor_m + stand.mast_m)
    clear_m = clear_amsl_m(gear.link.frequency_hz, ground, antenna_m, EARTH_M)
    agl_m = max(clear_m - field.amsl_m, 0.0)
    if agl_m > _HIGHEST_AGL_M:
        return None
    mast = place_of(stand, antenna_m)
    there = place_of(field, field.amsl_m + agl_m + 0.5)
    seen = look(mast, there)
    held = margin_db(gear.link, seen.range_m, -_gain_db(gear, seen.elevation_deg)) >= 0.0
    return agl_m if held else None


def _gain_db(gear: LinkGear, elevation_deg: float) -> float:
    """Return what the elevation adds to the budget."""
    sine = math.sin(math.radians(elevation_deg))
    return float(np.interp(sine, np.linspace(-1.0, 1.0, len(gear.pattern)), gear.pattern))


def _ground_along(stand: StandSpec, field: Place, terrain: Terrain | None) -> Profile:
    """Return the profile from a stand to a field; its first 300 m stand in nobody's way."""
    start = place_of(stand)
    line_m = geodesic(start, field).distance_m
    if terrain is None or line_m < CLEAR_M:
        distance_m = np.linspace(0.0, max(line_m, 10.0), _N_FLAT)
        ground_m = np.full(_N_FLAT, field.amsl_m)
    else:
        distance_m, ground_m = walked(terrain, start, field)
    return Profile(distance_m, np.where(distance_m < CLEAR_M, -1000.0, ground_m))


def walked(terrain: Terrain, start: Place, end: Place) -> Profile:
    """Return the ground along a way; gaps are bridged from known ground."""
    found = profile(terrain, start, end, _POST_M)
    known = np.isfinite(found.ground_amsl_m)
    if not known.any():
        remedy = "Do the [terrain] files cover the fields and stands?"
        raise InputError("terrain", "no height on the way", "ground below the way", remedy)
    heights = np.interp(found.distance_m, found.distance_m[known], found.ground_amsl_m[known])
    return Profile(found.distance_m, heights)
