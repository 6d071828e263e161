"""Hearing: how strong each link is from each stand along the error-free flight."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from farglide.constants import MEAN_EARTH_RADIUS_M
from farglide.earth.look import Look, look
from farglide.earth.state import Place
from farglide.radio.bending import STANDARD_FACTOR
from farglide.radio.gas import gas_loss_db
from farglide.radio.link import Link, Receiver, Sender, margin_db, reach_m, threshold_dbm
from farglide.radio.link import sensitivity_from_range_dbm as from_range_dbm
from farglide.radio.picture import analogue_grade, digital_grade
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
    )


def heard_links(middle: Stage, moment: int, flight: Homeward | None) -> tuple[HeardLink, ...]:
    """Return every link from every stand, for a release at a moment and the glide that follows.

    Antennas are taken as well aimed and the ground as flat at the height of each field.
    """
    sortie = middle.sortie
    path = flown_path(middle, moment, flight)
    found = []
    for spec in sortie.links:
        link = link_of(spec)
        stands = tuple(_heard(sortie, link, stand, path) for stand in sortie.stands)
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
    sortie: Sortie, link: Link, stand: StandSpec, path: list[tuple[float, Place]]
) -> HeardStand:
    mast = Place(lat_deg=stand.lat_deg, lon_deg=stand.lon_deg, amsl_m=stand.amsl_m + stand.mast_m)
    points = tuple(_point(link, stand, mast, at_s, place) for at_s, place in path)
    lost = tuple(
        (
            field.name,
            lost_agl_m(
                link,
                stand,
                Place(lat_deg=field.lat_deg, lon_deg=field.lon_deg, amsl_m=field.amsl_m),
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


def _point(link: Link, stand: StandSpec, mast: Place, at_s: float, place: Place) -> HeardPoint:
    seen = look(mast, place)
    ground_m = min(stand.amsl_m, place.amsl_m)
    margin = margin_db(link, seen.range_m, _extra_db(link, mast, place, (seen, ground_m)))
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


def _extra_db(link: Link, mast: Place, place: Place, seen_over: tuple[Look, float]) -> float:
    """Return what gases and a smooth earth at a height take besides free space."""
    seen, ground_m = seen_over
    low_m, high_m = sorted((mast.amsl_m, place.amsl_m))
    steep_deg = min(max(abs(seen.elevation_deg), _LEAST_ELEVATION_DEG), 90.0)
    gases_db = gas_loss_db(link.frequency_hz, steep_deg, max(low_m, 0.0), max(high_m, 0.0))
    heights = (
        max(mast.amsl_m - ground_m, _LEAST_HEIGHT_M),
        max(place.amsl_m - ground_m, _LEAST_HEIGHT_M),
    )
    level_m = max(seen.range_m * float(np.cos(np.radians(seen.elevation_deg))), 1.0)
    bent_db = smooth_earth_loss_db(link.frequency_hz, level_m, heights, EARTH_M, Surface())
    return gases_db + bent_db


def lost_agl_m(link: Link, stand: StandSpec, field: Place) -> float | None:
    """Return the height over a field below which a stand loses the link, flat ground assumed.

    The ground is a smooth earth at the height of the field; a hill between is not seen. None where
    the link is lost up to 3 km already, 0 where it holds to half a metre.
    """
    mast = Place(
        lat_deg=stand.lat_deg,
        lon_deg=stand.lon_deg,
        amsl_m=max(stand.amsl_m, field.amsl_m) + stand.mast_m,
    )

    def held(agl_m: float) -> bool:
        place = Place(lat_deg=field.lat_deg, lon_deg=field.lon_deg, amsl_m=field.amsl_m + agl_m)
        seen = look(mast, place)
        extra_db = _extra_db(link, mast, place, (seen, field.amsl_m))
        return margin_db(link, seen.range_m, extra_db) >= 0.0

    if held(_LEAST_HEIGHT_M):
        return 0.0
    if not held(_HIGHEST_AGL_M):
        return None
    low, high = _LEAST_HEIGHT_M, _HIGHEST_AGL_M
    while high - low > 1.0:
        middle = 0.5 * (low + high)
        if held(middle):
            high = middle
        else:
            low = middle
    return high
