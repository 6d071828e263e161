"""Hearing: how strong each link is from each stand along the error-free flight."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from farglide.atlas.horizon import profile
from farglide.atlas.terrain import Terrain
from farglide.constants import MEAN_EARTH_RADIUS_M
from farglide.earth.geodesy import geodesic
from farglide.earth.look import look
from farglide.earth.state import Place
from farglide.errors import InputError
from farglide.radio.bending import STANDARD_FACTOR
from farglide.radio.diffraction import diffraction_loss_db
from farglide.radio.gas import gas_loss_db
from farglide.radio.link import Link, Receiver, Sender, margin_db, reach_m, threshold_dbm
from farglide.radio.link import sensitivity_from_range_dbm as from_range_dbm
from farglide.radio.picture import analogue_grade, digital_grade
from farglide.radio.sight import clear_amsl_m
from farglide.radio.smooth_earth import Surface, smooth_earth_loss_db
from farglide.sortie.homeward import Homeward
from farglide.sortie.rise import place_deg
from farglide.sortie.spec import LinkSpec, Sortie, StandSpec
from farglide.sortie.stage import Stage

FloatArray = NDArray[np.float64]

EARTH_M: Final = STANDARD_FACTOR * MEAN_EARTH_RADIUS_M
_CLIMB_STEP_S: Final = 300.0
_GLIDE_STEP_S: Final = 120.0
_LEAST_ELEVATION_DEG: Final = 0.5  # the law of gases holds from here on
_LEAST_HEIGHT_M: Final = 0.5
_POST_M: Final = 90.0
_N_FLAT: Final = 201
_CLEAR_ROUND_M: Final = 300.0
_LOW_DEG: Final = 15.0  # higher than this no ground of a landscape stands in the way
_OVERHEAD_DEG: Final = 75.0
_NEAR_M: Final = 3000.0  # nearer than this even a null is loud enough
_HIGHEST_AGL_M: Final = 3000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class HeardPoint:
    """One moment of the flight as a stand sees and hears it."""

    after_launch_s: float
    amsl_m: float
    azimuth_deg: float
    elevation_deg: float
    range_m: float
    margin_db: float
    grade: int  # of a picture, 5 to 0


@dataclass(frozen=True, slots=True, kw_only=True)
class HeardStand:
    """One link from one stand: along the flight, and down to which height over each field."""

    name: str
    points: tuple[HeardPoint, ...]
    lost_agl_m: tuple[tuple[str, float | None], ...]  # (field, height); None: nowhere in reach
    overhead: bool  # the flight passes where an upright antenna hears nothing


@dataclass(frozen=True, slots=True, kw_only=True)
class HeardLink:
    """One link: its budget, and what each stand makes of it."""

    name: str
    purpose: str
    eirp_dbm: float
    threshold_dbm: float
    reach_m: float
    half_reach_m: float  # with 6 dB in hand
    stands: tuple[HeardStand, ...]


def link_of(spec: LinkSpec) -> Link:
    """Return a link of the flight file as the laws take it."""
    sender = Sender(
        power_w=spec.power_w.value, loss_db=spec.sender_loss_db, gain_dbi=spec.sender_gain_dbi
    )
    sensitivity_dbm = spec.sensitivity_dbm
    if spec.reached_m is not None:
        gain_dbi = spec.receiver_gain_dbi - spec.receiver_loss_db
        sensitivity_dbm = from_range_dbm(spec.frequency_hz, sender, gain_dbi, spec.reached_m)
    return Link(
        name=spec.name,
        purpose=spec.purpose,
        frequency_hz=spec.frequency_hz,
        bandwidth_hz=spec.bandwidth_hz,
        sender=sender,
        receiver=Receiver(
            gain_dbi=spec.receiver_gain_dbi,
            loss_db=spec.receiver_loss_db,
            noise_figure_db=spec.noise_figure_db,
            needed_ratio_db=spec.needed_ratio_db,
            sensitivity_dbm=sensitivity_dbm,
        ),
        is_digital=spec.is_digital,
        offset_db=spec.offset_db,
    )


def heard_links(
    middle: Stage, moment: int, flight: Homeward | None, terrain: Terrain | None = None
) -> tuple[HeardLink, ...]:
    """Return every link from every stand, for a release at a moment and the glide that follows.

    Antennas are taken as well aimed; without terrain the ground as flat at each field's height.
    """
    sortie = middle.sortie
    path = flown_path(middle, moment, flight)
    found = []
    for spec in sortie.links:
        link = link_of(spec)
        stands = tuple(_heard((sortie, terrain), link, stand, path) for stand in sortie.stands)
        found.append(
            HeardLink(
                name=link.name,
                purpose=link.purpose,
                eirp_dbm=link.sender.eirp_dbm,
                threshold_dbm=threshold_dbm(link),
                reach_m=reach_m(link),
                half_reach_m=reach_m(link, 6.0),
                stands=stands,
            )
        )
    return tuple(found)


def flown_path(middle: Stage, moment: int, flight: Homeward | None) -> list[tuple[float, Place]]:
    """Return times and places of the error-free flight: the climb, then the glide home.

    The glide is the one with most height that ends in time, else the flattest.
    """
    tracks = middle.tracks
    every = max(round(_CLIMB_STEP_S / tracks.step_s), 1)
    found = []
    for j in [*range(0, moment, every), moment]:
        lat_deg, lon_deg = place_deg(middle, tracks.north_rad[0, j], tracks.east_rad[0, j])
        place = Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=float(tracks.amsl_m[0, j]))
        found.append((float(j * tracks.step_s), place))
    if flight is None:
        return found
    glide = flight.timely.passage if flight.timely else flight.flattest
    start_s, end_s = float(glide.after_s[0]), float(glide.after_s[-1])
    for at_s in [*np.arange(start_s, end_s, _GLIDE_STEP_S), end_s]:
        north, east, amsl_m = (
            float(np.interp(at_s, glide.after_s, values))
            for values in (glide.north_rad, glide.east_rad, glide.amsl_m)
        )
        lat_deg, lon_deg = place_deg(middle, north, east)
        found.append((float(at_s), Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=amsl_m)))
    return found


def _heard(
    over: tuple[Sortie, Terrain | None],
    link: Link,
    stand: StandSpec,
    path: list[tuple[float, Place]],
) -> HeardStand:
    sortie, terrain = over
    mast = Place(lat_deg=stand.lat_deg, lon_deg=stand.lon_deg, amsl_m=stand.amsl_m + stand.mast_m)
    points = tuple(_point((link, terrain), stand, mast, (at_s, place)) for at_s, place in path)
    lost = tuple(
        (
            field.name,
            lost_agl_m(
                link,
                stand,
                Place(lat_deg=field.lat_deg, lon_deg=field.lon_deg, amsl_m=field.amsl_m),
                terrain,
            ),
        )
        for field in sortie.fields
    )
    return HeardStand(
        name=stand.name,
        points=points,
        lost_agl_m=lost,
        overhead=any(
            point.elevation_deg > _OVERHEAD_DEG and point.range_m > _NEAR_M for point in points
        ),
    )


def _point(
    heard: tuple[Link, Terrain | None], stand: StandSpec, mast: Place, at: tuple[float, Place]
) -> HeardPoint:
    (link, terrain), (at_s, place) = heard, at
    seen = look(mast, place)
    ground_db = (
        _flat_db(link, mast, place, min(stand.amsl_m, place.amsl_m))
        if terrain is None
        else _walked_db(link, mast, place, terrain)
    )
    margin = margin_db(link, seen.range_m, _gases_db(link, mast, place) + ground_db)
    grade = digital_grade(margin) if link.is_digital else analogue_grade(margin)
    return HeardPoint(
        after_launch_s=at_s,
        amsl_m=place.amsl_m,
        azimuth_deg=seen.azimuth_deg,
        elevation_deg=seen.elevation_deg,
        range_m=seen.range_m,
        margin_db=margin,
        grade=grade,
    )


def _gases_db(link: Link, mast: Place, place: Place) -> float:
    low_m, high_m = sorted((max(mast.amsl_m, 0.0), max(place.amsl_m, 0.0)))
    steep_deg = abs(look(mast, place).elevation_deg)
    steep_deg = min(max(steep_deg, _LEAST_ELEVATION_DEG), 90.0)
    return gas_loss_db(link.frequency_hz, steep_deg, low_m, high_m)


def _flat_db(link: Link, mast: Place, place: Place, ground_m: float) -> float:
    """Return what a smooth earth at a height takes."""
    heights = (
        max(mast.amsl_m - ground_m, _LEAST_HEIGHT_M),
        max(place.amsl_m - ground_m, _LEAST_HEIGHT_M),
    )
    level_m = max(geodesic(mast, place).distance_m, 1.0)
    return smooth_earth_loss_db(link.frequency_hz, level_m, heights, EARTH_M, Surface())


def _walked_db(link: Link, mast: Place, place: Place, terrain: Terrain) -> float:
    """Return what the ground between takes; near the stand nothing rises above its own ground."""
    near_m = geodesic(mast, place).distance_m
    if near_m < _CLEAR_ROUND_M or look(mast, place).elevation_deg > _LOW_DEG:
        return 0.0
    distance_m, heights_m = _walked(terrain, mast, place)
    near = distance_m < _CLEAR_ROUND_M
    ground_m = np.where(near, np.minimum(heights_m, mast.amsl_m - _LEAST_HEIGHT_M), heights_m)
    ends = (
        max(mast.amsl_m, float(ground_m[0]) + _LEAST_HEIGHT_M),
        max(place.amsl_m, float(ground_m[-1]) + _LEAST_HEIGHT_M),
    )
    return diffraction_loss_db(link.frequency_hz, (distance_m, ground_m), ends, EARTH_M)


def lost_agl_m(
    link: Link, stand: StandSpec, field: Place, terrain: Terrain | None = None
) -> float | None:
    """Return the height over a field below which a stand loses the link.

    Lost means that six tenths of the first Fresnel zone are no longer clear of the ground, or that
    the margin is used up. Without terrain the ground is flat at the height of the field. The first
    300 m round the stand count as clear. None where the link is lost up to 3 km already.
    """
    ground = _ground_along(stand, field, terrain)
    floor_m = field.amsl_m if terrain is None else -1e9
    antenna_m = max(stand.amsl_m, floor_m) + stand.mast_m
    clear_m = clear_amsl_m(link.frequency_hz, ground, antenna_m, EARTH_M)
    agl_m = max(clear_m - field.amsl_m, 0.0)
    if agl_m > _HIGHEST_AGL_M:
        return None
    mast = Place(lat_deg=stand.lat_deg, lon_deg=stand.lon_deg, amsl_m=antenna_m)
    there = Place(lat_deg=field.lat_deg, lon_deg=field.lon_deg, amsl_m=field.amsl_m + agl_m + 0.5)
    held = margin_db(link, look(mast, there).range_m) >= 0.0
    return agl_m if held else None


def _ground_along(
    stand: StandSpec, field: Place, terrain: Terrain | None
) -> tuple[FloatArray, FloatArray]:
    """Return the profile from a stand to a field; its first 300 m stand in nobody's way."""
    start = Place(lat_deg=stand.lat_deg, lon_deg=stand.lon_deg, amsl_m=stand.amsl_m)
    line_m = geodesic(start, field).distance_m
    if terrain is None or line_m < _CLEAR_ROUND_M:
        distance_m = np.linspace(0.0, max(line_m, 10.0), _N_FLAT)
        ground_m = np.full(_N_FLAT, field.amsl_m)
    else:
        distance_m, ground_m = _walked(terrain, start, field)
    return distance_m, np.where(distance_m < _CLEAR_ROUND_M, -1000.0, ground_m)


def _walked(terrain: Terrain, start: Place, end: Place) -> tuple[FloatArray, FloatArray]:
    """Return distances and heights along the ground; gaps are bridged from known ground."""
    found = profile(terrain, start, end, _POST_M)
    known = np.isfinite(found.ground_amsl_m)
    if not known.any():
        remedy = "Do the [terrain] files cover the fields and stands?"
        raise InputError("terrain", "no height on the way", "ground below the way", remedy)
    heights = np.interp(found.distance_m, found.distance_m[known], found.ground_amsl_m[known])
    return found.distance_m, heights
