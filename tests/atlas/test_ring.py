"""Rings: what lies in a closed line of a plane."""

import numpy as np

from farglide.atlas.ring import encloses


def test_a_bent_ring_holds_its_arms_and_not_the_gap_between() -> None:
    bent = np.array([(0.0, 0.0), (3.0, 0.0), (3.0, 3.0), (2.0, 3.0), (2.0, 1.0), (1.0, 1.0),
                     (1.0, 3.0), (0.0, 3.0)])  # fmt: skip
    x, y = np.array([0.5, 1.5, 2.5, 1.5, -0.5]), np.array([2.0, 2.0, 2.0, 0.5, 0.5])
    assert encloses(bent, x, y).tolist() == [True, False, True, True, False]
    assert np.array_equal(encloses(bent[::-1], x, y), encloses(bent, x, y))


def test_nothing_lies_in_a_ring_without_area() -> None:
    flat = np.array([(0.0, 1.0), (2.0, 1.0), (4.0, 1.0)])
    assert not encloses(flat, np.array([1.0, 3.0]), np.array([1.0, 1.0])).any()
