"""Grid: bilinear between posts, against scipy, and longitudes across 180 degrees."""

import numpy as np
import pytest
from scipy.interpolate import RegularGridInterpolator

from farglide.present.draw.chart.grid import bilinear, east_of_deg


def test_another_library_finds_the_same_between_posts() -> None:
    rng = np.random.default_rng(2)
    heights = rng.normal(300.0, 100.0, (7, 9))
    row, column = rng.uniform(0.0, 6.0, 50), rng.uniform(0.0, 8.0, 50)
    twin = RegularGridInterpolator((np.arange(7.0), np.arange(9.0)), heights)
    wanted = twin(np.stack([row, column], axis=1))
    assert bilinear(heights, row, column) == pytest.approx(wanted)


def test_outside_and_beside_a_hole_nothing_is_known() -> None:
    heights = np.full((3, 3), 5.0)
    heights[0, 0] = np.nan
    row, column = np.array([-0.1, 0.5, 1.5, 2.0]), np.array([1.0, 0.5, 1.5, 2.0])
    found = bilinear(heights, row, column)
    assert np.isnan(found[:2]).all()
    assert found[2:].tolist() == [5.0, 5.0]


def test_over_the_180th_meridian() -> None:
    assert east_of_deg(179.5, np.array([-179.5, 179.0, 0.5])).tolist() == [1.0, -0.5, -179.0]
