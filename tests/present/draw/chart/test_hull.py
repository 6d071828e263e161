"""Hull: it holds every point and turns one way."""

import numpy as np

from farglide.present.draw.chart.hull import hull
from farglide.present.draw.place import Point


def test_all_points_lie_inside() -> None:
    rng = np.random.default_rng(7)
    for _ in range(30):
        points = [Point(*one) for one in rng.normal(0.0, 50.0, (40, 2)).tolist()]
        rim = hull(points)
        assert set(rim) <= set(points)
        for a, b in zip(rim, [*rim[1:], rim[0]], strict=True):
            for p in points:
                assert (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x) >= -1e-6


def test_fewer_than_three_stay_as_they_are() -> None:
    assert hull([]) == []
    assert hull([Point(1, 2), Point(1, 2)]) == [Point(1, 2)]
