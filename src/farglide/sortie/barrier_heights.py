"""Barrier heights: from which height a barrier can be crossed, and from where one can turn back.

A glider on its way, level, at the edge first met: the commit height is the least from which the
field beyond is open, the turn-back height the least from which the field behind still is. They
count reach by height, over the arrival height and held down to the ground; links, packs and light
end a flight by themselves.
"""

from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from farglide.atlas.barriers import Barrier
from farglide.atlas.crossing import crossings_m
from farglide.atlas.outline import contains
from farglide.earth.geodesy import destination, geodesic
from farglide.earth.state import Place
from farglide.sim.doors import REACHED, doors, floors_of
from farglide.sim.losses import Losses
from farglide.sim.passage import Way, aim
from farglide.sim.step import apart_m
from farglide.sortie.glides import fitted
from farglide.sortie.stage import Stage

FloatArray = NDArray[np.float64]

STEP_M: Final = 25.0
_LEAST_GAP_M: Final = 200.0
_NO_LOSS: Final = 1e-6  # the law of losses divides them by one another


@dataclass(frozen=True, slots=True, kw_only=True)
class Needed:
    """From which heights over a place a field is open.

    `open_amsl_m`: stretches by the odds of the flight file, rising, the last one without an end
    where it is open up to the top; between them a fast wind carries the glider off. Gaps of less
    than 200 m are left out: there the odds only just miss. `error_free_amsl_m`: the least height
    without any doubt; NaN for none.
    """

    open_amsl_m: tuple[tuple[float, float], ...]
    error_free_amsl_m: float

    @property
    def amsl_m(self) -> float:
        """Return the least height from which the field is open, NaN where it is from none."""
        return self.open_amsl_m[0][0] if self.open_amsl_m else float("nan")

    @property
    def shut_amsl_m(self) -> tuple[tuple[float, float], ...]:
        """Return the stretches above the least height in which the field is shut again."""
        edges = [edge for stretch in self.open_amsl_m for edge in stretch]
        gaps = zip(edges[1::2], [*edges[2::2], float("inf")], strict=False)
        return tuple((low, high) for low, high in gaps if low < high)


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """A place on the way over a barrier: how far beyond its edge, and what is needed there.

    `behind` is None where no field lies on this side.
    """

    beyond_edge_m: float
    place: Place
    ahead: Needed
    behind: Needed | None


@dataclass(frozen=True, slots=True, kw_only=True)
class BarrierWay:
    """One way over one barrier: what is needed at the edge first met, midway and at the far edge.

    `decision_s`: flown flat from the commit height, how long after the edge the field behind stays
    open; 0 where it is shut there already, NaN without a field behind or a commit height.
    """

    barrier: str
    kind: str
    start: str
    ahead: str
    behind: str  # empty where no field lies on this side
    stations: tuple[Station, Station, Station]
    decision_s: float


class _Trip(NamedTuple):
    """One way asked about: the stages with and without errors, and which fields are meant."""

    stage: Stage
    middle: Stage
    ahead: int
    near: list[int]


def barrier_ways(stage: Stage, middle: Stage, start: tuple[str, Place]) -> tuple[BarrierWay, ...]:
    """Return the straight ways from a place to each field that cross a barrier.

    `middle`: the error-free stage; `start`: what the place is called, and where it lies. Fields
    inside a barrier are left out: they lie not beyond it.
    """
    fields = [
        Place(lat_deg=one.lat_deg, lon_deg=one.lon_deg, amsl_m=one.amsl_m)
        for one in stage.sortie.fields
    ]
    found = []
    for barrier in stage.sortie.barriers:
        outside = [i for i, place in enumerate(fields) if not _is_inside(barrier, place)]
        edges = {i: _edges_m(barrier, start[1], fields[i]) for i in outside}
        near = [i for i in outside if not edges[i]]
        for i, edges_m in edges.items():
            if edges_m is not None:
                line = (start[1], geodesic(start[1], fields[i]).azimuth_deg)
                trip = _Trip(stage, middle, i, near)
                found.append(_way(trip, (barrier, start[0]), line, edges_m))
    return tuple(found)


def needed_heights(stage: Stage, middle: Stage, place: Place) -> tuple[Needed, ...]:
    """Return for each field the least height over a place from which it is open, to 25 m."""
    wanted = stage.sortie.wish.open_ratio
    heights = _heights_m(stage)
    north, east = (np.full_like(heights, one) for one in _offset_rad(stage, place))
    likely = reach_ratio(stage, (heights, north, east)) >= wanted
    without = reach_ratio(middle, (heights, north, east)) >= wanted
    return tuple(
        Needed(
            open_amsl_m=_stretches_m(heights, likely[:, i]),
            error_free_amsl_m=_first_m(heights, without[:, i]),
        )
        for i in range(likely.shape[1])
    )


