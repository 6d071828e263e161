"""farglide compare: which day, from where, with how much gas, out of files to the order of them."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from farglide.air.sounding import Sounding
from farglide.cli.answers import document_text
from farglide.cli.inputs import Wanted, flight_and_pack, refuse_payload
from farglide.cli.outfiles import check_out, write_texts
from farglide.cli.warm import Ready
from farglide.compute import on_threads
from farglide.earth.clock import local_datetime, seconds_from_text
from farglide.errors import InputError, check_range
from farglide.outlook.season import SeasonOutlook
from farglide.packfile.grids import FORECAST, MEMBERS
from farglide.packfile.packfile import open_pack
from farglide.plan.planned import Progress
from farglide.plan.polarfit import with_fitted_polar
from farglide.present.draw.maps.season_layer import season_geojson
from farglide.present.say.seasonrows import season_csv
from farglide.report.season import render_season
from farglide.season.cluster import on_cluster
from farglide.season.compared import Choice, compared
from farglide.season.executors import Doing, here, in_processes
from farglide.season.ground import Needs
from farglide.season.places import Lattice
from farglide.season.times import Span, launch_times
from farglide.season.world import GridWinds, OneColumn, Winds, World
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Launch

SHEET: Final = "compare.html"
TABLE: Final = "compare.csv"
DOCUMENT: Final = "compare.json"
LAYER: Final = "compare.geojson"
_HOUR_S: Final = 3600.0
_ROUND_S: Final = 6.0 * _HOUR_S
"""So long before and after the stated launch winds of one place are asked."""
_FLIGHT_S: Final = 3.0 * _HOUR_S
"""A launch so near to the last time of a forecast is not asked by itself: its way home has none."""
_MOST_NECKS: Final = 6
_MOST_PROCESSES: Final = 64


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """What the command line says of the launches to be compared."""

    begin: str | None
    end: str | None
    every_min: float
    spacing_km: float
    within_km: float
    walk_m: float
    necks_kg: tuple[float, ...]
    processes: int = 0
    cluster: str | None = None


def compare(
    wanted: Wanted, typed: Typed, grain: Grain, progress: Progress, ready: Ready
) -> SeasonOutlook:
    """Return launches compared as a command line asks, and write sheet, table and layer."""
    check_out(wanted.out)
    _check(typed)
    flight, pack = flight_and_pack(wanted)
    refuse_payload(flight, "compare")
    winds = _winds(wanted, pack.sounding)
    launch = flight.sortie.launch
    choice = Choice(
        times_s=launch_times(_span(typed, winds, launch, wanted.now_t_s), launch),
        lattice=_lattice(typed),
        necks_kg=typed.necks_kg,
        grain=grain,
    )
    ready()
    world = World(flight=with_fitted_polar(flight), winds=winds, terrain=pack.terrain)
    found = compared(world, choice, _doing(typed), lambda n, of: progress(_told(n, of)))
    if wanted.out is not None:
        write_texts(dict(_texts(found)), wanted.out)
    return found


def _check(typed: Typed) -> None:
    check_range("--every", typed.every_min, "min", (10.0, 1440.0), "120 is every two hours.")
    check_range("--spacing-km", typed.spacing_km, "km", (5.0, 200.0), "25 lays 32 spots in 80 km.")
    check_range("--within-km", typed.within_km, "km", (0.0, 300.0), "0 compares named spots alone.")
    check_range("--walk-m", typed.walk_m, "m", (100.0, 10_000.0), "From the road to the launch.")
    check_range("--processes", typed.processes, "", (0, _MOST_PROCESSES), "0 stays in this one.")
    if typed.cluster is not None and typed.processes:
        remedy = "Give one of them: a cluster has processes of its own."
        raise InputError("--cluster", typed.cluster, "no --processes beside it", remedy)
    if len(typed.necks_kg) > _MOST_NECKS:
        raise InputError("--neck", len(typed.necks_kg), f"up to {_MOST_NECKS} of them")
    for one in typed.necks_kg:
        check_range("--neck", one, "kg", (0.1, 15.0), "It is the lift at the neck, in kilograms.")


def _winds(wanted: Wanted, sounding: Sounding) -> Winds:
    """Return the winds of a pack's forecast, else those of the one sounding or file."""
    if wanted.pack is not None and wanted.winds is None:
        grids = open_pack(wanted.pack).grids
        if FORECAST in grids:
            return GridWinds(grids[FORECAST], grids.get(MEMBERS))
    return OneColumn(sounding)


def _span(typed: Typed, winds: Winds, launch: Launch, now_t_s: float | None) -> Span:
    """Return from when to when launches are asked: as typed, else as far as the winds are told."""
    first_s, last_s = launch.t_s - _ROUND_S, launch.t_s + _ROUND_S
    if isinstance(winds, GridWinds):
        times_s = winds.forecast.times_s
        first_s, last_s = float(times_s[0]), float(times_s[-1]) - _FLIGHT_S
        if now_t_s is not None and first_s < now_t_s < last_s:
            first_s = now_t_s
    if typed.begin is not None:
        first_s = _day_s("--from", typed.begin, launch)
    if typed.end is not None:
        last_s = _day_s("--to", typed.end, launch, ends=True)
    if not first_s <= last_s:
        raise InputError("--to", repr(typed.end or typed.begin), "a day not before the first")
    return Span(first_s, last_s, 60.0 * typed.every_min)


def _day_s(option: str, text: str, launch: Launch, *, ends: bool = False) -> float:
    """Return a day, from its begin or to its end, or a moment with its zone, as UTC seconds."""
    if len(text) != len("2027-01-23"):
        try:
            return seconds_from_text(text)
        except InputError as error:
            raise InputError(option, repr(text), f"a day, or {error.allowed}") from None
    clock = "23:59" if ends else "00:00"
    try:
        begun_s = seconds_from_text(f"{text}T{clock}Z")
    except InputError:
        raise InputError(option, repr(text), "a day, such as 2027-01-23") from None
    offset = local_datetime(begun_s, launch.zone).utcoffset()
    return begun_s - (0.0 if offset is None else offset.total_seconds())


def _lattice(typed: Typed) -> Lattice | None:
    if typed.within_km <= 0.0:
        return None
    needs = Needs(walk_m=typed.walk_m)
    return Lattice(1000.0 * typed.spacing_km, 1000.0 * typed.within_km, needs)


def _doing(typed: Typed) -> Doing:
    if typed.cluster is not None:
        return on_cluster(typed.cluster)
    if typed.processes:
        return in_processes(typed.processes)
    return here(on_threads())


def _told(n: int, of: int) -> str:
    return f"comparing launches ({n} of {of})"


def _texts(found: SeasonOutlook) -> Iterator[tuple[str, str]]:
    yield SHEET, render_season(found)
    yield TABLE, season_csv(found)
    yield DOCUMENT, document_text(found) + "\n"
    yield LAYER, season_geojson(found)
