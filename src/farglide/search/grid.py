"""Grid: chances of containment on square cells, of weighted points that are each a small blur."""

import math
from collections.abc import Iterable, Sequence
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import BoolArray, FloatArray
from farglide.atlas.outline import LatLon
from farglide.earth.radii import _meridian_radius_m, _normal_radius_m
from farglide.earth.state import Place
from farglide.errors import ContradictionError
from farglide.search.points import GroundPoints, quantile

_N_CELLS: Final = 2500
_STEP_M: Final = (25.0, 20_000.0)
_TAIL_RATIO: Final = 0.01
_LEAST_BLUR_M: Final = 10.0
_WIDEST_M: Final = 1_000_000.0


class Plane(NamedTuple):
    """Points in a plane about an origin, both alike in shape."""

    east_m: FloatArray
    north_m: FloatArray


class Grid(NamedTuple):
    """Square cells in the plane about an origin; rows to the north, columns to the east.

    `poc` (n_rows, n_columns): chance of containment; what is missing to 1 lies beyond.
    """

    origin: Place
    step_m: float
    west_m: float
    south_m: float
    poc: FloatArray

    @property
    def shape(self) -> tuple[int, int]:
        """Return rows and columns."""
        n_rows, n_columns = self.poc.shape
        return n_rows, n_columns

    def middles_deg(self) -> tuple[FloatArray, FloatArray]:
        """Return latitudes and longitudes of the middles, as `poc` is shaped."""
        n_rows, n_columns = self.shape
        north = self.south_m + self.step_m * (np.arange(n_rows) + 0.5)
        east = self.west_m + self.step_m * (np.arange(n_columns) + 0.5)
        norths, easts = np.meshgrid(north, east, indexing="ij")
        return degrees(self.origin, easts, norths)