def reach_ratio(stage: Stage, at: tuple[FloatArray, FloatArray, FloatArray]) -> FloatArray:
    """Return the share of draws in which a level glider at points can come down on each field.

    `at`: heights above sea level and radians north and east of the launch, each (n_points,).
    Shape (n_points, n_fields); it is a matter of height alone, not of time.
    """
    n = len(stage.haste.end_s)
    shape = (n, len(at[0]))
    amsl_m, north, east = (np.ascontiguousarray(np.broadcast_to(one, shape)) for one in at)
    tracks = stage.tracks._replace(amsl_m=amsl_m, north_rad=north, east_rad=east)
    none = np.full_like(stage.losses.lost_m, _NO_LOSS)
    # An end before the begin: the doors then ask no table of times.
    level = stage.haste._replace(end_s=np.full(n, -1.0), heading_s=np.zeros(n))
    found = doors(
        stage.scene,
        (stage.drawn.swarm, Losses(none, none), level),
        (tracks, np.arange(shape[1])),
        stage.ways,
        (stage.goals, floors_of(stage.ways, stage.goals, stage.workers)),
        stage.workers,
    )
    share: FloatArray = ((found.state & REACHED) > 0).mean(axis=0)
    return share


def _way(
    trip: _Trip,
    names: tuple[Barrier, str],
    line: tuple[Place, float],
    edges_m: tuple[float, float],
) -> BarrierWay:
    """Return one way; `names`: the barrier and the start's; `line`: from where, at what azimuth."""
    places = [
        destination(line[0], line[1], at_m) for at_m in (edges_m[0], sum(edges_m) / 2.0, edges_m[1])
    ]
    needed = [needed_heights(trip.stage, trip.middle, place) for place in places]
    by_height = {i: needed[0][i].amsl_m for i in trip.near if needed[0][i].amsl_m > 0.0}
    behind = min(by_height, key=lambda i: by_height[i]) if by_height else None
    first, middle, last = (
        Station(
            beyond_edge_m=geodesic(places[0], place).distance_m,
            place=place,
            ahead=one[trip.ahead],
            behind=None if behind is None else one[behind],
        )
        for place, one in zip(places, needed, strict=True)
    )
    fields = trip.stage.sortie.fields
    return BarrierWay(
        barrier=names[0].name,
        kind=names[0].kind,
        start=names[1],
        ahead=fields[trip.ahead].name,
        behind="" if behind is None else fields[behind].name,
        stations=(first, middle, last),
        decision_s=_decision_s(trip, first, behind),
    )


def _decision_s(trip: _Trip, edge: Station, behind: int | None) -> float:
    """Return how long after the edge the field behind stays open to one who begins at commit."""
    commit_m = edge.ahead.amsl_m
    if behind is None or np.isnan(commit_m):
        return float("nan")
    goals, scene = trip.middle.goals, trip.middle.scene
    goal = (float(goals.north_rad[trip.ahead]), float(goals.east_rad[trip.ahead]))
    arrival_m = float(goals.arrival_amsl_m[trip.ahead])
    begin = _offset_rad(trip.middle, edge.place)
    _, east, north = aim(
        trip.middle.ways.free, (commit_m, arrival_m), apart_m(scene.frame, begin, goal)
    )
    state = (commit_m, *begin, 0.0)
    flown = fitted(trip.middle, Way(east, north, 0.0), (state, arrival_m), goal)
    at = (flown.amsl_m, flown.north_rad, flown.east_rad)
    is_open = reach_ratio(trip.stage, at)[:, behind] >= trip.stage.sortie.wish.open_ratio
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


def _heights_m(stage: Stage) -> FloatArray:
    """Return the heights asked, from the lowest arrival to where no speed fits any more."""
    layers = stage.column.layers
    top_m = layers.base_amsl_m + layers.step_m * len(layers.rho_kgpm3)
    lowest_m = float(stage.goals.arrival_amsl_m.min())
    return np.arange(lowest_m, min(top_m, stage.ceiling_amsl_m), STEP_M)


def _first_m(heights: FloatArray, is_open: NDArray[np.bool_]) -> float:
    return float(heights[np.argmax(is_open)]) if is_open.any() else float("nan")


def _stretches_m(
    heights: FloatArray, is_open: NDArray[np.bool_]
) -> tuple[tuple[float, float], ...]:
    """Return the open stretches, each from the first height that is to the first that is not."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], is_open.astype(np.int64), [0]))))
    ends = np.append(heights, np.inf)
    found: list[tuple[float, float]] = []
    for first, past in edges.reshape(-1, 2).tolist():
        low, high = float(ends[first]), float(ends[past])
        if found and low - found[-1][1] < _LEAST_GAP_M:
            low = found.pop()[0]
        found.append((low, high))
    return tuple(found)


def _offset_rad(stage: Stage, place: Place) -> tuple[float, float]:
    launch = stage.sortie.launch
    east_deg = (place.lon_deg - launch.lon_deg + 180.0) % 360.0 - 180.0
    return float(np.radians(place.lat_deg - launch.lat_deg)), float(np.radians(east_deg))
