"""Barrier heights: from which height a barrier can be crossed, and from where one can turn back.

A glider on its way, level, at the edge first met: the commit height is the least from which the
field beyond is open, the turn-back height the least from which the field behind still is. They
count reach by height, over the arrival height and held down to the ground; links, packs and light
end a flight by themselves.
"""

from collections.abc import Collection
from dataclasses import replace
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import BoolArray, FloatArray, IntArray
from farglide.atlas.barriers import Barrier
from farglide.atlas.crossing import crossings_m
from farglide.atlas.outline import contains
from farglide.chances.case import Case
from farglide.chances.chances import reached
from farglide.chances.ensemble import Ensemble
from farglide.chances.spells import stretches
from farglide.earth.geodesy import destination, geodesic
from farglide.earth.state import Place, offset_rad, place_of
from farglide.outlook.barriers import BarrierWay, Needed, Station
from farglide.plan.home.glides import fitted
from farglide.sim.core.release import field_offset
from farglide.sim.core.states import GLIDING, States
from farglide.sim.core.step import Offset
from farglide.sim.core.tracks import Point, Trails
from farglide.sim.fly.glide import Way

STEP_M: Final = 25.0
_EVERY: Final = 4
"""Steps asked first; between two of them that answer differently all are asked."""
_LEAST_GAP_M: Final = 200.0


class _Trip(NamedTuple):
    """One way over a barrier: from where, at what azimuth, past which edges, to which fields."""

    case: Case
    barrier: Barrier
    start: str
    place: Place
    azimuth_deg: float
    edges_m: tuple[float, float]
    ahead: int
    near: list[int]


def barrier_ways(
    case: Case, start: str, place: Place, ends: Collection[int] | None = None
) -> tuple[BarrierWay, ...]:
    """Return the straight ways from a place to fields that cross a barrier.

    `start`: what the place is called; `ends`: which fields, all of them without.
    Fields inside a barrier are left out: they lie not beyond it.
    """
    fields = [place_of(one) for one in case.sortie.fields]
    found = []
    for barrier in case.sortie.barriers:
        outside = [i for i, end in enumerate(fields) if not _is_inside(barrier, end)]
        edges = {i: _edges_m(barrier, place, fields[i]) for i in outside}
        near = [i for i in outside if not edges[i]]
        for i, edges_m in edges.items():
            if edges_m is not None and (ends is None or i in ends):
                azimuth_deg = geodesic(place, fields[i]).azimuth_deg
                trip = _Trip(case, barrier, start, place, azimuth_deg, edges_m, i, near)
                found.append(_way(trip))
    return tuple(found)


def _way(trip: _Trip) -> BarrierWay:
    first_m, last_m = trip.edges_m
    along_m = (first_m, (first_m + last_m) / 2.0, last_m)
    places = [destination(trip.place, trip.azimuth_deg, at_m) for at_m in along_m]
    needed = [needed_heights(trip.case, place) for place in places]
    by_height = {i: needed[0][i].amsl_m for i in trip.near if needed[0][i].amsl_m > 0.0}
    behind = min(by_height, key=lambda i: by_height[i]) if by_height else None
    first, middle, last = (
        Station(
            beyond_edge_m=geodesic(places[0], place).distance_m,
            lat_deg=place.lat_deg,
            lon_deg=place.lon_deg,
            ahead=one[trip.ahead],
            behind=None if behind is None else one[behind],
        )
        for place, one in zip(places, needed, strict=True)
    )
    sortie = trip.case.sortie
    return BarrierWay(
        barrier=trip.barrier.name,
        kind=trip.barrier.kind,
        start=trip.start,
        open_ratio=sortie.wish.open_ratio,
        ahead=sortie.fields[trip.ahead].name,
        behind="" if behind is None else sortie.fields[behind].name,
        stations=(first, middle, last),
        decision_s=_decision_s(trip, first, behind),
    )


def _decision_s(trip: _Trip, edge: Station, behind: int | None) -> float:
    """Return how long after the edge the field behind stays open to one who begins at commit."""
    commit_m = edge.ahead.amsl_m
    if behind is None or np.isnan(commit_m):
        return float("nan")
    plain = trip.case.plain
    goal = field_offset(plain.goals, trip.ahead)
    arrival_m = float(plain.goals.arrival_amsl_m[trip.ahead])
    begin = Offset(*offset_rad(trip.case.sortie.launch, edge.lat_deg, edge.lon_deg))
    flown = fitted(plain, Way(*goal, 0.0), Point(0.0, commit_m, *begin), arrival_m)
    at = Trails(flown.amsl_m, flown.north_rad, flown.east_rad)
    is_open = reach_ratio(trip.case.drawn, at)[:, behind] >= trip.case.sortie.wish.open_ratio
    n_open = len(is_open) if is_open.all() else int(np.argmin(is_open))
    return float(flown.after_s[n_open - 1]) if n_open else 0.0


