"""Posts: the ground between the heights of a grid, as kernels ask for it."""

import math
from typing import Final, NamedTuple

from farglide.arrays import FloatArray, SingleArray
from farglide.earth.radii import _meridian_radius_m, _normal_radius_m
from farglide.kernel import compiled, inner

_SLACK: Final = 1e-6  # of a post: what rounding may put beyond the outermost one


class Posts(NamedTuple):
    """The terrain as the kernels read it."""

    heights_amsl_m: SingleArray
    north_rad: float
    west_rad: float
    step_lat_rad: float
    step_lon_rad: float


@inner
def row_column(posts: Posts, lat_rad: float, lon_rad: float) -> tuple[float, float]:
    """Return where a point lies, counted in posts from the first one, whole turns left in."""
    row = (posts.north_rad - lat_rad) / posts.step_lat_rad
    return row, (lon_rad - posts.west_rad) / posts.step_lon_rad


@inner
def _turned(posts: Posts, column: float) -> float:
    """Return the same column less the whole turns, from 0 on."""
    turn = 2.0 * math.pi / posts.step_lon_rad
    return column - turn * math.floor((column + _SLACK) / turn)


@compiled
def ground_amsl_m(posts: Posts, row: float, column: float) -> float:
    """Return the bilinear height between four posts, NaN outside and beside a hole.

    Unchecked: two rows and two columns of posts at least.
    """
    heights = posts.heights_amsl_m
    last_row, last_column = heights.shape[0] - 1, heights.shape[1] - 1
    column = _turned(posts, column)
    inside = -_SLACK <= row <= last_row + _SLACK and column <= last_column + _SLACK
    if not inside:
        return math.nan
    row, column = min(max(row, 0.0), last_row), min(max(column, 0.0), last_column)
    i, j = min(int(row), last_row - 1), min(int(column), last_column - 1)
    down, right = row - i, column - j
    left = 1.0 - right  # weights in double precision: differences of single ones lose a millimetre
    upper = left * heights[i, j] + right * heights[i, j + 1]
    lower = left * heights[i + 1, j] + right * heights[i + 1, j + 1]
    return (1.0 - down) * upper + down * lower


@compiled
def _fill_heights(posts: Posts, lat_rad: FloatArray, lon_rad: FloatArray, out: FloatArray) -> None:
    for k in range(len(out)):
        row, column = row_column(posts, lat_rad[k], lon_rad[k])
        out[k] = ground_amsl_m(posts, row, column)


@compiled
def _slope_rad(posts: Posts, lat_rad: float, lon_rad: float) -> float:
    """Return the slope by Horn's differences: weights 1, 2, 1 across, two posts apart along."""
    z = posts.heights_amsl_m
    row, column = row_column(posts, lat_rad, lon_rad)
    if math.isnan(ground_amsl_m(posts, row, column)):
        return math.nan
    i = min(max(round(row), 1), z.shape[0] - 2)
    j = min(max(round(_turned(posts, column)), 1), z.shape[1] - 2)
    up, level, down = z[i - 1], z[i], z[i + 1]
    west = up[j - 1] + 2.0 * level[j - 1] + down[j - 1]
    east = up[j + 1] + 2.0 * level[j + 1] + down[j + 1]
    north = up[j - 1] + 2.0 * up[j] + up[j + 1]
    south = down[j - 1] + 2.0 * down[j] + down[j + 1]
    at_rad = posts.north_rad - i * posts.step_lat_rad
    step_east_m = posts.step_lon_rad * _normal_radius_m(at_rad) * math.cos(at_rad)
    step_north_m = posts.step_lat_rad * _meridian_radius_m(at_rad)
    # The middle post itself plays no part, but without it the slope is a guess.
    to_east = (east - west) / (8.0 * step_east_m) + 0.0 * level[j]
    return math.atan(math.hypot(to_east, (north - south) / (8.0 * step_north_m)))


@compiled
def _fill_rims(heights: SingleArray, out: SingleArray) -> None:
    """Put into `out` a height for each hole that has a known neighbour."""
    n_rows, n_columns = heights.shape
    for i in range(n_rows):
        for j in range(n_columns):
            if not math.isnan(heights[i, j]):
                continue
            total, n = 0.0, 0
            for k in range(max(i - 1, 0), min(i + 2, n_rows)):
                for m in range(max(j - 1, 0), min(j + 2, n_columns)):
                    if not math.isnan(heights[k, m]):
                        total, n = total + heights[k, m], n + 1
            if n > 0:
                out[i, j] = total / n
