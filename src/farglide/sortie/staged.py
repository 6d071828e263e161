"""Staged: a sortie in the world of its pack, ready to be asked by every command alike."""

from dataclasses import replace

import numpy as np

from farglide.earth.state import wrapped_lon_deg
from farglide.sim.doors import Ways
from farglide.sim.workers import Workers, in_one_go
from farglide.sortie.asked import Asked
from farglide.sortie.listening import listening_of
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie
from farglide.sortie.stage import Stage, set_stage


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
    n = min(round(until_s / stage.tracks.step_s) + 1, stage.tracks.amsl_m.shape[1])
    launch = stage.sortie.launch
    north = np.degrees(np.nanmedian(stage.tracks.north_rad[:, :n], axis=0))
    east = np.degrees(np.nanmedian(stage.tracks.east_rad[:, :n], axis=0))
    return tuple(
        (launch.lat_deg + float(a), wrapped_lon_deg(launch.lon_deg + float(b)))
        for a, b in zip(north, east, strict=True)
    )


def without_tables(stage: Stage) -> Stage:
    """Return the stage without its reach tables, 118 MB of a plan with 1 000 draws.

    For when every door of it is asked: asking once more is refused.
    """
    free, priced, price_mps = stage.ways
    free, priced = (way._replace(series=way.series[:0].copy()) for way in (free, priced))
    return replace(stage, ways=Ways(free, priced, price_mps))
