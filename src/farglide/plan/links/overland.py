"""Over land: below which height over a field a stand loses a link, what the moving car hears."""

import math
from dataclasses import replace
from typing import Final

import numpy as np

from farglide.arrays import FloatArray
from farglide.atlas.groundline import profile
from farglide.atlas.sweep import STANDARD_EARTH_RATIO
from farglide.atlas.terrain import Terrain, height_amsl_m
from farglide.chances.ensemble import Ensemble
from farglide.constants import MEAN_EARTH_RADIUS_M
from farglide.earth.geodesy import destination, geodesic
from farglide.earth.look import look
from farglide.earth.state import Place, place_at, place_of
from farglide.errors import InputError
from farglide.outlook.links import RoadPoint
from farglide.radio.antenna.kinds import Dipole, pattern_of
from farglide.radio.antenna.pattern import gain_towards_dbi, peak_dbi
from farglide.radio.link import Link, margin_db
from farglide.radio.path.bulge import clear_amsl_m
from farglide.radio.path.diffraction import diffraction_loss_db
from farglide.radio.path.parts import Heights, Profile
from farglide.radio.path.smooth_earth import Surface, smooth_earth_loss_db
from farglide.rig.links import LinkGear, gear_of
from farglide.rig.listening import mast_of
from farglide.sim.hear.ears import CLEAR_M
from farglide.sortie.spec import LinkSpec, StandSpec

EARTH_M: Final = STANDARD_EARTH_RATIO * MEAN_EARTH_RADIUS_M
_POST_M: Final = 90.0
_N_FLAT: Final = 201
_HIGHEST_AGL_M: Final = 3000.0
_STEP_S: Final = 120.0
_ROOF_M: Final = 2.0
_WHIP_DBI: Final = 2.0
"""An upright antenna on the roof: while driving nobody aims a beam (common practice, no source)."""
_HIGH_DEG: Final = 15.0  # higher than this no ground of a landscape stands in the way
_OVER_M: Final = 0.5


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
    more_db = _at_elevation_db(gear.pattern, seen.elevation_deg)
    return agl_m if margin_db(gear.link, seen.range_m, -more_db) >= 0.0 else None


def _at_elevation_db(table_db: FloatArray, elevation_deg: float) -> float:
    """Return what a table on even sines of the elevation has there."""
    sine = math.sin(math.radians(elevation_deg))
    return float(np.interp(sine, np.linspace(-1.0, 1.0, len(table_db)), table_db))


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


def road_points(
    plain: Ensemble, stand: StandSpec, from_s: float, takes_s: float, terrain: Terrain | None
) -> tuple[RoadPoint, ...]:
    """Return the margins on the road, the car halfway at half the time, on the straight line.

    `from_s`: when it sets off after the launch; `takes_s`: how long it drives. Roads bend: the
    numbers say what is to be had on the way, not at which corner.
    """
    sortie = plain.sortie
    if takes_s <= 0.0:
        return ()
    launch = place_of(sortie.launch)
    line, links = geodesic(launch, place_of(stand)), [_on_the_roof(spec) for spec in sortie.links]
    found = []
    for at_s in np.arange(max(from_s, 0.0), from_s + takes_s, _STEP_S):
        flown = _flown(plain, float(at_s))
        if flown is None:
            continue
        share = (float(at_s) - from_s) / takes_s
        car = _grounded(destination(launch, line.azimuth_deg, share * line.distance_m), terrain)
        margins_db = tuple(
            (link.name, _margin_db(link, car, flown, terrain) + _towards_db(spec, car, flown))
            for link, spec in zip(links, sortie.links, strict=True)
        )
        found.append(
            RoadPoint(
                after_launch_s=float(at_s),
                lat_deg=car.lat_deg,
                lon_deg=car.lon_deg,
                margin_db=margins_db,
            )
        )
    return tuple(found)


def _on_the_roof(spec: LinkSpec) -> Link:
    """Return a link with a whip in place of what is aimed from the stand."""
    link = gear_of(spec).link
    side = "sender" if spec.purpose == "command" else "receiver"
    end = getattr(link, side)
    whip = replace(end, gain_dbi=min(end.gain_dbi, _WHIP_DBI))
    return replace(link, **{side: whip})


def _towards_db(spec: LinkSpec, car: Place, flown: Place) -> float:
    """Return what the antenna on the roof and that aboard have that way, against their best."""
    gear, elevation_deg = gear_of(spec), look(car, flown).elevation_deg
    aboard = gear.sender if gear.sender.spec.aboard else gear.receiver
    there_db, whip = _at_elevation_db(aboard.table_db, elevation_deg), pattern_of(Dipole())
    return there_db + gain_towards_dbi(whip, 90.0 - elevation_deg) - peak_dbi(whip)


def _flown(plain: Ensemble, at_s: float) -> Place | None:
    tracks = plain.climbs.tracks
    j = round(at_s / tracks.step_s)
    if j >= tracks.amsl_m.shape[1] or np.isnan(tracks.amsl_m[0, j]):
        return None
    amsl_m, north, east = (float(one[0, j]) for one in tracks.places)
    return place_at(plain.sortie.launch, north, east, amsl_m)


def _grounded(place: Place, terrain: Terrain | None) -> Place:
    """Return the roof of the car at a place; without terrain at the launch's height."""
    ground_m = place.amsl_m
    if terrain is not None:
        known = height_amsl_m(terrain, np.array(place.lat_deg), np.array(place.lon_deg))
        ground_m = float(np.where(np.isnan(known), ground_m, known))
    return place_of(place, ground_m + _ROOF_M)


def _margin_db(link: Link, car: Place, flown: Place, terrain: Terrain | None) -> float:
    """Return the margin of one way by the laws themselves; gases take a tenth here and are left."""
    seen, away_m = look(car, flown), geodesic(car, flown).distance_m
    if seen.elevation_deg > _HIGH_DEG or away_m < 2.0 * CLEAR_M:
        return margin_db(link, seen.range_m)
    if terrain is None:
        ends = Heights(_ROOF_M, max(flown.amsl_m - car.amsl_m + _ROOF_M, _OVER_M))
        lost = smooth_earth_loss_db(link.frequency_hz, away_m, ends, EARTH_M, Surface())
        return margin_db(link, seen.range_m, lost)
    distance_m, ground_m = walked(terrain, car, flown)
    ground_m = np.where(distance_m < CLEAR_M, np.minimum(ground_m, car.amsl_m - _ROOF_M), ground_m)
    top_m = max(flown.amsl_m, float(ground_m[-1]) + _OVER_M)
    along, ends = Profile(distance_m, ground_m), Heights(car.amsl_m, top_m)
    lost = diffraction_loss_db(link.frequency_hz, along, ends, EARTH_M)
    return margin_db(link, seen.range_m, lost)