def _is_inside(barrier: Barrier, place: Place) -> bool:
    return bool(contains(barrier.outline, np.array(place.lat_deg), np.array(place.lon_deg)))


def _edges_m(barrier: Barrier, start: Place, end: Place) -> tuple[float, float] | None:
    """Return where a way from a place to one outside first meets a barrier and last leaves it.

    From inside it meets it at once.
    """
    found = crossings_m(barrier.outline, start, end)
    if not found:
        return None
    return (0.0 if _is_inside(barrier, start) else found[0]), found[-1]


def needed_heights(case: Case, place: Place) -> tuple[Needed, ...]:
    """Return for each field the least height over a place from which it is open, to 25 m.

    Asked from the lowest arrival to where no speed fits any more.
    """
    layers, lowest_m = case.drawn.air.column.layers, case.drawn.goals.arrival_amsl_m.min()
    top_m = layers.base_amsl_m + layers.step_m * len(layers.rho_kgpm3)
    heights = np.arange(lowest_m, min(top_m, case.drawn.craft.ceiling_amsl_m), STEP_M)
    offset = Offset(*offset_rad(case.sortie.launch, place.lat_deg, place.lon_deg))
    likely, without = (_open_at(one, heights, offset) for one in (case.drawn, case.plain))
    found = []
    for is_open, plainly in zip(likely.T, without.T, strict=True):
        least_m = float(heights[np.argmax(plainly)]) if plainly.any() else float("nan")
        found.append(Needed(open_amsl_m=_stretches_m(heights, is_open), error_free_amsl_m=least_m))
    return tuple(found)


def _open_at(ensemble: Ensemble, heights: FloatArray, offset: Offset) -> BoolArray:
    """Tell at which heights over a place each field is open, (n_heights, n_fields).

    A stretch thinner than 100 m, open or shut, may be missed.
    """

    def asked(rows: IntArray) -> BoolArray:
        north, east = (np.full(len(rows), one) for one in offset)
        ratio = reach_ratio(ensemble, Trails(heights[rows], north, east))
        return np.asarray(ratio >= ensemble.sortie.wish.open_ratio)

    first = np.unique(np.append(np.arange(0, len(heights), _EVERY), len(heights) - 1))
    known = asked(first)
    is_open = known[np.searchsorted(first, np.arange(len(heights)), side="right") - 1]
    differs = np.flatnonzero((known[1:] != known[:-1]).any(axis=1))
    if len(differs):
        rows = np.concatenate([np.arange(first[k] + 1, first[k + 1]) for k in differs])
        is_open[rows] = asked(rows)
    return is_open


def reach_ratio(ensemble: Ensemble, at: Trails) -> FloatArray:
    """Return the share of draws in which a level glider at points can come down on each field.

    `at`: each (n_points,). Shape (n_points, n_fields); it is a matter of height alone, not of time.
    """
    n = len(ensemble.reach.haste.end_s)
    shape = (n, len(at.amsl_m))
    still, gliding = np.zeros(shape), np.full(shape, GLIDING, np.uint8)
    # copies: a view that may not be written to is another type to the kernels, compiled anew
    amsl_m, north, east = (np.array(np.broadcast_to(one, shape), order="C") for one in at)
    states = States(gliding, still, amsl_m, north, east, still)
    # An end before the begin: the doors then ask no table of times.
    spent = replace(ensemble.reach, haste=ensemble.reach.haste._replace(end_s=np.full(n, -1.0)))
    by_height, _ = reached(replace(ensemble, reach=spent), states, ensemble.goals)
    return np.asarray(by_height.mean(axis=0))


def _stretches_m(heights: FloatArray, is_open: BoolArray) -> tuple[tuple[float, float], ...]:
    """Return the open stretches, each from the first height that is to the first that is not."""
    ends = np.append(heights, np.inf)
    found: list[tuple[float, float]] = []
    for first, past in stretches(is_open):
        low, high = float(ends[first]), float(ends[past])
        if found and low - found[-1][1] < _LEAST_GAP_M:
            low = found.pop()[0]
        found.append((low, high))
    return tuple(found)
