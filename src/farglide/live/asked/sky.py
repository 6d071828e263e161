"""Sky: where the sun stands for a glider released now, and when it is gone."""

import math
from typing import Final, NamedTuple

from farglide.atlas.fields import Field
from farglide.earth.geodesy import geodesic
from farglide.earth.state import Place, place_of, wrapped_azimuth_deg
from farglide.earth.sun import dusk_t_s, sun_position, sunset_t_s
from farglide.live.asked.situation import Situation, Wind
from farglide.outlook.advice import FieldNow
from farglide.outlook.asked import SunAim, SunNow
from farglide.sim.core.step import layer_index
from farglide.sortie.spec import Launch

_MOVED_DEG: Final = 7.5
"""A quarter of an hour of a clock's face: half of what the words for it tell apart."""
_STEP_S: Final = 60.0
_LONGEST_S: Final = 7200.0


class Toward(NamedTuple):
    """A field, how fast the way to it begins, through the air, and what is told of it now."""

    field: Field
    airspeed_mps: float
    now: FieldNow


class Sky(NamedTuple):
    """What the sun is held against: when and where, the wind that the ways begin in.

    `amsl_m`: where they begin; `toward`: the field that counts first.
    """

    launch: Launch
    now_t_s: float
    place: Place
    amsl_m: float
    wind: Wind
    toward: tuple[Toward, ...]


def sun_now(asked: Situation) -> SunNow:
    """Return where the sun stands from where the balloon is, for the way to each field.

    Headings allow for the wind where it would be level, let go now, at the airspeed with which
    each way home begins; where none is open, at the flattest glide's.
    """
    first, level = asked.aim, asked.levelled(asked.now_s)
    others = (f for f in range(len(asked.sortie.fields)) if f != first)
    return sun_of(
        Sky(
            launch=asked.launch,
            now_t_s=asked.now_t_s,
            place=asked.place,
            amsl_m=level.amsl_m,
            wind=asked.wind(level.amsl_m),
            toward=tuple(_toward(asked, level.amsl_m, f) for f in (first, *others)),
        )
    )


def sun_of(sky: Sky) -> SunNow:
    """Return where the sun stands from a place, for the way to each field.

    Source: `earth.sun`, and the triangle of winds.
    """
    place, now_t_s, home = sky.place, sky.now_t_s, sky.toward[0].field
    sun = sun_position(now_t_s, place.lat_deg, place.lon_deg)
    aloft_s = sunset_t_s(now_t_s, place.lat_deg, place.lon_deg, max(place.amsl_m, 0.0))
    ends = (fn(now_t_s, home.lat_deg, home.lon_deg) for fn in (sunset_t_s, dusk_t_s))
    sets_s, dusk_s = (after_launch_s(one, sky.launch) for one in ends)
    return SunNow(
        after_launch_s=now_t_s - sky.launch.t_s,
        amsl_m=sky.amsl_m,
        azimuth_deg=sun.azimuth_deg,
        elevation_deg=sun.elevation_deg,
        wind_from_deg=sky.wind.from_deg,
        wind_mps=sky.wind.mps,
        airspeed_mps=sky.toward[0].airspeed_mps,
        aims=tuple(_aim(sky, one, sun.azimuth_deg) for one in sky.toward),
        sets_aloft_after_launch_s=after_launch_s(aloft_s, sky.launch),
        sets_after_launch_s=sets_s,
        dusk_after_launch_s=dusk_s,
    )


def after_launch_s(t_s: float | None, launch: Launch) -> float | None:
    """Return a moment as seconds after the launch; None for none."""
    return None if t_s is None else t_s - launch.t_s


def _toward(asked: Situation, amsl_m: float, field: int) -> Toward:
    """Return a field with the true airspeed at the top of the way there, as it is flown."""
    home, layers = asked.way_home(asked.now_s, field), asked.ensemble.air.column.layers
    eas_mps = asked.ensemble.craft.best_eas_mps if home is None else float(home.flown.eas_mps[0])
    tas_mps = eas_mps * float(layers.tas_per_eas[layer_index(layers, amsl_m)])
    return Toward(asked.sortie.fields[field], tas_mps, asked.advice.fields[field])


def _aim(sky: Sky, toward: Toward, sun_deg: float) -> SunAim:
    field = toward.field
    line = geodesic(place_of(sky.place, 0.0), place_of(field, 0.0))
    steer_deg = steered_deg(line.azimuth_deg, sky.wind, toward.airspeed_mps)
    right_deg = None if steer_deg is None else (sun_deg - steer_deg + 180.0) % 360.0 - 180.0
    return SunAim(
        field=field.name,
        state=toward.now.state,
        chance_ratio=toward.now.chance_ratio,
        bearing_deg=line.azimuth_deg,
        distance_m=line.distance_m,
        steer_deg=steer_deg,
        right_deg=right_deg,
        good_for_s=_good_for_s(sky, sun_deg),
    )


def steered_deg(course_deg: float, wind: Wind, airspeed: float) -> float | None:
    """Return the heading that keeps a course over ground; None where the wind is too strong.

    >>> steered_deg(0.0, Wind(10.0, 0.0), 20.0)  # blown to the east: 30 degrees to the left
    330.0
    """
    course = math.radians(course_deg)
    right_mps = wind.east_mps * math.cos(course) - wind.north_mps * math.sin(course)
    along_mps = wind.east_mps * math.sin(course) + wind.north_mps * math.cos(course)
    if abs(right_mps) >= airspeed:
        return None
    if math.sqrt(airspeed**2 - right_mps**2) + along_mps <= 0.0:
        return None
    return round(wrapped_azimuth_deg(course_deg - math.degrees(math.asin(right_mps / airspeed))), 9)


def _good_for_s(sky: Sky, sun_deg: float) -> float:
    """Return until when the sun stays within a quarter of an hour of the clock's face."""
    place, after_s = sky.place, 0.0
    while after_s < _LONGEST_S:
        later = sun_position(sky.now_t_s + after_s + _STEP_S, place.lat_deg, place.lon_deg)
        if abs((later.azimuth_deg - sun_deg + 180.0) % 360.0 - 180.0) > _MOVED_DEG:
            break
        after_s += _STEP_S
    return after_s
