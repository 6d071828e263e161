"""Search: from the last true position to where to look first, as the outlook of a search."""

from dataclasses import replace
from math import isfinite
from typing import NamedTuple

import numpy as np

from farglide.arrays import BoolArray
from farglide.atlas.terrain import Terrain
from farglide.chances.ensemble import Ensemble
from farglide.earth.state import Place
from farglide.earth.sun import dusk_t_s
from farglide.errors import InputError
from farglide.outlook.search import CrossedBarrier, SearchOutlook, SearchStep, SearchStop
from farglide.search import bearings, heard
from farglide.search.afloat import drifted
from farglide.search.asked import Asked, split
from farglide.search.crossed import crossed
from farglide.search.grid import Grid, grid_of, metres, refilled
from farglide.search.order import Step, order_of, pod_of, stop_of
from farglide.search.outlooks import afloat_of, bearings_met, datum_of, segments_of, stories_of
from farglide.search.pieces import Ground, Piece
from farglide.search.points import GroundPoints
from farglide.search.remarks import CAUTIONS, remarks
from farglide.search.segments import pieces_of, with_chances
from farglide.search.stories import ground_points, surface_wind


class _Laid(NamedTuple):
    """The segments made with some bearings, on their grid."""

    grid: Grid
    pieces: tuple[Piece, ...]


class _Points(NamedTuple):
    """Where it may have come down, and where it may lie now by all that was told."""

    fallen: GroundPoints
    now: GroundPoints


def search(ensemble: Ensemble, terrain: Terrain | None, asked: Asked) -> SearchOutlook:
    """Return where to look first, in which order, for how long, and when to turn back.

    Raises InputError for a place, height or segment that cannot be, ContradictionError where what
    was told leaves no place at all.
    """
    return search_points(
        ensemble, terrain, asked, ground_points(ensemble, terrain, asked.last, asked.weights)
    )


def search_points(
    ensemble: Ensemble, terrain: Terrain | None, asked: Asked, fallen: GroundPoints
) -> SearchOutlook:
    """Return the same of points that are on the ground already, as a ride has carried them there.

    The weights of `asked` play no part: the points have theirs.
    """
    sortie, told = ensemble.sortie, fallen
    if terrain is not None:
        for one in asked.heard:
            told = told.told(heard.likelihood(one, terrain, told.lat_deg, told.lon_deg))
    wind, party = surface_wind(ensemble), asked.party
    lying = drifted(told, sortie.barriers, wind, party.t_s)
    now = _told(lying, asked, len(asked.bearings))
    laid, before = _looked(_Points(fallen, now), asked, ensemble)
    place = _likely(now)
    stop = stop_of(party, dusk_t_s(party.t_s, place.lat_deg, place.lon_deg))
    steps = order_of(laid.pieces, party, stop)
    first = next((one for one in laid.pieces if steps and one.name == steps[0].name), None)
    aim = (
        place if first is None else replace(place, lat_deg=first.middle[0], lon_deg=first.middle[1])
    )
    return SearchOutlook(
        name=sortie.name, zone=sortie.launch.zone, begins_t_s=party.t_s, n_people=party.n_people,
        datum=datum_of(ensemble, terrain, asked, now),
        stories=stories_of(now),
        segments=segments_of(laid.pieces, laid.grid, before, asked.looked),
        steps=tuple(map(_step, steps)),
        stop=SearchStop(
            turn_t_s=stop.turn_t_s if isfinite(stop.turn_t_s) else None, why=stop.why,
            is_late=stop.is_late,
        ),
        elsewhere_ratio=max(1.0 - sum(one.poc for one in laid.pieces), 0.0),
        crossed=tuple(
            CrossedBarrier(**one._asdict()) for one in crossed(sortie.barriers, party.place, aim)
        ),
        afloat=afloat_of(ensemble, told, wind),
        met=bearings_met(asked.bearings),
        notes=(*asked.notes, *remarks(ensemble, terrain, asked, now)),
        cautions=CAUTIONS,
    )  # fmt: skip


