"""Last heard: hidden heights behind a wall by hand, and points that fit."""

import math

import numpy as np
import pytest

from farglide.atlas.terrain import Terrain
from farglide.earth.state import Place
from farglide.errors import InputError
from farglide.search.heard import (
    OWN_END_RATIO,
    LastHeard,
    hidden_below_m,
    likelihood,
    smooth_hidden_below_m,
)

STEP = 0.001
WALL_LON = 20.048  # of the post on the near side
DEGREE_M = 111_320.0


@pytest.fixture(scope="module")
def walled() -> Terrain:
    """Return flat ground at 100 m with a wall of 200 m across it."""
    heights = np.full((101, 301), 100.0, np.float32)
    heights[:, 48:51] = 300.0  # ground is sampled every 100 m
    return Terrain(
        heights_amsl_m=heights, north_deg=0.05, west_deg=20.0, step_lat_deg=STEP,
        step_lon_deg=STEP, datum="sea level", origin="made up",
    )  # fmt: skip


STAND = Place(lat_deg=0.0, lon_deg=20.0, amsl_m=103.0)


def test_hidden_behind_a_wall_by_similar_triangles(walled: Terrain) -> None:
    """A wall 197 m over the mast at 5.3 km: 37 m a km more, and the earth's own curve."""
    lon = np.array([20.1, 20.15])
    hidden_m = hidden_below_m(walled, STAND, np.zeros(2), lon)
    away = DEGREE_M * (lon - 20.0)
    wall = DEGREE_M * (WALL_LON - 20.0)
    # 300 m drop by the curve at the wall, the line goes on straight: d (D - d) / 2 a.
    wanted = 103.0 + 197.0 * away / wall + away * (away - wall) / (2.0 * 8_495_000.0)
    assert hidden_m == pytest.approx(wanted, abs=20.0)


def test_in_front_of_the_wall_nothing_is_hidden(walled: Terrain) -> None:
    hidden_m = hidden_below_m(walled, STAND, np.zeros(1), np.array([20.03]))
    assert hidden_m == pytest.approx([100.0])


def test_it_fits_where_the_wall_hid_it_then(walled: Terrain) -> None:
    lon = np.array([20.03, 20.10, 20.20])
    hidden_m = hidden_below_m(walled, STAND, np.zeros(3), lon)
    heard = LastHeard(stand=STAND, name="stand", amsl_m=float(hidden_m[1]))
    fit = likelihood(heard, walled, np.zeros(3), lon)
    assert fit[1] == pytest.approx(1.0)
    assert fit[0] == pytest.approx(OWN_END_RATIO, abs=0.01)  # it should have been heard lower
    assert fit[2] < 0.05  # it was hidden before


def test_beyond_the_terrain_the_curve_alone_hides(walled: Terrain) -> None:
    """A mast 3 m up sees 7.1 km far; 556 km off 17.7 km are hidden, 300 km off 5.0 km."""
    hidden_m = hidden_below_m(walled, STAND, np.array([5.0]), np.array([20.0]))
    assert hidden_m == pytest.approx([17_700.0], rel=0.01)
    found = smooth_hidden_below_m(103.0, 100.0, np.array([5000.0, 300_000.0]))
    assert found == pytest.approx([100.0, 5150.0], rel=0.005)
    near = smooth_hidden_below_m(90.0, 100.0, np.array([1000.0]))
    assert near == pytest.approx([100.0], abs=0.1)


def test_it_was_not_heard_where_the_curve_hid_it(walled: Terrain) -> None:
    heard = LastHeard(stand=STAND, name="stand", amsl_m=500.0)
    fit = likelihood(heard, walled, np.array([0.0, 5.0]), np.array([20.03, 20.0]))
    assert fit == pytest.approx([OWN_END_RATIO, 0.02], abs=0.001)


def test_limits() -> None:
    with pytest.raises(InputError, match="height last heard is -600 m"):
        LastHeard(stand=STAND, name="a", amsl_m=-600.0)
    with pytest.raises(InputError, match="error of the height last heard is 0 m"):
        LastHeard(stand=STAND, name="a", amsl_m=math.pi, sd_m=0.0)
