"""Ears: stands and links as the kernels read them, the ground round each stand as a fan."""

import math
from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from farglide.arrays import FloatArray, SingleArray
from farglide.atlas.horizon import Fan, blank_fan, fill_fan
from farglide.atlas.sweep import Sweep
from farglide.atlas.terrain import Terrain, height_amsl_m
from farglide.constants import MEAN_EARTH_RADIUS_M
from farglide.earth.radii import _ecef_m, _meridian_radius_m, _normal_radius_m
from farglide.earth.state import Place
from farglide.errors import InputError, check_range
from farglide.radio.ends.gear import N_SINES
from farglide.radio.link import Link, largest_loss_db
from farglide.radio.path.gas import LOWEST_HZ, gas_loss_db
from farglide.radio.path.space import LIGHT_MPS, wavelength_m
from farglide.sim.core.workers import Workers, in_one_go

CLEAR_M: Final = 300.0
"""Ground nearer to the stand than this stands in nobody's way: the crew looks for a free place."""
TOP_M: Final = 42_000.0
N_GAS: Final = 85
AZIMUTH_STEP_DEG: Final = 0.5
_SHORTEST_STEP_M: Final = 60.0
_LOW_DEG: Final = 1.0


class Ears(NamedTuple):
    """The stands: where their antennas are, their axes, and the fan of the ground round each.

    `origin_m` (n_stands, 3) geocentric; `axes` (n_stands, 3, 3) rows east, north, up;
    `curvature_pm` (n_stands, 2): one over the ellipsoid's radii to the east and north; `amsl_m` of
    the antennas, `foot_amsl_m` of the ground below them;
    `steepest_ratio` (n_stands, n_azimuths): tangent of the sky line, NaN without ground; ground and
    taut string as in `atlas.horizon.Fan`, (n_stands, n_azimuths, n_rings), the first azimuth north.
    """

    origin_m: FloatArray
    axes: FloatArray
    curvature_pm: FloatArray
    amsl_m: FloatArray
    foot_amsl_m: FloatArray
    steepest_ratio: FloatArray
    ground_amsl_m: SingleArray
    before: NDArray[np.int16]
    step_m: float
    earth_m: float


class Waves(NamedTuple):
    """The links: what of their margin does not depend on the way, and tables of what does.

    `near_db`: the margin at one metre in empty space; `root_pm`: one over the root of the
    wavelength; `zenith_db` (n_links, N_GAS): what the gases take straight up from sea level, every
    500 m; `thickness`: what keeps their slant finite at the horizon; `pattern_db` (n_links,
    N_SINES): gain against the budget's by the sine of the elevation, -1 to 1; `sd_db`: doubt about
    the whole budget.
    """

    near_db: FloatArray
    root_pm: FloatArray
    zenith_db: FloatArray
    thickness: FloatArray
    pattern_db: FloatArray
    sd_db: FloatArray


class Listeners(NamedTuple):
    """Who listens to what: stands and links."""

    ears: Ears
    waves: Waves


class FanPost(NamedTuple):
    """A post of the fans: which ring on which ray round which stand."""

    stand: int
    ray: int
    ring: int


def ears_of(
    stands: Sequence[Place],
    terrain: Terrain,
    reach_m: float,
    workers: Workers = in_one_go,
    azimuth_step_deg: float = AZIMUTH_STEP_DEG,
) -> Ears:
    """Return stands, given as the places of their antennas, with the ground within a reach.

    Valid: as `atlas.horizon.fan`; azimuths evenly spread, no farther apart than `azimuth_step_deg`,
    rings half as far apart as the posts.
    """
    if not stands:
        raise InputError("stands", "none", "one or more")
    check_range("azimuth_step_deg", azimuth_step_deg, "deg", (0.01, 10.0))
    sweep = Sweep(
        azimuths_deg=np.linspace(0.0, 360.0, math.ceil(360.0 / azimuth_step_deg), endpoint=False),
        reach_m=reach_m,
        step_m=_ring_step_m(terrain),
        clear_m=CLEAR_M,
    )
    shape = (len(stands), len(sweep.azimuths_deg), sweep.n_rings)
    steepest, ground = np.empty(shape[:2]), np.empty(shape, np.float32)
    before = np.empty(shape, np.int16)
    for s, stand in enumerate(stands):
        fan = blank_fan(terrain, stand, sweep)
        workers(_filling(terrain, fan), len(sweep.azimuths_deg))
        steepest[s], ground[s] = fan.rings.tangent_ratio[:, -1], fan.rings.ground_amsl_m
        before[s] = fan.rings.before
    angles = [(math.radians(s.lat_deg), math.radians(s.lon_deg), s.amsl_m) for s in stands]
    return Ears(
        origin_m=np.array([_ecef_m(*one) for one in angles]),
        axes=np.array([_axes(lat, lon) for lat, lon, _ in angles]),
        curvature_pm=np.array(
            [(1.0 / _normal_radius_m(lat), 1.0 / _meridian_radius_m(lat)) for lat, _, _ in angles]
        ),
        amsl_m=np.array([s.amsl_m for s in stands], dtype=np.float64),
        foot_amsl_m=_feet_amsl_m(stands, terrain),
        steepest_ratio=steepest,
        ground_amsl_m=ground,
        before=before,
        step_m=sweep.step_m,
        earth_m=sweep.radius_m,
    )


