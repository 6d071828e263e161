"""Place view: all that is known of a flight's places, and where to put it when no field is open."""

import math
from typing import Final

import numpy as np

from farglide.arrays import FloatArray, IntArray
from farglide.atlas.barriers import Places
from farglide.atlas.cells import Cells, Ground, cells_at, grid_of, scores
from farglide.atlas.fields import Field
from farglide.atlas.outline import area_m2, contains, line_distance_m
from farglide.atlas.terrain import Terrain, height_amsl_m, slope_deg
from farglide.chances.case import Case, median_drift, median_place, with_few_draws
from farglide.chances.chances import Chances
from farglide.chances.ensemble import Ensemble
from farglide.chances.heights import chances_by, rules_like
from farglide.earth.state import Placed, offsets_rad, place_of
from farglide.errors import InputError
from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.places import FieldView, Outlanding, Outlandings, PlaceView
from farglide.plan.charted import map_lines
from farglide.plan.places.barrier_heights import barrier_ways
from farglide.plan.planned import planned, settled
from farglide.rig.area import wide_area
from farglide.rig.groundgrid import ground_grid
from farglide.rig.listening import mast_of
from farglide.sim.core.release import Goals, goals_at
from farglide.sim.core.rule import Rules
from farglide.sim.core.workers import Workers, in_one_go
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie

_N_DRAWS: Final = 200
_N_RELIEF: Final = 200
N_PLACES: Final = 2
CELL_M: Final = 400.0
_APART_M: Final = 2000.0
_N_TRIED: Final = 400
"""Cells whose chance is asked: with 200 draws their tables take 0.14 GB."""
_MOST_BURST_RATIO: Final = 0.5


def see_places(flight: FlightFile, pack: Pack, workers: Workers = in_one_go) -> PlaceView:
    """Return what is known of a flight's places; at least one field is needed.

    The release is that of the plan; heights at barriers and places to come down otherwise are asked
    of the first of its draws.
    """
    if not flight.sortie.fields:
        raise InputError("fields", "none", "one or more, home first", "Write [[fields]].")
    flight = settled(flight, pack)
    sortie, terrain = flight.sortie, pack.terrain
    found = planned(sortie, pack, Grain(), workers)
    release = median_place(found.case.drawn, found.release_s)
    start = "the planned release" if found.decision else "the burst"
    few = with_few_draws(found.case, _N_DRAWS)
    drift = median_drift(found.case.drawn, found.release_s)
    placed: tuple[Placed, ...] = (sortie.launch, *sortie.fields, *sortie.stands)
    near = [*((one.lat_deg, one.lon_deg) for one in placed), *drift]
    return PlaceView(
        name=sortie.name,
        launch=sortie.launch,
        release_after_launch_s=found.release_s,
        release_planned=found.decision is not None,
        release=release,
        drift=drift,
        open_ratio=sortie.wish.open_ratio,
        arrival_agl_m=sortie.wish.arrival_agl_m,
        fields=tuple(_field(field, flight, terrain) for field in sortie.fields),
        ways=barrier_ways(few, start, release),
        otherwise=outlandings(few, found.chances),
        places=Places(fields=sortie.fields, barriers=sortie.barriers, landmarks=sortie.landmarks),
        stands=sortie.stands,
        lines=tuple(map_lines(sortie, sortie.launch)),
        relief=ground_grid(terrain, near, _N_RELIEF),
        ground=terrain.origin if terrain else "",
        notes=flight.notes,
    )


def _field(field: Field, flight: FlightFile, terrain: Terrain | None) -> FieldView:
    at = np.array([field.lat_deg]), np.array([field.lon_deg])
    place = place_of(field, 0.0)
    inside = (one.name for one in flight.sortie.barriers if contains(one.outline, *at)[0])
    return FieldView(
        field=field,
        ground_amsl_m=float(height_amsl_m(terrain, *at)[0]) if terrain else math.nan,
        slope_deg=slope_deg(terrain, place) if terrain else math.nan,
        area_m2=None if field.outline is None else area_m2(field.outline),
        inside=next(inside, ""),
    )


