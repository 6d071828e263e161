"""The air over one place and moment of a forecast over an area."""

import math
from typing import Final, NamedTuple

import numpy as np

from farglide.air.sounding import Sounding
from farglide.air.windgrid import FIELDS, WindGrid
from farglide.arrays import BoolArray, FloatArray, IntArray
from farglide.earth.state import Place
from farglide.errors import InputError

_EDGE: Final = 1e-6  # of a step: rounding of the grid's own corners
_HUMIDITY: Final = "relative_humidity_ratio"
_LOWEST_GPH_M: Final = -500.0
"""Below the deepest dry land; models lay levels under their ground."""


class _Moments(NamedTuple):
    """The times taken, their shares, the moment that they make, and what is to be noted."""

    places: tuple[int, ...]
    shares: tuple[float, ...]
    t_s: float
    notes: tuple[str, ...] = ()


class _Corners(NamedTuple):
    """The rows and columns of the four points around a place, and their weights."""

    rows: IntArray
    columns: IntArray
    weights: FloatArray


def sounding_over(grid: WindGrid, place: Place, t_s: float, member: int = 0) -> Sounding:
    """Return the air of one member over a place at a moment.

    Values are bilinear between points and linear between times; before the first and after the last
    time the nearest is taken, with a note. Levels that the forecast does not tell at one of the
    points or times around are left out and named; humidity alone is laid between the levels that
    tell it. Raises outside the grid, and names the side.
    """
    if not 0 <= member < len(grid.members):
        raise InputError("member", member, f"0 to {len(grid.members) - 1}")
    corners, moments = _corners(grid, place), _moments(grid, t_s)
    values = {name: _at(grid, name, member, moments, corners) for name in FIELDS}
    needed = np.stack([values[name] for name in FIELDS if name != _HUMIDITY])
    whole = np.asarray(np.isfinite(needed).all(axis=0))
    notes = [*moments.notes, *_left_out(grid, whole)]
    low = whole & (values["gph_m"] < _LOWEST_GPH_M)
    if low.any():
        notes.append(f"{low.sum()} levels below {_LOWEST_GPH_M:g} m left out")
    keep = whole & ~low
    below = int((values["gph_m"][keep] < place.amsl_m).sum())
    if below:
        noun = "level" if below == 1 else "levels"
        notes.append(f"{below} {noun} below the ground at the place, extended by the model")
    lead_h = (moments.t_s - grid.run_t_s) / 3600.0
    return Sounding(
        p_pa=grid.p_pa[keep],
        gph_m=values["gph_m"][keep],
        t_k=values["t_k"][keep],
        u_mps=values["u_mps"][keep],
        v_mps=values["v_mps"][keep],
        relative_humidity_ratio=_laid_between(grid.p_pa[keep], values[_HUMIDITY][keep]),
        lat_deg=place.lat_deg,
        lon_deg=place.lon_deg,
        t_s=moments.t_s,
        run_t_s=grid.run_t_s,
        origin=grid.origin
        + (f" + {lead_h:.4g} h" if math.isfinite(lead_h) else "")
        + (f" ({grid.attribution})" if grid.attribution else ""),
        notes=(*_whose(grid), *grid.notes, *notes),
    )


def _whose(grid: WindGrid) -> list[str]:
    if not grid.attribution:
        return []
    return [f"The forecast is of {grid.attribution}; licence: {grid.licence or 'not told'}."]


def _laid_between(p_pa: FloatArray, humidity: FloatArray) -> FloatArray:
    """Return humidity that is linear in the logarithm of pressure where a level has none."""
    known = np.isfinite(humidity)
    if not known.any():
        return humidity
    x = -np.log(p_pa)
    laid: FloatArray = np.interp(x, x[known], humidity[known], left=np.nan, right=np.nan)
    return laid


def _left_out(grid: WindGrid, whole: BoolArray) -> list[str]:
    missing = grid.p_pa[~whole]
    if not len(missing):
        return []
    named = ", ".join(f"{p_pa / 100:g}" for p_pa in missing)
    return [f"levels not told around the place left out, hPa: {named}"]


def _moments(grid: WindGrid, t_s: float) -> _Moments:
    times_s = grid.times_s
    if not math.isfinite(t_s):
        raise InputError("t_s", f"{t_s} s", "a moment in UTC seconds since 1970")
    if not times_s[0] < t_s < times_s[-1]:
        nearest = 0 if t_s <= times_s[0] else len(times_s) - 1
        hours = (t_s - times_s[nearest]) / 3600.0
        side = "before" if hours > 0.0 else "after"
        told = f"nearest valid time: {abs(hours):.3g} h {side} the time asked for"
        notes = (told,) if hours else ()
        return _Moments((nearest,), (1.0,), float(times_s[nearest]), notes)
    late = int(np.searchsorted(times_s, t_s, side="left"))
    if times_s[late] == t_s:
        return _Moments((late,), (1.0,), t_s)
    share = float((t_s - times_s[late - 1]) / (times_s[late] - times_s[late - 1]))
    return _Moments((late - 1, late), (1.0 - share, share), t_s)


def _corners(grid: WindGrid, place: Place) -> _Corners:
    row = (place.lat_deg - grid.lat_deg[0]) / (grid.lat_deg[1] - grid.lat_deg[0])
    step = grid.lon_deg[1] - grid.lon_deg[0]
    column = ((place.lon_deg - grid.lon_deg[0]) % 360.0) / step
    n_rows, n_columns = len(grid.lat_deg), len(grid.lon_deg)
    closed = n_columns * step > 360.0 - 0.5 * step
    turn = 360.0 / step
    column = 0.0 if turn - column < _EDGE else column
    if not -_EDGE <= row <= n_rows - 1 + _EDGE:
        raise _outside(grid, place, "south" if row < 0.0 else "north")
    if not closed and column > n_columns - 1 + _EDGE:
        raise _outside(grid, place, "east" if column < 0.5 * (n_columns - 1 + turn) else "west")
    low = min(max(math.floor(row), 0), n_rows - 2)
    last = n_columns - 1 if closed else n_columns - 2
    left = min(math.floor(column), last)
    b, a = (min(max(x, 0.0), 1.0) for x in (row - low, column - left))
    return _Corners(
        rows=np.array([low, low, low + 1, low + 1]),
        columns=np.array([left, (left + 1) % n_columns] * 2),
        weights=np.array([(1 - b) * (1 - a), (1 - b) * a, b * (1 - a), b * a]),
    )


def _outside(grid: WindGrid, place: Place, side: str) -> InputError:
    told = f"{place.lat_deg:g} N {place.lon_deg:g} E"
    lats = f"{grid.lat_deg[0]:g} to {grid.lat_deg[-1]:g} N"
    allowed = f"{lats}, {grid.lon_deg[0]:g} to {grid.lon_deg[-1]:g} E"
    remedy = f"The forecast ends before it in the {side}: fetch one of a larger area."
    return InputError("place", told, allowed, remedy)


def _at(grid: WindGrid, name: str, member: int, moments: _Moments, corners: _Corners) -> FloatArray:
    """Return one field by level; a point or time without weight does not count, even if untold."""
    field = getattr(grid, name)
    if field is None:
        return np.full(len(grid.p_pa), np.nan)
    used = np.flatnonzero(corners.weights > 0.0)
    rows, columns = corners.rows[used], corners.columns[used]
    found = np.zeros(len(grid.p_pa))
    for time, share in zip(moments.places, moments.shares, strict=True):
        at = field[member, time][:, rows, columns]
        found += share * (at.astype(np.float64) @ corners.weights[used])
    return found
