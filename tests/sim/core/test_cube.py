"""Cube: winds linear in time and place are met exactly, each draw in its own member."""

from itertools import product

import numpy as np
import pytest
from scipy.interpolate import RegularGridInterpolator

from farglide.kernel import door
from farglide.sim.core.cube import Cube, When, apart_at, no_cube
from farglide.sim.core.scene import Scene
from farglide.sim.core.step import Errors
from farglide.sim.core.tracks import Point
from farglide.sim.core.wind import cell_at, cell_in, wind_at

ask = door(apart_at)
ask_wind_at, ask_cell_at, ask_cell_in = door(wind_at), door(cell_at), door(cell_in)
SHAPE = (3, 4, 5, 6, 7, 2)  # members, times, rows, columns, layers, east and north


def cube_of(apart_mps: np.ndarray) -> Cube:  # type: ignore[type-arg]
    return Cube(-1800.0, 3600.0, -0.02, 0.004, -0.03, 0.005, apart_mps.astype(np.float32))


def random_cube(seed: int = 4) -> Cube:
    return cube_of(10.0 * np.random.default_rng(seed).standard_normal(SHAPE))


def axes(cube: Cube) -> list[np.ndarray]:  # type: ignore[type-arg]
    _, n_times, n_rows, n_columns, _, _ = cube.apart_mps.shape
    return [
        cube.first_s + cube.step_s * np.arange(n_times),
        cube.south_rad + cube.step_north_rad * np.arange(n_rows),
        cube.west_rad + cube.step_east_rad * np.arange(n_columns),
    ]


def test_between_the_points_it_is_as_an_open_library_interpolates() -> None:
    # scipy's RegularGridInterpolator, linear in each of three directions
    cube, rng = random_cube(), np.random.default_rng(8)
    spans = [(axis[0], axis[-1]) for axis in axes(cube)]
    for number in range(3):
        for k in (0, 6):
            known = RegularGridInterpolator(axes(cube), cube.apart_mps[number, :, :, :, k])
            for _ in range(20):
                at = [rng.uniform(*span) for span in spans]
                assert ask(cube, number, When(*at), k) == pytest.approx(known(at)[0], abs=1e-4)


def test_on_the_points_it_is_the_value_there() -> None:
    cube = random_cube()
    times, norths, easts = axes(cube)
    for t, y, x in product((0, 3), (0, 4), (0, 5)):
        found = ask(cube, 1, When(times[t], norths[y], easts[x]), 2)
        assert found == pytest.approx(cube.apart_mps[1, t, y, x, 2], abs=1e-5)


def test_beyond_the_last_time_and_the_sides_the_last_values_hold() -> None:
    cube = random_cube()
    times, norths, easts = axes(cube)
    held = ask(cube, 0, When(times[-1], norths[0], easts[-1]), 3)
    assert ask(cube, 0, When(times[-1] + 9e4, norths[0] - 1.0, easts[-1] + 1.0), 3) == held
    early = ask(cube, 0, When(times[0], norths[2], easts[2]), 3)
    assert ask(cube, 0, When(times[0] - 9e4, norths[2], easts[2]), 3) == early


def test_draws_take_the_members_in_turn() -> None:
    cube, when = random_cube(), When(100.0, -0.013, -0.011)
    found = [ask(cube, number, when, 4) for number in range(7)]
    assert found[:3] == found[3:6]
    assert found[6] == found[0]
    assert len(set(found)) == 3


def test_an_axis_of_one_point_is_the_same_everywhere() -> None:
    cube = cube_of(np.arange(14.0).reshape(1, 1, 1, 1, 7, 2))
    for when in (When(0.0, 0.0, 0.0), When(9e5, 0.3, -0.2)):
        assert ask(cube, 5, when, 3) == (6.0, 7.0)


def test_who_knows_a_place_meets_the_cube_and_who_knows_none_the_column(scene: Scene) -> None:
    n = len(scene.layers.p_pa)
    apart = np.zeros((1, 1, 1, 1, n, 2))
    apart[..., 100, :] = 4.0, -6.0
    errors = Errors(*(np.full(n, x, np.float32) for x in (1.0, 2.0, 0.5)), 7)
    at = Point(60.0, 10_050.0, 0.001, 0.001)
    plain = ask_wind_at(scene._replace(cube=no_cube()), errors, ask_cell_at(scene, at))
    there = scene._replace(cube=cube_of(apart))
    met = ask_wind_at(there, errors, ask_cell_at(there, at))
    assert ask_cell_at(there, at).layer == 100
    assert np.subtract(met, plain) == pytest.approx([4.0, -6.0, 0.0])
    assert ask_wind_at(there, errors, ask_cell_in(100)) == plain
