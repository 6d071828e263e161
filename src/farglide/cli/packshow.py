"""farglide pack show: what a pack holds, how old it is, what is missing, when to fetch again."""

from collections.abc import Iterator
from math import isfinite
from pathlib import Path
from typing import Final

import numpy as np

from farglide.air.gridcolumn import sounding_over
from farglide.air.sounding import Sounding
from farglide.cli.inputs import named_flight
from farglide.earth.clock import day_clock_text
from farglide.earth.state import place_of
from farglide.errors import SourceError
from farglide.outlook.packview import PackOutlook, PackPart, PackWinds
from farglide.packfile.grids import FORECAST, MEMBERS, StoredGrid, grid_between
from farglide.packfile.manifest import FLIGHT, read_manifest
from farglide.packfile.packfile import Opened, open_pack
from farglide.packfile.parts import State, standing, states_of
from farglide.season.early import DELAY_S
from farglide.sortie.spec import Launch, Sortie

_CYCLE_S: Final = 6.0 * 3600.0
"""A weather service begins a global forecast so often: common practice, no source."""
_FLIGHT_S: Final = 3.0 * 3600.0
_WIDE_S: Final = 6.0 * 3600.0
"""Between two times of a forecast farther apart than this hardly anything is known."""


def pack_shown(folder: Path, now_t_s: float, *, verify: bool = False) -> PackOutlook:
    """Return what a pack holds; raise `SourceError` where it is none, or damaged.

    Small parts are read and held against their checksums, the values of grids only if `verify`.
    """
    where = standing(folder)
    opened = open_pack(folder)
    parts = tuple(_parts(where, verify=verify))
    changed = [one.name for one in parts if one.state == State.CHANGED.value]
    if damaged := [one for one in changed if one != FLIGHT]:  # which a person may edit
        what = f"is damaged: {', '.join(damaged)} changed since it was gathered."
        raise SourceError(str(folder), "", what, "Gather it again, into another folder.")
    sortie = named_flight(None, folder, opened).sortie
    winds = tuple(_winds(opened, sortie.launch))
    return PackOutlook(
        folder=str(folder),
        flight=sortie.name,
        launch_t_s=sortie.launch.t_s,
        zone=sortie.launch.zone,
        looked_t_s=now_t_s,
        parts=parts,
        winds=winds,
        newer_t_s=None if winds[0].run_t_s is None else winds[0].run_t_s + _CYCLE_S + DELAY_S,
        missing=(*opened.notes, *_missing(sortie, winds, opened)),
        is_verified=verify,
    )


def _parts(where: Path, *, verify: bool) -> Iterator[PackPart]:
    states = states_of(where, read_manifest(where), all_read=verify)
    for name, state in sorted(states.items()):
        read = verify or not name.endswith(".npy")
        yield PackPart(
            name=name,
            n_bytes=(where / name).stat().st_size,
            state=state.value if read else "there, not read",
        )


def _winds(opened: Opened, launch: Launch) -> Iterator[PackWinds]:
    """Yield the winds by which the flight is planned, then the members."""
    grids = opened.grids
    if FORECAST not in grids:
        yield _of_sounding(opened.pack.sounding)
        return
    yield _of_grid("forecast", grids[FORECAST], _top_m(grids[FORECAST], launch))
    if MEMBERS in grids:
        yield _of_grid("members", grids[MEMBERS], None)


def _of_sounding(air: Sounding) -> PackWinds:
    valid = air.t_s if isfinite(air.t_s) else None
    return PackWinds(
        what="winds of one place", origin=air.origin, licence="", attribution="",
        run_t_s=air.run_t_s if isfinite(air.run_t_s) else None, first_t_s=valid, last_t_s=valid,
        n_times=1, n_levels=len(air.p_pa), n_members=1, top_p_pa=float(air.p_pa[-1]),
        top_amsl_m=float(air.gph_m[-1]), south_deg=None, north_deg=None, west_deg=None,
        east_deg=None,
    )  # fmt: skip


def _of_grid(what: str, grid: StoredGrid, top_m: float | None) -> PackWinds:
    said = grid.described
    lat, lon, run_s = said["lat_deg"], said["lon_deg"], float(said["run_t_s"])
    return PackWinds(
        what=what, origin=said["origin"], licence=said["licence"],
        attribution=said["attribution"], run_t_s=run_s if isfinite(run_s) else None,
        first_t_s=float(grid.times_s[0]), last_t_s=float(grid.times_s[-1]),
        n_times=len(grid.times_s), n_levels=len(said["p_pa"]), n_members=len(said["members"]),
        top_p_pa=float(said["p_pa"][-1]), top_amsl_m=top_m, south_deg=float(lat[0]),
        north_deg=float(lat[-1]), west_deg=float(lon[0]), east_deg=float(lon[-1]),
    )  # fmt: skip


def _top_m(grid: StoredGrid, launch: Launch) -> float | None:
    """Return how high the winds over a launch reach, metres of geopotential height."""
    said, times_s = grid.described, grid.times_s
    lat, lon = said["lat_deg"], said["lon_deg"]
    if not (lat[0] <= launch.lat_deg <= lat[-1] and lon[0] <= launch.lon_deg <= lon[-1]):
        return None
    near_s = float(times_s[int(np.abs(times_s - launch.t_s).argmin())])
    over = sounding_over(grid_between(grid, near_s, near_s), place_of(launch), near_s)
    return float(over.gph_m[-1])


def _missing(sortie: Sortie, winds: tuple[PackWinds, ...], opened: Opened) -> Iterator[str]:
    """Yield what a flight wants that the pack does not hold."""
    first, launch = winds[0], sortie.launch
    yield from _times_missing(first, opened.grids.get(FORECAST), launch)
    if first.what == "forecast" and first.top_amsl_m is None:
        yield "The launch lies outside the area of the forecast: gather it again."
    wanted_m = sortie.wish.wanted_amsl_m
    if first.top_amsl_m is not None and first.top_amsl_m < wanted_m:
        yield (
            f"The winds end at {first.top_amsl_m / 1e3:.1f} km, below the height wished for, "
            f"{wanted_m / 1e3:.0f} km."
        )
    if first.what == "forecast" and len(winds) == 1:
        yield "No members of an ensemble: the doubt is that of all days. Fetch some: --members 20."
    if len(winds) > 1 and winds[1].run_t_s != first.run_t_s:
        yield "The members are of another run than the winds."
    if sortie.terrain is None:
        yield "No [terrain]: flat ground is taken under the links. Fetch it: --terrain."


def _times_missing(winds: PackWinds, grid: StoredGrid | None, launch: Launch) -> Iterator[str]:
    if grid is None or winds.first_t_s is None or winds.last_t_s is None:
        return
    begin_s, end_s, zone = launch.t_s, launch.t_s + _FLIGHT_S, launch.zone
    if begin_s < winds.first_t_s:
        yield f"The launch is before the first winds, {day_clock_text(winds.first_t_s, zone)}."
    if end_s > winds.last_t_s:
        last = day_clock_text(winds.last_t_s, zone)
        yield f"From {last} on the last winds are held, with more doubt: a flight may last longer."
    inside = grid.times_s[(grid.times_s > begin_s - _WIDE_S) & (grid.times_s < end_s + _WIDE_S)]
    if len(inside) > 1 and float(np.diff(inside).max()) > _WIDE_S:
        yield "Times of the forecast are missing around the flight: in between it is interpolated."