def outlandings(case: Case, chances: Chances) -> Outlandings:
    """Return the best places to come down at the minute of the climb with the least open field.

    `chances`: on every moment of the climb. The flight without errors sorts out what is far out of
    reach. Only what is open by the chance of
    the flight file comes back, at most two, 2 km or more apart. Without terrain nothing is known to
    be flat, so nothing is offered.
    """
    ensemble, wanted_ratio = case.drawn, case.sortie.wish.open_ratio
    j = _worst(chances, wanted_ratio)
    rules = rules_like(chances, np.array([j]))
    ground = _ground(case.sortie, case.terrain)
    best: tuple[Outlanding, ...] = ()
    if case.terrain is not None:
        cells, score = _candidates(case.plain, ground, rules)
        chance = chances_by(ensemble, rules, _goals(ensemble, cells)).open_ratio[0]
        best = _best(cells, score, np.where(chance >= wanted_ratio, chance, 0.0))
    return Outlandings(
        after_launch_s=float(chances.after_launch_s[j]),
        amsl_m=float(chances.amsl_m[j]),
        any_open_ratio=float(chances.any_open_ratio[j]),
        places=best,
        knows_ground=case.terrain is not None,
        knows_roads=_knows_roads(ground),
        n_stands=len(ground.stands),
    )


def _worst(chances: Chances, open_ratio: float) -> int:
    """Return the moment with the least chance, from the first open field to the middle burst."""
    n = max(int((chances.burst_ratio < _MOST_BURST_RATIO).sum()), 1)
    chance = chances.any_open_ratio[:n]
    is_open = chance >= open_ratio
    first = int(np.argmax(is_open)) if is_open.any() else n - 1
    return first + int(np.argmin(chance[first:]))


def _ground(sortie: Sortie, terrain: Terrain | None) -> Ground:
    """Return what is known of the ground; antennas only where its height is."""
    masts = []
    for stand in sortie.stands:
        at = np.array(stand.lat_deg), np.array(stand.lon_deg)
        if terrain and not np.isnan(height_amsl_m(terrain, *at)):
            masts.append(mast_of(stand, terrain))
    return Ground(
        terrain=terrain, barriers=sortie.barriers, landmarks=sortie.landmarks, stands=masts
    )


def _knows_roads(ground: Ground) -> bool:
    return any(one.kind == "road" for one in ground.landmarks)


def _candidates(plain: Ensemble, ground: Ground, rules: Rules) -> tuple[Cells, FloatArray]:
    """Return the best cells that a flight without errors reaches, and their scores."""
    lat, lon = grid_of(wide_area(plain.sortie), _step_m(plain.sortie))
    cells = cells_at(ground, lat, lon)
    score = scores(cells, _knows_roads(ground), bool(ground.stands))
    cells, score = _picked(cells, score, np.flatnonzero(score > 0.0))
    reached = chances_by(plain, rules, _goals(plain, cells)).open_ratio[0] > 0.0
    cells, score = _picked(cells, score, np.flatnonzero(reached))
    return _picked(cells, score, _spread(cells, score, _N_TRIED, CELL_M))


def _step_m(sortie: Sortie) -> float:
    """Return the side of the cells: longer where the area is so wide that they were too many."""
    area = wide_area(sortie)
    for step_m in (CELL_M, 2.0 * CELL_M, 4.0 * CELL_M, 8.0 * CELL_M):
        try:
            grid_of(area, step_m)
        except InputError:
            continue
        return step_m
    return 5000.0


def _goals(ensemble: Ensemble, cells: Cells) -> Goals:
    """Return cells as goals; one below all fields stands at the bottom of the air column."""
    sortie, base_m = ensemble.sortie, ensemble.air.column.layers.base_amsl_m
    offsets = offsets_rad(sortie.launch, cells.lat_deg, cells.lon_deg)
    return goals_at(*offsets, np.maximum(cells.amsl_m, base_m), sortie.wish.arrival_agl_m)


def _picked(cells: Cells, score: FloatArray, rows: IntArray) -> tuple[Cells, FloatArray]:
    return Cells._make(column[rows] for column in cells), score[rows]


def _spread(cells: Cells, score: FloatArray, n: int, apart_m: float) -> IntArray:
    """Return the n best cells, best first, none of them near a better one."""
    found: list[int] = []
    left = np.where(score > 0.0, score, -1.0)
    while len(found) < n and (left > 0.0).any():
        i = int(np.argmax(left))
        found.append(i)
        here = ((float(cells.lat_deg[i]), float(cells.lon_deg[i])),)
        left[line_distance_m(here, cells.lat_deg, cells.lon_deg) < apart_m] = -1.0
    return np.array(found, dtype=np.int64)


def _best(cells: Cells, score: FloatArray, chance: FloatArray) -> tuple[Outlanding, ...]:
    return tuple(
        Outlanding(
            lat_deg=float(cells.lat_deg[i]),
            lon_deg=float(cells.lon_deg[i]),
            amsl_m=float(cells.amsl_m[i]),
            slope_deg=float(cells.slope_deg[i]),
            road_m=float(cells.road_m[i]),
            n_seen_by=int(cells.seen[i]),
            open_ratio=float(chance[i]),
            score_ratio=float(score[i]),
        )
        for i in _spread(cells, score * chance, N_PLACES, _APART_M).tolist()
    )
