"""Strides against the same way flown layer by layer."""

from collections.abc import Callable

import numpy as np
import pytest

from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.kernel import door
from farglide.sim.core.scene import _errors_home
from farglide.sim.core.step import Errors
from farglide.sim.core.tracks import Point
from farglide.sim.fly.homing import Goal, Homer, dive_layer, home_layer
from farglide.sim.fly.strides import dive_stride, home_stride
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie

EARTH_M = 6_371_000.0
Step = Callable[..., tuple[Point, bool]]
by_stride, by_layer = door(home_stride), door(home_layer)
dive_by_stride, dive_by_layer = door(dive_stride), door(dive_layer)


@pytest.fixture(scope="module")
def ensemble(demo: tuple[Sortie, Pack]) -> Ensemble:
    sortie, pack = demo
    return drawn_ensemble(sortie, pack.sounding, Grain(n_draws=50, seed=5))


def errors_of(ensemble: Ensemble, i: int) -> Errors:
    return _errors_home(ensemble.released.swarm, i)


def homer_of(ensemble: Ensemble, i: int, row: int) -> Homer:
    reaches = ensemble.reach.reaches
    factor = float(ensemble.draws.glide_factor[i])
    return Homer(reaches.craft.polar, factor, reaches.speeds, row)


def goal_at(ensemble: Ensemble, north_m: float, east_m: float, ground_m: float = 240.0) -> Goal:
    east_rad = east_m / EARTH_M / ensemble.air.scene.frame.cosine
    return Goal(north_m / EARTH_M, east_rad, ground_m, 1.0, 0.0)


def flown_home(
    ensemble: Ensemble, step: Step, i: int, goal: Goal, row: int, to_m: float
) -> tuple[Point, bool]:
    """Return where a way home from 24 km over the launch ends, and if it came over its field."""
    scene, errors, homer = ensemble.air.scene, errors_of(ensemble, i), homer_of(ensemble, i, row)
    at, over = Point(4000.0, 24_000.0, 0.0, 0.0), False
    while at.amsl_m > to_m and not over:
        at, over = step(scene, errors, homer, goal, at)
    return Point(*at), bool(over)


def apart_m(ensemble: Ensemble, one: Point, other: Point) -> float:
    east = (one.east_rad - other.east_rad) * ensemble.air.scene.frame.cosine
    return EARTH_M * float(np.hypot(one.north_rad - other.north_rad, east))


@pytest.mark.parametrize("row", [0, 6])
@pytest.mark.parametrize(("north_m", "east_m"), [(0.0, -400e3), (300e3, 300e3), (-500e3, 100e3)])
def test_a_long_way_is_flown_as_layer_by_layer(
    ensemble: Ensemble, row: int, north_m: float, east_m: float
) -> None:
    """Too far to come home: after 22 km of height both are at one place, at one time.

    Places within 0.5 % of the way; times within 0.3 % in the mean, and 1 % for each draw.
    """
    goal, off = goal_at(ensemble, north_m, east_m), []
    for i in range(20):
        stride, layer = (
            flown_home(ensemble, step, i, goal, row, 2000.0)[0] for step in (by_stride, by_layer)
        )
        assert stride.amsl_m == pytest.approx(layer.amsl_m, abs=1e-6)
        off.append((stride.t_s - 4000.0) / (layer.t_s - 4000.0) - 1.0)
        flown_m = apart_m(ensemble, layer, Point(0.0, 0.0, 0.0, 0.0))
        assert apart_m(ensemble, stride, layer) < 0.005 * flown_m
    assert abs(np.mean(off)) < 0.003
    assert np.abs(off).max() < 0.01


def test_a_way_that_ends_over_its_field_ends_there_at_the_same_height_and_time(
    ensemble: Ensemble,
) -> None:
    n_over = 0
    for i in range(8):
        for row in (0, 6):
            goal = goal_at(ensemble, -60e3, -70e3)
            strides, layers = (
                flown_home(ensemble, step, i, goal, row, 400.0) for step in (by_stride, by_layer)
            )
            assert strides[1] == layers[1]
            n_over += layers[1]
            if layers[1]:
                assert strides[0].amsl_m == pytest.approx(layers[0].amsl_m, abs=60.0)
                assert strides[0].t_s == pytest.approx(layers[0].t_s, abs=20.0)
    assert n_over > 4


def test_a_dive_takes_the_time_of_its_layers(ensemble: Ensemble) -> None:
    scene, goal = ensemble.air.scene, goal_at(ensemble, 0.0, 0.0)
    for i in range(5):
        errors, homer = errors_of(ensemble, i), homer_of(ensemble, i, 0)
        ends = []
        for step in (dive_by_stride, dive_by_layer):
            at = Point(0.0, 23_970.0, goal.north_rad, goal.east_rad)
            while at.amsl_m > 540.0 + 1e-6:
                at = step(scene, errors, homer, at, 540.0)
            ends.append(at)
        assert ends[0].amsl_m == ends[1].amsl_m == 540.0
        assert ends[0].t_s == pytest.approx(ends[1].t_s, rel=0.01)


def test_near_its_field_and_near_the_ground_it_is_one_layer(ensemble: Ensemble) -> None:
    scene, errors, homer = ensemble.air.scene, errors_of(ensemble, 0), homer_of(ensemble, 0, 0)
    for goal, amsl_m in (
        (goal_at(ensemble, 9e3, 0.0), 9000.0),
        (goal_at(ensemble, 5e5, 0.0), 600.0),
    ):
        at = Point(0.0, amsl_m, 0.0, 0.0)
        stride, layer = (step(scene, errors, homer, goal, at) for step in (by_stride, by_layer))
        assert stride == layer
