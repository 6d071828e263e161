"""Staged: a sortie in the world of its pack, ready to be asked by every command alike."""

from dataclasses import replace

import numpy as np

from farglide.chances.offsets import place_deg
from farglide.chances.stage import Stage, set_stage
from farglide.earth.state import Place
from farglide.rig.listening import listening_of
from farglide.sim.core.workers import Workers, in_one_go
from farglide.sim.reach.doors import Ways
from farglide.sortie.grain import Asked
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie


def staged(
    sortie: Sortie, pack: Pack, asked: Asked, workers: Workers = in_one_go
) -> tuple[Stage, Asked]:
    """Return the stage of a sortie in the air and over the ground of a pack, with its links.

    And what was asked for, its doubt about the winds as wide as the pack says.
    """
    asked = replace(asked, widening_ratio=max(asked.widening_ratio, pack.widening_ratio))
    stage = set_stage(sortie, pack.sounding, asked, workers)
    return replace(stage, listening=listening_of(sortie, pack.terrain, workers)), asked


def moment_at(stage: Stage, after_launch_s: float) -> int:
    """Return the index of a time on the climb's clock, stepped back to where a balloon flies."""
    last = stage.tracks.amsl_m.shape[1] - 1
    moment = int(min(after_launch_s / stage.tracks.step_s + 0.5, last))
    while moment > 0 and np.isnan(stage.tracks.amsl_m[:, moment]).all():
        moment -= 1
    return moment


def median_drift(stage: Stage, until_s: float) -> tuple[tuple[float, float], ...]:
    """Return where the median balloon is at every step until a moment."""
    steps = slice(0, _step_at(stage, until_s) + 1)
    north = np.nanmedian(stage.tracks.north_rad[:, steps], axis=0)
    east = np.nanmedian(stage.tracks.east_rad[:, steps], axis=0)
    return tuple(place_deg(stage, float(a), float(b)) for a, b in zip(north, east, strict=True))


def median_place(stage: Stage, after_launch_s: float) -> Place:
    """Return over which place the median balloon is at a moment."""
    j = _step_at(stage, after_launch_s)
    tracks = stage.tracks
    north, east = (float(np.nanmedian(one[:, j])) for one in (tracks.north_rad, tracks.east_rad))
    lat_deg, lon_deg = place_deg(stage, north, east)
    return Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=0.0)


def _step_at(stage: Stage, after_launch_s: float) -> int:
    last = int(stage.tracks.amsl_m.shape[1]) - 1
    return min(round(after_launch_s / stage.tracks.step_s), last)


def without_tables(stage: Stage) -> Stage:
    """Return the stage without its reach tables, 118 MB of a plan with 1 000 draws.

    For when every door of it is asked: asking once more is refused.
    """
    free, priced, price_mps = stage.ways
    free, priced = (way._replace(series=way.series[:0].copy()) for way in (free, priced))
    return replace(stage, ways=Ways(free, priced, price_mps))
