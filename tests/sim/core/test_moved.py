"""Fields as flights have them that are launched elsewhere: against the geodesic at the spot."""

import math
from types import SimpleNamespace
from typing import Any, cast

import numpy as np
import pytest

from farglide.earth.geodesy import east_north_m
from farglide.earth.state import Place, offset_rad
from farglide.sim.core.moved import moved_goals
from farglide.sim.core.release import Goals, goals_at
from farglide.sim.core.step import Offset, apart_m, frame_of

LAUNCH = Place(lat_deg=-46.5, lon_deg=179.5, amsl_m=240.0)
FIELDS = (
    Place(lat_deg=-46.5, lon_deg=179.5, amsl_m=240.0),
    Place(lat_deg=-46.8, lon_deg=-179.9, amsl_m=285.0),
)
SPOTS = (
    Place(lat_deg=-46.5, lon_deg=179.5, amsl_m=0.0),
    Place(lat_deg=-45.1, lon_deg=177.6, amsl_m=0.0),
    Place(lat_deg=-47.4, lon_deg=-179.2, amsl_m=0.0),
)


@pytest.fixture(scope="module")
def frame() -> Any:
    return frame_of(LAUNCH.lat_deg, LAUNCH.lon_deg)


@pytest.fixture(scope="module")
def goals() -> Goals:
    north, east = np.array([offset_rad(LAUNCH, one.lat_deg, one.lon_deg) for one in FIELDS]).T
    return goals_at(north.copy(), east.copy(), np.array([240.0, 285.0]), 300.0)


@pytest.fixture(scope="module")
def moved(frame: Any, goals: Goals) -> Goals:
    spots = np.array([offset_rad(LAUNCH, one.lat_deg, one.lon_deg) for one in SPOTS])
    scene = cast(Any, SimpleNamespace(frame=frame))
    return moved_goals(scene, goals, spots[:, 0].copy(), spots[:, 1].copy())


def test_each_field_lies_as_far_off_as_from_the_spot_itself(frame: Any, moved: Goals) -> None:
    """200 km off the plane about the spot and the one about the launch differ by under 0.1 %."""
    for s, spot in enumerate(SPOTS):
        for f, field in enumerate(FIELDS):
            k = s * len(FIELDS) + f
            at = apart_m(frame, Offset(0.0, 0.0), Offset(moved.north_rad[k], moved.east_rad[k]))
            true = east_north_m(spot, field)
            away_m = math.hypot(true.east_m, true.north_m)
            assert math.hypot(at.east_m, at.north_m) == pytest.approx(away_m, rel=1e-3, abs=5.0)
            # the plane of the mid-latitude formula is turned by half the meridians' convergence
            turn = math.atan2(at.east_m, at.north_m) - math.atan2(true.east_m, true.north_m)
            assert abs(math.remainder(turn, math.tau)) < 0.03 or away_m < 100.0


def test_links_are_asked_where_flights_and_fields_really_are(goals: Goals, moved: Goals) -> None:
    n = len(SPOTS)
    assert moved.north_rad + moved.moved_north_rad == pytest.approx(np.tile(goals.north_rad, n))
    assert moved.east_rad + moved.moved_east_rad == pytest.approx(np.tile(goals.east_rad, n))


def test_from_the_launch_nothing_moves(goals: Goals, moved: Goals) -> None:
    for one, before in zip(moved[:2], goals[:2], strict=True):
        assert one[:2] == pytest.approx(before, abs=1e-6)  # 6 m
    assert np.abs(np.concatenate([one[:2] for one in moved[4:]])).max() < 1e-6


def test_heights_are_those_of_the_fields(goals: Goals, moved: Goals) -> None:
    assert moved.ground_amsl_m.tolist() == goals.ground_amsl_m.tolist() * len(SPOTS)
    assert moved.arrival_amsl_m.tolist() == goals.arrival_amsl_m.tolist() * len(SPOTS)
