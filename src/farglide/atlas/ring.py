"""Ring: a closed line of corners in a plane, and what lies in it."""

import numpy as np

from farglide.arrays import BoolArray, FloatArray


def encloses(corners: FloatArray, x: FloatArray, y: FloatArray) -> BoolArray:
    """Tell which points lie in a closed line; those on the line may fall either way.

    Shapes: `corners` (n, 2), x before y, the first not again at the end; points any, both alike.
    Source: crossings of a ray are odd inside (common practice, no source).

    >>> square = np.array([(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)])
    >>> encloses(square, np.array([0.5, 1.5]), np.array([0.5, 0.5])).tolist()
    [True, False]
    """
    inside = np.zeros(x.shape, np.bool_)
    for (x_a, y_a), (x_b, y_b) in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        if y_a == y_b:
            continue
        between = (y_a > y) != (y_b > y)
        inside ^= between & (x < x_a + (y - y_a) / (y_b - y_a) * (x_b - x_a))
    return inside