def _step(step: Step) -> SearchStep:
    return SearchStep(
        segment=step.name, way_s=step.way_s, walk_m=step.walk_m, begin_t_s=step.begin_t_s,
        look_s=step.look_s, coverage_ratio=step.coverage, detection_ratio=step.pod,
        gain_ratio=step.gain, found_ratio=step.found,
    )  # fmt: skip


def _told(points: GroundPoints, asked: Asked, n_bearings: int) -> GroundPoints:
    """Return the points after the first bearings."""
    told = asked.bearings[:n_bearings]
    return points.told(bearings.likelihood(told, points.lat_deg, points.lon_deg))


def _laid(points: GroundPoints, asked: Asked, ensemble: Ensemble, n_bearings: int) -> _Laid:
    """Return the segments as they were made after the first bearings."""
    sortie = ensemble.sortie
    ground = Ground(
        elsewhere=asked.elsewhere, barriers=sortie.barriers, landmarks=sortie.landmarks,
        fields=sortie.fields,
    )  # fmt: skip
    grid = grid_of(_told(points, asked, n_bearings))
    count = str(n_bearings) if n_bearings else ""
    pieces = pieces_of(grid, ground)
    return _Laid(grid, tuple(replace(one, name=one.name + count) for one in pieces))


def _looked(points: _Points, asked: Asked, ensemble: Ensemble) -> tuple[_Laid, tuple[float, ...]]:
    """Return the segments with what they hold after all looks, and what they held before.

    They are laid over where it came down, so that they stay the same pieces of ground while it
    drifts and whatever was heard. A look at a segment counts for the ground in it, whatever the
    segments are called since.
    Source: Bayes' rule cell by cell, what lies beyond the cells included.
    """
    n = len(asked.bearings)
    made = {n: _laid(points.fallen, asked, ensemble, n)}
    grid = refilled(made[n].grid, points.now)
    pieces = with_chances(made[n].pieces, grid)
    missed = np.ones(grid.poc.shape)
    for one in asked.looked:
        count = split(one.segment).n_bearings
        if count <= n and count not in made:
            made[count] = _laid(points.fallen, asked, ensemble, count)
        known = made[count].pieces if count in made else ()
        piece = next((piece for piece in known if piece.name == one.segment), None)
        if piece is None:
            listed = ", ".join(piece.name for piece in known[:12]) or "none with so many bearings"
            remedy = "Give the same last place, stories, cover and, in their order, bearings."
            raise InputError("segment", one.segment, f"of these: {listed}", remedy)
        pod = pod_of(piece, one.seconds, asked.party.n_people)
        missed[_cells_in(grid, made[count].grid, piece)] *= 1.0 - pod
    left = grid.poc * missed
    now = grid._replace(poc=left / (1.0 - float((grid.poc - left).sum())))
    return _Laid(now, with_chances(pieces, now)), tuple(one.poc for one in pieces)


def _cells_in(grid: Grid, other: Grid, piece: Piece) -> BoolArray:
    """Tell which cells have their middle in a segment of another grid, or of the same."""
    held = np.zeros(other.shape, np.bool_)
    held[tuple(np.array(piece.cells).T)] = True
    east, north = metres(other.origin, *grid.middles_deg())
    row = np.floor((north - other.south_m) / other.step_m).astype(np.int64)
    column = np.floor((east - other.west_m) / other.step_m).astype(np.int64)
    n_rows, n_columns = other.shape
    inside = (row >= 0) & (row < n_rows) & (column >= 0) & (column < n_columns)
    return inside & held[np.clip(row, 0, n_rows - 1), np.clip(column, 0, n_columns - 1)]


def _likely(points: GroundPoints) -> Place:
    lat_deg, lon_deg = points.middle()
    return Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=0.0)
