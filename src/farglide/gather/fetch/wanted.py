"""Wanted: the area, the hours and the levels of air that a flight asks of a forecast."""

import math
from dataclasses import dataclass
from typing import Final, NamedTuple

from farglide.air.standard import pressure_altitude_m, standard_air
from farglide.balloon.envelope import diameter_m
from farglide.balloon.gas import GasMix, fill_of
from farglide.constants import MEAN_EARTH_RADIUS_M, SEA_LEVEL_DENSITY_KGPM3
from farglide.earth.box import Box
from farglide.earth.clock import local_datetime
from farglide.earth.state import wrapped_lon_deg
from farglide.earth.sun import sun_position
from farglide.errors import InputError, check_range
from farglide.gather.fetch.source import HOUR_S
from farglide.rig.area import needed_area
from farglide.sortie.spec import Sortie

MOST_DAYS: Final = 15
DRIFT_M: Final = 131_000.0
DRIFT_S: Final = 76.0 * 60.0
"""Nine in ten of 146 soundings drifted less in this time.

The network of 2008-12-08 12 UTC, tests/authorities/temp_network_20081208.bufr, winter in the north.
"""
CLIMB_MPS: Final = 3.85
"""The slowest mean of 53 soundings that rose above 20 km, tests/authorities among them."""
_SINK_EAS_MPS: Final = 1.5  # of a glider that circles by itself: common practice, no source
_CHUTE_EAS_MPS: Final = 4.0  # of a box under a parachute: common practice, no source
_N_SD: Final = 2.0
_TOP_HPA: Final = 1.0
_SUN_UP_DEG: Final = -0.833  # centre of the sun at its rise: refraction and half its width
_STEP_M: Final = 500.0
_HIGHEST_M: Final = 48_000.0
_WIDEST_DEG: Final = 80.0
_DAY_S: Final = 24.0 * HOUR_S


