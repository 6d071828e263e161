"""Launch area: the chances of home for launches elsewhere, by shifting the same draws."""

from typing import Final

import numpy as np

from farglide.arrays import FloatArray
from farglide.chances.bands import shut_s
from farglide.chances.case import median_offset
from farglide.chances.chances import Chances, chances_of_climb
from farglide.chances.ensemble import Ensemble
from farglide.chances.trial import Trial, median_burst_s
from farglide.chances.window import window_of
from farglide.outlook.changes import LaunchSpot
from farglide.sim.core.release import Goals

ALONG_M: Final = tuple(10_000.0 * i for i in range(-2, 11))
_ACROSS_M: Final = (-20_000.0, -10_000.0, 0.0, 10_000.0, 20_000.0)


def launch_spots(base: Trial) -> tuple[LaunchSpot, ...]:
    """Return the chance of home for launches up-drift and across.

    Drift hardly depends on where it starts: moving the launch up-drift moves home down-drift. One
    row across is asked after the other: all at once would need much room.
    """
    if not base.ensemble.sortie.fields:
        return ()
    return tuple(spot for across_m in _ACROSS_M for spot in _spots(base, across_m))


def _spots(base: Trial, across_m: float) -> list[LaunchSpot]:
    """Return the launches of a row along the drift."""
    ensemble, axis = base.ensemble, drift_axis_rad(base.ensemble)
    along_m = np.array(ALONG_M)
    north_m = along_m * np.cos(axis) - across_m * np.sin(axis)
    east_m = along_m * np.sin(axis) + across_m * np.cos(axis)
    moments = ensemble.climbs.moments_at(base.chances.after_launch_s)[::2]
    chances = chances_of_climb(ensemble, moments, _moved_home(ensemble, north_m, east_m))
    burst_s = median_burst_s(ensemble)
    return [
        LaunchSpot(
            up_drift_m=along,
            across_m=across_m,
            chance_ratio=best_chance(ensemble, chances, i),
            shut_s=shut_s(chances, i, ensemble.sortie.wish, burst_s),
            release_by_after_launch_s=window_of(ensemble, chances, i).release_by_s,
        )
        for i, along in enumerate(ALONG_M)
    ]


def _moved_home(ensemble: Ensemble, north_m: FloatArray, east_m: FloatArray) -> Goals:
    """Return home, moved as often as there are ways north and east."""
    frame, home = ensemble.air.scene.frame, Goals(*(one[:1] for one in ensemble.goals))
    north = home.north_rad + north_m / frame.meridian_m
    east = home.east_rad + east_m / (frame.normal_m * frame.cosine)
    ground, arrival = (
        np.full(len(north), one[0]) for one in (home.ground_amsl_m, home.arrival_amsl_m)
    )
    return Goals(north, east, ground, arrival, home.north_rad - north, home.east_rad - east)


def best_chance(ensemble: Ensemble, chances: Chances, field: int) -> float:
    """Return the best chance of a field above the wanted height."""
    high = chances.amsl_m >= ensemble.sortie.wish.wanted_amsl_m
    return float(chances.chance_ratio[high, field].max()) if high.any() else 0.0


def drift_axis_rad(ensemble: Ensemble) -> float:
    """Return the direction of the median drift at the median burst, from north through east."""
    tracks = ensemble.climbs.tracks
    j = min(int(median_burst_s(ensemble) / tracks.step_s), tracks.amsl_m.shape[1] - 1)
    north, east = median_offset(ensemble, j)
    return float(np.arctan2(east * ensemble.air.scene.frame.cosine, north))
