"""Launch area: the chances of home for launches elsewhere, by shifting the same draws."""

from typing import Final

import numpy as np

from farglide.arrays import FloatArray
from farglide.chances.bands import shut_s
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

    Drift hardly depends on where it starts: moving the launch up-drift moves home down-drift.
    """
    ensemble = base.ensemble
    if not ensemble.sortie.fields:
        return ()
    axis = drift_axis_rad(ensemble)
    spots = [(a, c) for c in _ACROSS_M for a in ALONG_M]
    north_m = np.array([a * np.cos(axis) - c * np.sin(axis) for a, c in spots])
    east_m = np.array([a * np.sin(axis) + c * np.cos(axis) for a, c in spots])
    rows = range(0, len(spots), len(ALONG_M))
    return tuple(
        spot
        for first in rows
        for spot in _spots(base, spots[first : first + len(ALONG_M)], (north_m, east_m), first)
    )


def _spots(
    base: Trial,
    spots: list[tuple[float, float]],
    offsets_m: tuple[FloatArray, FloatArray],
    first: int,
) -> list[LaunchSpot]:
    """Return some of the launches; all at once would need much room."""
    ensemble, some = base.ensemble, slice(first, first + len(spots))
    moved = _moved_home(ensemble, (offsets_m[0][some], offsets_m[1][some]))
    moments = base.chances.after_launch_s / ensemble.climbs.tracks.step_s
    chances = chances_of_climb(ensemble, moments.round().astype(np.int64)[::2], moved)
    burst_s = median_burst_s(ensemble)
    return [
        LaunchSpot(
            up_drift_m=along,
            across_m=across,
            chance_ratio=best_chance(ensemble, chances, i),
            shut_s=shut_s(chances, i, ensemble.sortie.wish, burst_s),
            release_by_after_launch_s=window_of(ensemble, chances, i).release_by_s,
        )
        for i, (along, across) in enumerate(spots)
    ]


def _moved_home(ensemble: Ensemble, offsets_m: tuple[FloatArray, FloatArray]) -> Goals:
    """Return home, moved as often as there are offsets north and east."""
    frame, home = ensemble.air.scene.frame, Goals(*(one[:1] for one in ensemble.goals))
    north = home.north_rad + offsets_m[0] / frame.meridian_m
    east = home.east_rad + offsets_m[1] / (frame.normal_m * frame.cosine)
    return Goals(
        north,
        east,
        np.full(len(north), home.ground_amsl_m[0]),
        np.full(len(north), home.arrival_amsl_m[0]),
        home.north_rad - north,
        home.east_rad - east,
    )


def best_chance(ensemble: Ensemble, chances: Chances, field: int) -> float:
    """Return the best chance of a field above the wanted height."""
    high = chances.amsl_m >= ensemble.sortie.wish.wanted_amsl_m
    return float(chances.chance_ratio[high, field].max()) if high.any() else 0.0


def drift_axis_rad(ensemble: Ensemble) -> float:
    """Return the direction of the median drift at the median burst, from north through east."""
    tracks = ensemble.climbs.tracks
    j = min(int(median_burst_s(ensemble) / tracks.step_s), tracks.amsl_m.shape[1] - 1)
    keep = ~np.isnan(tracks.amsl_m[:, j])
    north = float(np.median(tracks.north_rad[keep, j]))
    east = float(np.median(tracks.east_rad[keep, j])) * ensemble.air.scene.frame.cosine
    return float(np.arctan2(east, north))