class Stretch(NamedTuple):
    """Moments between which the air is wanted, UTC seconds."""

    begin_s: float
    end_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What a flight asks of a forecast: where, when, and up to which pressure."""

    box: Box
    stretches: tuple[Stretch, ...]  # the first is the flight itself
    launch_t_s: float
    top_hpa: float
    drift_m: float


def wanted_of(sortie: Sortie, n_days: int = 1) -> Wanted:
    """Return what a flight asks for; with more than one day, the daylight of each day too.

    From an hour before the launch until a slow climb and a slow way down are over. The area is
    that of launch, fields and stands, wider by the drift of nine flights in ten of that length.
    """
    check_range("--days", n_days, "", (1, MOST_DAYS), "No forecast tells more.")
    top_m = top_gph_m(sortie)
    lasts_s = flight_s(sortie, top_m)
    drift_m = DRIFT_M * lasts_s / DRIFT_S
    launch_s = sortie.launch.t_s
    flight = Stretch(launch_s - HOUR_S, launch_s + lasts_s)
    days = daylight(sortie, n_days) if n_days > 1 else ()
    return Wanted(
        box=widened(needed_area(sortie), drift_m),
        stretches=(flight, *days),
        launch_t_s=launch_s,
        top_hpa=max(standard_air(top_m).p_pa / 100.0, _TOP_HPA),
        drift_m=drift_m,
    )


def top_gph_m(sortie: Sortie) -> float:
    """Return how high in standard air the balloon is as wide as at its burst, two sd wider.

    The gas is as warm as the air, the film slack.
    """
    balloon, ground = sortie.balloon, standard_air(max(sortie.launch.amsl_m, 0.0))
    mix = GasMix(gas=balloon.gas, purity_ratio=balloon.purity_ratio)
    lift_kg = balloon.neck_lift_kg.value
    fill = fill_of(lift_kg, balloon.mass_kg, mix, ground.p_pa, ground.t_k)
    burst = balloon.burst_diameter_m
    widest_m = burst.value + _N_SD * burst.sd
    n_steps = int(_HIGHEST_M / _STEP_M)
    for gph_m in (_STEP_M * k for k in range(n_steps)):
        air = standard_air(gph_m)
        volume_m3 = fill.volume_m3 * ground.p_pa / air.p_pa * air.t_k / ground.t_k
        if diameter_m(volume_m3) >= widest_m:
            return gph_m
    return _HIGHEST_M


def flight_s(sortie: Sortie, top_m: float) -> float:
    """Return how long a slow climb to a height and a slow way down take together."""
    glider, sink_mps = sortie.glider, _SINK_EAS_MPS
    if sortie.payload is not None:
        sink_mps = _CHUTE_EAS_MPS
    elif glider.hands_off_sink_eas_mps is not None:
        sink_mps = glider.hands_off_sink_eas_mps.value
    n_steps = max(int(top_m / _STEP_M), 1)
    down_s = sum(
        _STEP_M / sink_mps * math.sqrt(rho_kgpm3 / SEA_LEVEL_DENSITY_KGPM3)
        for rho_kgpm3 in (standard_air(_STEP_M * (k + 0.5)).rho_kgpm3 for k in range(n_steps))
    )
    return top_m / CLIMB_MPS + down_s


def daylight(sortie: Sortie, n_days: int) -> tuple[Stretch, ...]:
    """Return the hours with the sun up at the launch, of the day of the flight and those after it.

    A day without sun has none.
    """
    launch = sortie.launch
    at = local_datetime(launch.t_s, launch.zone)
    midnight_s = launch.t_s - (at.hour * HOUR_S + at.minute * 60.0 + at.second)
    found: list[Stretch] = []
    for day in range(n_days):
        hours = [midnight_s + day * _DAY_S + HOUR_S * k for k in range(25)]
        up = [
            one for one in hours
            if sun_position(one, launch.lat_deg, launch.lon_deg).elevation_deg > _SUN_UP_DEG
        ]  # fmt: skip
        if up:
            found.append(Stretch(up[0] - HOUR_S, up[-1] + HOUR_S))
    return tuple(found)


def widened(box: Box, by_m: float) -> Box:
    """Return an area that reaches so much farther to all sides."""
    by_deg = math.degrees(by_m / MEAN_EARTH_RADIUS_M)
    south_deg, north_deg = box.south_deg - by_deg, box.north_deg + by_deg
    farthest_deg = max(abs(south_deg), abs(north_deg))
    side_deg = by_deg / math.cos(math.radians(min(farthest_deg, 89.9)))
    if farthest_deg >= 90.0 or box.width_deg + 2.0 * side_deg > _WIDEST_DEG:
        told = f"within {by_m / 1000.0:.0f} km of a pole, where its meridians meet"
        allowed = f"an area up to {_WIDEST_DEG:g}° wide"
        raise InputError("the area of the flight", told, allowed, "Bring the winds as a file.")
    return Box(
        south_deg=south_deg,
        west_deg=wrapped_lon_deg(box.west_deg - side_deg),
        north_deg=north_deg,
        east_deg=wrapped_lon_deg(box.east_deg + side_deg),
    )


def on_grid(box: Box, grid_deg: float) -> Box:
    """Return an area with its edges moved outward to the lines of a grid.

    >>> box = Box(south_deg=46.6, west_deg=11.1, north_deg=47.2, east_deg=12.0)
    >>> on_grid(box, 0.5)
    Box(south_deg=46.5, west_deg=11.0, north_deg=47.5, east_deg=12.0)
    """
    west, east = box.west_deg / grid_deg, (box.west_deg + box.width_deg) / grid_deg
    return Box(
        south_deg=max(grid_deg * math.floor(box.south_deg / grid_deg), -90.0),
        west_deg=wrapped_lon_deg(grid_deg * math.floor(west)),
        north_deg=min(grid_deg * math.ceil(box.north_deg / grid_deg), 90.0),
        east_deg=wrapped_lon_deg(grid_deg * math.ceil(east)),
    )


def levels_of(levels_hpa: tuple[float, ...], top_hpa: float) -> tuple[float, ...]:
    """Return the levels up to a pressure and one above it, highest pressure first.

    >>> levels_of((1000.0, 500.0, 20.0, 10.0, 7.0, 5.0), 12.0)
    (1000.0, 500.0, 20.0, 10.0)
    """
    below = [hpa for hpa in levels_hpa if hpa > top_hpa]
    above = [hpa for hpa in levels_hpa if hpa <= top_hpa]
    return (*below, *above[:1])


def top_words(top_hpa: float) -> str:
    """Return how high a pressure lies in standard air.

    >>> top_words(12.0)
    '12 hPa, about 30 km'
    """
    return f"{top_hpa:.3g} hPa, about {pressure_altitude_m(100.0 * top_hpa) / 1000.0:.0f} km"