def degrees(
    origin: Place, east_m: FloatArray, north_m: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Return latitudes and longitudes in the plane about a place. Valid: to 200 km, within 2 %."""
    lat_rad = math.radians(origin.lat_deg)
    lat_deg = origin.lat_deg + np.degrees(north_m / _meridian_radius_m(lat_rad))
    round_m = _normal_radius_m(lat_rad) * math.cos(lat_rad)
    lon_deg = (origin.lon_deg + np.degrees(east_m / round_m) + 180.0) % 360.0 - 180.0
    return lat_deg, lon_deg


def metres(origin: Place, lat_deg: FloatArray, lon_deg: FloatArray) -> Plane:
    """Return metres east and north in that plane, the inverse of `degrees`."""
    lat_rad = math.radians(origin.lat_deg)
    north_m = np.radians(lat_deg - origin.lat_deg) * _meridian_radius_m(lat_rad)
    round_m = _normal_radius_m(lat_rad) * math.cos(lat_rad)
    turn = (lon_deg - origin.lon_deg + 180.0) % 360.0 - 180.0
    return Plane(np.radians(turn) * round_m, north_m)


def grid_of(points: GroundPoints) -> Grid:
    """Return the chances of containment on some 2500 cells round the points.

    Each point is blurred by a normal law, as wide as its story's points are few: their spread along
    each axis times their effective number to the power -1/6.
    Raises ContradictionError for points more than 1000 km apart.
    Source: Scott, Multivariate Density Estimation (1992), from memory: n^(-1/(d+4)) for d = 2.
    """
    lat_deg, lon_deg = points.middle()
    origin = Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=0.0)
    plane = metres(origin, points.lat_deg, points.lon_deg)
    blurs = [_blurs_m(points, k, plane) for k in range(len(points.names))]
    spans = [_span_m(points, at, [one[i] for one in blurs]) for i, at in enumerate(plane)]
    wide_m, high_m = (b - a for a, b in spans)
    if max(wide_m, high_m) > _WIDEST_M:
        what = f"the points lie {max(wide_m, high_m) / 1000.0:.0f} km apart."
        raise ContradictionError(what, "Say where it was last: that is no area to look at.")
    step_m = float(np.clip(math.sqrt(wide_m * high_m / _N_CELLS), *_STEP_M))
    n_rows, n_columns = (max(math.ceil(one / step_m), 1) for one in (high_m, wide_m))
    blank = np.zeros((n_rows, n_columns))
    return refilled(Grid(origin, step_m, spans[0][0], spans[1][0], blank), points)


def refilled(grid: Grid, points: GroundPoints) -> Grid:
    """Return the same cells with the chances of other points."""
    poc, plane = np.zeros(grid.shape), metres(grid.origin, points.lat_deg, points.lon_deg)
    n_rows, n_columns = grid.shape
    edges = [
        grid.south_m + grid.step_m * np.arange(n_rows + 1.0),
        grid.west_m + grid.step_m * np.arange(n_columns + 1.0),
    ]
    for k in range(len(points.names)):
        keep, blur = points.story == k, _blurs_m(points, k, plane)
        at = plane.north_m[keep], plane.east_m[keep]
        counted, *_ = np.histogram2d(*at, edges, weights=points.weight[keep])
        poc += _blurred(counted, blur[1] / grid.step_m, blur[0] / grid.step_m)
    return grid._replace(poc=poc)


def _blurs_m(points: GroundPoints, story: int, at: Plane) -> tuple[float, float]:
    """Return the deviation of the blur of a story's points, eastward and northward."""
    keep = points.story == story
    weight = points.weight[keep]
    total = float(weight.sum())
    if not total > 0.0:
        return _LEAST_BLUR_M, _LEAST_BLUR_M
    n = total**2 / float((weight**2).sum())
    sds = [
        (quantile(one[keep], weight, 0.84) - quantile(one[keep], weight, 0.16)) / 2.0 for one in at
    ]
    east_m, north_m = (max(n ** (-1.0 / 6.0) * sd, _LEAST_BLUR_M) for sd in sds)
    return east_m, north_m


def _span_m(points: GroundPoints, at: FloatArray, blurs: Sequence[float]) -> tuple[float, float]:
    """Return from where to where the cells go along one axis."""
    lows, highs = list[float](), list[float]()
    for k, blur_m in enumerate(blurs):
        keep = (points.story == k) & (points.weight > 0.0)
        if keep.any():
            ends = [
                quantile(at[keep], points.weight[keep], s) for s in (_TAIL_RATIO, 1 - _TAIL_RATIO)
            ]
            lows.append(ends[0] - 2.0 * blur_m)
            highs.append(ends[1] + 2.0 * blur_m)
    return min(lows), max(highs)


def _blurred(counted: FloatArray, rows: float, columns: float) -> FloatArray:
    """Return counts blurred by deviations in cells; what is carried over the edge is lost."""
    for axis, sd in ((0, rows), (1, columns)):
        kernel = _bell(sd)
        lines = counted if axis == 1 else counted.T
        spread = np.array([_spread(line, kernel) for line in lines])
        counted = spread if axis == 1 else spread.T
    return counted


def _bell(sd: float) -> FloatArray:
    reach = max(math.ceil(3.0 * sd), 1)
    bell = np.exp(-0.5 * (np.arange(-reach, reach + 1) / max(sd, 0.1)) ** 2)
    return np.asarray(bell / bell.sum())


def _spread(line: FloatArray, kernel: FloatArray) -> FloatArray:
    reach = len(kernel) // 2
    return np.convolve(line, kernel)[reach : reach + len(line)]


class Open(NamedTuple):
    """Between which neighbours one may walk on: to the east and to the north of each cell."""

    east: BoolArray  # (n_rows, n_columns - 1)
    north: BoolArray  # (n_rows - 1, n_columns)


def open_between(grid: Grid, lines: Iterable[Sequence[LatLon]]) -> Open:
    """Return between which cells no line runs: no road, rail or edge of a barrier."""
    n_rows, n_columns = grid.shape
    found = Open(
        np.ones((n_rows, n_columns - 1), np.bool_), np.ones((n_rows - 1, n_columns), np.bool_)
    )
    for line in lines:
        lat, lon = (np.array(one) for one in zip(*line, strict=True))
        east, north = metres(grid.origin, lat, lon)
        across = (
            (east - grid.west_m) / grid.step_m - 0.5,
            (north - grid.south_m) / grid.step_m - 0.5,
        )
        _shut(found.east, across[1], across[0])
        _shut(found.north.T, across[0], across[1])
    return found


def _shut(way: BoolArray, through: FloatArray, along: FloatArray) -> None:
    """Shut the steps between neighbours in a row that a line crosses.

    `through`: of its corners, in rows counted from the first row's middle; `along`: in columns.
    """
    n_lines, n_steps = way.shape
    for k in range(len(through) - 1):
        a, b = through[k], through[k + 1]
        first, last = math.ceil(min(a, b)), math.floor(max(a, b))
        rows = np.arange(max(first, 0), min(last, n_lines - 1) + 1)
        if a == b or not len(rows):
            continue
        met = along[k] + (rows - a) / (b - a) * (along[k + 1] - along[k])
        steps = np.floor(met).astype(np.int64)
        inside = (steps >= 0) & (steps < n_steps)
        way[rows[inside], steps[inside]] = False
