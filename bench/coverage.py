"""Coverage: a million cells over real mountains, beside a path-by-path library on the same ways."""

import time
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

from bench.timing import Row, best_s
from farglide.atlas.groundline import profile
from farglide.atlas.terrain import Terrain, height_amsl_m
from farglide.compute import on_threads
from farglide.earth.box import Box
from farglide.earth.state import Place
from farglide.radio.link import Link, Receiver, Sender
from farglide.sim.hear.coverage import FINE_STEP_DEG, coverage_db
from farglide.sim.hear.ears import Listeners, ears_of, waves_of, without_ground
from farglide.sim.hear.groundcircle import GroundCircle, Level
from farglide.sources.elevation.elevation import read_elevation

_FILE = Path(__file__).parents[1] / "tests" / "authorities" / "sierra_nevada_srtm3.tif"
_CUT = Box(south_deg=36.827, west_deg=-118.901, north_deg=37.0245, east_deg=-118.7035)
_RADIUS_M, _AGL_M, _MAST_M, _STEP_M = 60e3, 300.0, 10.0, 93.0
_N_PATHS = 60
_LINK = Link(
    name="picture", purpose="picture", frequency_hz=2370e6, bandwidth_hz=16e6,
    sender=Sender(power_w=0.8, gain_dbi=2.0),
    receiver=Receiver(gain_dbi=18.0, loss_db=2.0, noise_figure_db=2.0, needed_ratio_db=9.0),
)  # fmt: skip


def mountains() -> Terrain:
    """The real extract, mirrored side by side until it holds the circle."""
    real = read_elevation([_FILE], _CUT)
    pair = np.hstack([real.heights_amsl_m, real.heights_amsl_m[:, ::-1]])
    heights = np.tile(np.vstack([pair, pair[::-1]]), (4, 4))
    return replace(
        real,
        heights_amsl_m=heights,
        north_deg=36.92 + 0.5 * heights.shape[0] * real.step_lat_deg,
        west_deg=-118.8 - 0.5 * heights.shape[1] * real.step_lon_deg,
    )


def standing(terrain: Terrain, lat_deg: float, lon_deg: float, above_m: float) -> Place:
    """A place so far above the ground."""
    ground = float(height_amsl_m(terrain, np.array(lat_deg), np.array(lon_deg)))
    return Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=ground + above_m)


def coverage_rows() -> list[Row]:
    """Return the rows of a whole area, and of ways in it by the library where that is there."""
    terrain, workers = mountains(), on_threads(2)
    mast = standing(terrain, 36.92, -118.80, _MAST_M)
    circle = GroundCircle(middle=mast, radius_m=_RADIUS_M, n_rows=1000, n_columns=1000)
    waves = waves_of([_LINK], [0.0])

    def area(level: Level) -> Any:
        ears = ears_of([mast], terrain, _RADIUS_M, workers, FINE_STEP_DEG)
        return coverage_db(Listeners(ears, waves), terrain, circle, level, workers)[0]

    low_s = best_s(lambda: area(Level(agl_m=_AGL_M)), 3)
    high_s = best_s(lambda: area(Level(amsl_m=26e3)), 3)
    found = area(Level(agl_m=_AGL_M))
    per_cell_s = low_s / int(np.isfinite(found).sum())
    return [
        ("coverage of 1 000 x 1 000 cells, 300 m up", f"{low_s:.2f} s", "bar 10 s"),
        ("  26 km up", f"{high_s:.2f} s", "bar 10 s"),
        *_library_rows(terrain, mast, (circle, found), per_cell_s),
    ]


def _library_rows(
    terrain: Terrain, mast: Place, area: tuple[GroundCircle, Any], per_cell_s: float
) -> list[Row]:
    try:
        import pycraf
        from astropy import units as u
        from pycraf import pathprof
    except ImportError:
        return [("  against pycraf path by path", "skipped", "pycraf is not installed")]
    circle, found = area
    bare = coverage_db(_no_ground(terrain, mast), terrain, circle, Level(agl_m=_AGL_M))[0]
    lats, lons = circle.points_deg
    rng, apart, spent_s = np.random.default_rng(1), list[float](), 0.0
    fixed = {
        "freq": 2.37 * u.GHz, "temperature": 288.15 * u.K, "pressure": 1013.25 * u.hPa,
        "lon_t": mast.lon_deg * u.deg, "lat_t": mast.lat_deg * u.deg,
        "h_tg": _MAST_M * u.m, "h_rg": _AGL_M * u.m, "hprof_step": _STEP_M * u.m,
        "timepercent": 50 * u.percent, "version": 16,
        # the lapse of refractivity that makes the effective earth four thirds of the true one
        "delta_N": 39.25 / u.km, "N0": 325 * u.dimensionless_unscaled,
        "hprof_bearing": 0 * u.deg, "hprof_backbearing": 0 * u.deg,
    }  # fmt: skip
    while len(apart) < _N_PATHS:
        i, j = rng.integers(0, 1000, 2)
        if not np.isfinite(found[i, j]) or np.hypot(i - 500, j - 500) < 20:
            continue
        there = standing(terrain, lats[i, j], lons[i, j], _AGL_M)
        along = profile(terrain, mast, there, _STEP_M)
        began = time.perf_counter()
        way = pathprof.PathProp(
            lon_r=there.lon_deg * u.deg, lat_r=there.lat_deg * u.deg,
            hprof_dists=along.distance_m / 1000.0 * u.km, hprof_heights=along.ground_amsl_m * u.m,
            **fixed,
        )  # fmt: skip
        lost_db = pathprof.loss_diffraction(way)[0].value
        spent_s += time.perf_counter() - began
        apart.append(float(bare[i, j] - found[i, j]) - float(lost_db))
    per_path_s = spent_s / _N_PATHS
    middle, most = np.median(apart), np.percentile(np.abs(apart), 95)
    return [
        (
            f"  against pycraf {pycraf.__version__} path by path",
            f"{per_path_s / per_cell_s:,.0f} x",
            "bar 50 x",
        ),
        (
            "  ground's loss less that of pycraf",
            f"median {middle:+.1f}, 95 % {most:.1f} dB",
            f"same {_N_PATHS} ways",
        ),
    ]


def _no_ground(terrain: Terrain, mast: Place) -> Any:
    """Ears that see no ground, and waves."""
    ears = ears_of([mast], terrain, _RADIUS_M, on_threads(2), FINE_STEP_DEG)
    return Listeners(without_ground(ears), waves_of([_LINK], [0.0]))
