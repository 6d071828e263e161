"""Last heard: hidden heights behind a wall by hand, and points that fit."""

import math

import numpy as np
import pytest

from farglide.atlas.terrain import Terrain
from farglide.earth.state import Place
from farglide.errors import InputError
from farglide.search.heard import OWN_END_RATIO, LastHeard, hidden_below_m, likelihood

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


def test_unknown_ground_keeps_the_mean(walled: Terrain) -> None:
    lat, lon = np.array([0.0, 0.0, 5.0]), np.array([20.03, 20.10, 20.1])
    heard = LastHeard(stand=STAND, name="stand", amsl_m=500.0)
    fit = likelihood(heard, walled, lat, lon)
    assert fit[2] == pytest.approx(fit[:2].mean())
    with pytest.raises(InputError, match="ground of the points is unknown"):
        likelihood(heard, walled, lat[2:], lon[2:])


def test_limits() -> None:
    with pytest.raises(InputError, match="height last heard is -600 m"):
        LastHeard(stand=STAND, name="a", amsl_m=-600.0)
    with pytest.raises(InputError, match="error of the height last heard is 0 m"):
        LastHeard(stand=STAND, name="a", amsl_m=math.pi, sd_m=0.0)
