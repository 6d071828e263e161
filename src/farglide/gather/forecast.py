"""Forecast: the winds round a launch, out of files of a forecast over an area."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final, NamedTuple

import numpy as np

from farglide.air.gridcolumn import sounding_over
from farglide.air.sounding import Sounding
from farglide.air.windgrid import WindGrid, mean_of_members
from farglide.constants import MEAN_EARTH_RADIUS_M
from farglide.earth.box import Box
from farglide.earth.state import place_of, wrapped_lon_deg
from farglide.errors import UncoveredError
from farglide.rig.around import NEAR_M
from farglide.rig.members import LEAST_MEMBERS
from farglide.rig.profile import LONGEST_S
from farglide.sortie.spec import Launch, Sortie
from farglide.sources.grids.grids import read_wind_grid
from farglide.sources.grids.wanted import Wanted

_AWAY_M: Final = (NEAR_M, 0.5 * NEAR_M, 0.25 * NEAR_M, 1000.0)
"""How far round the launch winds are taken: the first of these that the files cover."""


class Whose(NamedTuple):
    """Whose a forecast is, to be named wherever it is used, and on which terms it may be."""

    attribution: str = ""
    licence: str = ""


NOBODYS: Final = Whose()


@dataclass(frozen=True, slots=True, kw_only=True)
class Files:
    """The files of a forecast, of the members of an ensemble if there are any, and for how long.

    `days`: how many are read, the flight's own the first.
    """

    winds: Sequence[Path]
    members: Sequence[Path] = ()
    days: int = 1
    whose: Whose = NOBODYS


def gather_forecast(sortie: Sortie, files: Files) -> Sounding:
    """Return the air over the launch out of a forecast, and with it what lies around and later.

    A forecast of several members is taken as their mean, and five or more of them as what the winds
    may be off by, as are the files of an ensemble. Raises `SourceError` where the files do not
    cover the launch.
    """
    told = _read(sortie.launch, files.winds, files.days)
    grid = replace(mean_of_members(told), **files.whose._asdict())
    spread = _read(sortie.launch, files.members, files.days) if files.members else told
    over = sounding_over(grid, place_of(sortie.launch), sortie.launch.t_s)
    over, n = replace(over, around=grid), len(spread.members)
    if n >= LEAST_MEMBERS:
        return replace(over, members=spread)
    if not files.members:
        return over
    few = f"{n} members tell too little of what the winds may be off by: {LEAST_MEMBERS} would."
    return replace(over, notes=(*over.notes, few))


def _read(launch: Launch, files: Sequence[Path], days: int) -> WindGrid:
    times_s = launch.t_s, launch.t_s + 86_400.0 * (days - 1) + LONGEST_S
    *wide, least = (Wanted(box=_round(launch, away_m), times_s=times_s) for away_m in _AWAY_M)
    for wanted in wide:
        try:
            return read_wind_grid(files, wanted)
        except UncoveredError:
            continue  # then nearer by; the last try says which side is missing
    return read_wind_grid(files, least)


def _round(launch: Launch, away_m: float) -> Box:
    """Return the box that reaches so far from a launch."""
    north_deg = float(np.degrees(away_m / MEAN_EARTH_RADIUS_M))
    east_deg = min(north_deg / max(np.cos(np.radians(launch.lat_deg)), 0.05), 44.0)
    return Box(
        south_deg=max(launch.lat_deg - north_deg, -90.0),
        west_deg=wrapped_lon_deg(launch.lon_deg - east_deg),
        north_deg=min(launch.lat_deg + north_deg, 90.0),
        east_deg=wrapped_lon_deg(launch.lon_deg + east_deg),
    )
