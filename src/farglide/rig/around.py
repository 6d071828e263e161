"""Around: the forecast round a launch, as the kernels read it beside the column over the launch."""

from dataclasses import replace
from typing import Any, Final

import numpy as np

from farglide.air.gridlayers import layer_winds
from farglide.air.windgrid import FIELDS, WindGrid
from farglide.arrays import BoolArray, FloatArray, SingleArray
from farglide.constants import MEAN_EARTH_RADIUS_M
from farglide.errors import InputError
from farglide.sim.core.cube import Cube
from farglide.sim.core.tracks import Burst, Tracks
from farglide.sortie.spec import Launch

NEAR_M: Final = 400_000.0
"""So far round the launch winds are held ready: a climb in a strong jet, and the way back."""
_SAME_S: Final = 1.0
_WIDER: Final = "Gather a forecast of a wider area."


def cube_of(grid: WindGrid, launch: Launch, edges_amsl_m: FloatArray, until_s: float) -> Cube:
    """Return how winds differ from those over the launch when it flies, to `until_s` after that.

    They are those of the first member over the launch, as its column has them. Times are laid as
    evenly as the closest of the forecast: linear in between, they stay the same winds. Before the
    first and after the last time these hold. Raises InputError where the launch is not inside.
    """
    if not grid.holds(launch.lat_deg, launch.lon_deg):
        given = f"{launch.lat_deg:g}, {launch.lon_deg:g}"
        lat, lon = grid.lat_deg, grid.lon_deg
        allowed = f"{lat[0]:g} to {lat[-1]:g}° north, {lon[0]:g} to {lon[-1]:g}° east"
        raise InputError("launch", given, allowed, "Gather a forecast that covers the launch.")
    near = _near(grid, launch, until_s)
    times_s = near.times_s - launch.t_s
    north_deg, east_deg = near.lat_deg - launch.lat_deg, near.lon_deg
    winds, step_s = _evenly(layer_winds(near, edges_amsl_m), times_s)
    whole = Cube(
        first_s=float(times_s[0]),
        step_s=step_s,
        south_rad=float(np.radians(north_deg[0])),
        step_north_rad=float(np.radians(np.ptp(north_deg)) / (len(north_deg) - 1)),
        west_rad=float(np.radians(east_deg[0])),
        step_east_rad=float(np.radians(np.ptp(east_deg)) / (len(east_deg) - 1)),
        apart_mps=winds,
    )
    return whole._replace(apart_mps=winds - _over_launch(whole))


def check_inside(cube: Cube, tracks: Tracks, burst: Burst) -> None:
    """Raise InputError where a balloon drifts out of the forecast before it bursts.

    Beyond its sides no wind is known: that of the rim would be taken without a word.
    """
    n_rows, n_columns = cube.apart_mps.shape[2:4]
    if not len(cube.apart_mps) or not tracks.amsl_m.size:
        return
    clock_s = tracks.step_s * np.arange(tracks.amsl_m.shape[1])
    whole = ~(clock_s[None, :] > burst.after_launch_s[:, None])
    for rows, (first, step, n), names in (
        (tracks.north_rad, (cube.south_rad, cube.step_north_rad, n_rows), ("south", "north")),
        (tracks.east_rad, (cube.west_rad, cube.step_east_rad, n_columns), ("west", "east")),
    ):
        flown = rows[whole & np.isfinite(rows)]
        for name, over in zip(names, (first - flown.min(), flown.max() - first - step * (n - 1)),
                              strict=True):  # fmt: skip
            if over > 0.0:
                out_km = over * MEAN_EARTH_RADIUS_M / 1e3
                given = f"{out_km:.0f} km past the {name}ern side of the forecast"
                raise InputError("a balloon's drift", given, "inside it", _WIDER)


def _near(grid: WindGrid, launch: Launch, until_s: float) -> WindGrid:
    """Return the part of a forecast round a launch, its longitudes counted from there."""
    near_deg = np.degrees(NEAR_M / MEAN_EARTH_RADIUS_M)
    stretch = max(np.cos(np.radians(launch.lat_deg)), 0.05)
    east_deg = (grid.lon_deg - launch.lon_deg + 180.0) % 360.0 - 180.0
    columns = np.argsort(east_deg)
    columns = columns[_round(east_deg[columns], near_deg / stretch)]
    rows = np.flatnonzero(_round(grid.lat_deg - launch.lat_deg, near_deg))
    after_s = grid.times_s - launch.t_s
    first = max(int(np.searchsorted(after_s, 0.0, side="right")) - 1, 0)
    times = np.arange(first, min(int(np.searchsorted(after_s, until_s)) + 1, len(after_s)))
    at = np.ix_(np.arange(len(grid.members)), times, np.arange(len(grid.p_pa)), rows, columns)
    parts: dict[str, Any] = {
        name: one[at] for name in FIELDS if (one := getattr(grid, name)) is not None
    }
    parts |= {"times_s": grid.times_s[times], "lat_deg": grid.lat_deg[rows]}
    return replace(grid, lon_deg=east_deg[columns], **parts)


def _round(offsets: FloatArray, within: float) -> BoolArray:
    """Tell which rising offsets lie within a distance of 0, and one more on either side."""
    first, last = np.searchsorted(offsets, [-within, within])
    found = np.zeros(len(offsets), np.bool_)
    found[max(first - 1, 0) : last + 1] = True
    return found


def _evenly(winds: SingleArray, times_s: FloatArray) -> tuple[SingleArray, float]:
    """Return winds at even times, as close as the closest two, and how far these are apart."""
    if len(times_s) == 1:
        return winds, 1.0
    step_s = float(np.diff(times_s).min())
    even_s = np.arange(times_s[0], times_s[-1] + step_s - _SAME_S, step_s)
    if len(even_s) == len(times_s):
        return winds, step_s
    after = np.clip(np.searchsorted(times_s, even_s), 1, len(times_s) - 1)
    share = (even_s - times_s[after - 1]) / (times_s[after] - times_s[after - 1])
    later = np.clip(share, 0.0, 1.0).astype(np.float32)[:, None, None, None, None]
    return winds[:, after - 1] + later * (winds[:, after] - winds[:, after - 1]), step_s


def _over_launch(cube: Cube) -> SingleArray:
    """Return the winds of the first member over the launch, (n_layers, 2)."""
    winds = cube.apart_mps[0]
    for zero in (-cube.first_s / cube.step_s, -cube.south_rad / cube.step_north_rad,
                 -cube.west_rad / cube.step_east_rad):  # fmt: skip
        held = float(np.clip(zero, 0.0, len(winds) - 1.0))
        i = min(int(held), max(len(winds) - 2, 0))
        j = min(i + 1, len(winds) - 1)
        winds = winds[i] + np.float32(held - i) * (winds[j] - winds[i])
    return np.asarray(winds)
