"""Chances as shapes: areas of a step and lines of one chance, against a plane and a step."""

import itertools
import math
from types import ModuleType

import pytest

from farglide.present.draw.maps.launch_fill import (
    FINE,
    STEPS,
    Grid,
    grid_of,
    joined,
    lines,
    step_rows,
    strips,
)
from farglide.present.draw.place import Point

UP = (0.0, 10.0, 20.0, 30.0)
LEFT = (-10.0, 0.0, 10.0)
PLANE = Grid(UP, LEFT, tuple(tuple((up + left) / 40.0 for left in LEFT) for up in UP))


def test_the_line_of_a_plane_is_straight() -> None:
    found = lines(PLANE, 0.4)
    assert found
    for ends in found:
        for up, left in ends:
            assert up + left == pytest.approx(16.0)
    # from the left edge, up 6, to the right one, up 26: 10 * 2 along the diagonal
    total = sum(math.dist(*ends) for ends in found)
    assert total == pytest.approx(math.hypot(20.0, 20.0))


def test_nothing_is_drawn_where_the_chance_never_passes() -> None:
    assert lines(PLANE, 2.0) == []
    assert strips(PLANE, 2.0, 3.0) == []


def test_the_strips_of_all_steps_fill_the_area_once() -> None:
    area = 0.0
    for low, high in ((-1.0, 0.2), (0.2, 0.5), (0.5, 9.0)):
        for one in strips(PLANE, low, high):
            area += (one.to_up_m - one.from_up_m) * (one.to_left_m - one.from_left_m)
            middle = 0.5 * (one.from_left_m + one.to_left_m)
            half = 0.5 * 10.0 / FINE
            assert low <= (one.from_up_m + half + middle) / 40.0 < high
            assert low <= (one.to_up_m - half + middle) / 40.0 < high
    assert area == pytest.approx(30.0 * 20.0)


def test_the_grid_is_that_of_the_even_spots(samples: ModuleType) -> None:
    area = samples.launch_area()
    grid = grid_of(area, "any_field_ratio")
    assert (len(grid.chance), len(grid.chance[0])) == (5, 3)
    at = {(one.up_drift_m, one.across_m): one.any_field_ratio for one in area.spots}
    assert grid.chance[3][2] == at[60e3, 40e3]


def test_pieces_are_joined_to_whole_lines() -> None:
    (line,) = joined(lines(PLANE, 0.4))
    assert math.dist(line[0], line[-1]) == pytest.approx(math.hypot(20.0, 20.0))
    length = sum(math.dist(a, b) for a, b in itertools.pairwise(line))
    assert length == pytest.approx(math.hypot(20.0, 20.0))  # nothing is walked twice
    ring = [
        (Point(0, 0), Point(1, 0)), (Point(1, 1), Point(1, 0)), (Point(1, 1), Point(0, 0)),
        (Point(5, 5), Point(6, 6)),
    ]  # fmt: skip
    found = joined(ring)
    assert found[0][0] == found[0][-1]
    assert [len(one) for one in found] == [4, 2]
    assert joined([]) == []


def test_each_step_is_said_in_the_words_of_chances() -> None:
    rows = step_rows()
    assert [name for name, _ in rows] == [*(name for name, _, _ in STEPS), ""]
    assert rows[2] == ("dots", "1 in 10 or better")