def without_ground(ears: Ears) -> Ears:
    """Return the same stands with nothing in the way of any wave."""
    return ears._replace(steepest_ratio=np.full_like(ears.steepest_ratio, np.nan))


def waves_of(
    links: Sequence[Link], sd_db: Sequence[float], patterns: Sequence[FloatArray] | None = None
) -> Waves:
    """Return links as the kernels read them; `patterns`: as `elevation_gain_db` gives them."""
    n = len(links)
    if not n:
        raise InputError("links", "none", "one or more")
    if len(sd_db) != n or not all(0.0 <= sd < 60.0 for sd in sd_db):
        raise InputError("sd_db", list(sd_db), f"{n} numbers from 0 to 60 dB")
    heights_m = np.linspace(0.0, TOP_M, N_GAS)
    zenith = np.array([_zenith_db(link.frequency_hz, heights_m) for link in links])
    at_one_m = [
        largest_loss_db(link) - 20.0 * math.log10(4.0 * math.pi * link.frequency_hz / LIGHT_MPS)
        for link in links
    ]
    flat = np.zeros((n, N_SINES))
    return Waves(
        near_db=np.array(at_one_m),
        root_pm=np.array([wavelength_m(link.frequency_hz) ** -0.5 for link in links]),
        zenith_db=zenith,
        thickness=np.array([_thickness(link, zenith[i, 60]) for i, link in enumerate(links)]),
        pattern_db=flat if patterns is None else np.stack(list(patterns)),
        sd_db=np.array(sd_db, dtype=np.float64),
    )


def _ring_step_m(terrain: Terrain) -> float:
    post_m = math.radians(terrain.step_lat_deg) * MEAN_EARTH_RADIUS_M
    return min(max(0.5 * post_m, _SHORTEST_STEP_M), 500.0)


def _filling(terrain: Terrain, fan: Fan) -> Callable[[int, int], None]:
    return lambda first, last: fill_fan(terrain, fan, first, last)


def _feet_amsl_m(stands: Sequence[Place], terrain: Terrain) -> FloatArray:
    lats, lons = np.array([(s.lat_deg, s.lon_deg) for s in stands], dtype=np.float64).T
    return np.asarray(height_amsl_m(terrain, lats, lons), dtype=np.float64)


def _axes(lat: float, lon: float) -> list[list[float]]:
    """Return east, north, up of a place in geocentric axes (EPSG Guidance Note 7-2, 9836)."""
    sin_lat, cos_lat, sin_lon, cos_lon = math.sin(lat), math.cos(lat), math.sin(lon), math.cos(lon)
    return [
        [-sin_lon, cos_lon, 0.0],
        [-sin_lat * cos_lon, -sin_lat * sin_lon, cos_lat],
        [cos_lat * cos_lon, cos_lat * sin_lon, sin_lat],
    ]


def _zenith_db(frequency_hz: float, heights_m: FloatArray) -> FloatArray:
    frequency_hz = max(frequency_hz, LOWEST_HZ)  # there less than 0.1 dB to the horizon, below less
    slabs = [
        gas_loss_db(frequency_hz, 90.0, float(low), float(high))
        for low, high in pairwise(heights_m)
    ]
    return np.concatenate(([0.0], np.cumsum(slabs)))


def _thickness(link: Link, zenith_db: float) -> float:
    """Return c of zenith / sqrt(sin^2 + c) that meets the slant law at 1 deg, sea level to 30 km.

    The form is that of a thin shell round the earth: common practice, no source.
    """
    low_db = gas_loss_db(max(link.frequency_hz, LOWEST_HZ), _LOW_DEG, 0.0, 30_000.0)
    return float((zenith_db / low_db) ** 2 - math.sin(math.radians(_LOW_DEG)) ** 2)
