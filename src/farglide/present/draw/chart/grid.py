"""Grid: values between the posts of a grid, and longitudes across the 180th meridian."""

import numpy as np

from farglide.arrays import FloatArray


def east_of_deg(west_deg: float, lon_deg: FloatArray) -> FloatArray:
    """Return how far longitudes lie east of one, half a turn either way."""
    return np.asarray((lon_deg - west_deg + 180.0) % 360.0 - 180.0)


def bilinear(heights: FloatArray, row: FloatArray, column: FloatArray) -> FloatArray:
    """Return heights at broken rows and columns, bilinear; NaN outside and beside a hole."""
    last_row, last_column = heights.shape[0] - 1, heights.shape[1] - 1
    outside = (row < 0.0) | (row > last_row) | (column < 0.0) | (column > last_column)
    i = np.clip(row.astype(np.int64), 0, last_row - 1)
    j = np.clip(column.astype(np.int64), 0, last_column - 1)
    down, right = row - i, column - j
    upper = (1.0 - right) * heights[i, j] + right * heights[i, j + 1]
    lower = (1.0 - right) * heights[i + 1, j] + right * heights[i + 1, j + 1]
    return np.where(outside, np.nan, (1.0 - down) * upper + down * lower)
