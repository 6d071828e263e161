"""Wind: what a draw meets in a cell of the air, and the wind without errors."""

import numpy as np
import pytest

from farglide.kernel import door
from farglide.sim.core.scene import Scene
from farglide.sim.core.step import Errors
from farglide.sim.core.tracks import Point
from farglide.sim.core.wind import (
    cell_at,
    mean_wind,
    wind_at,
)

ask_wind_at = door(wind_at)


ask_cell_at = door(cell_at)


def test_the_mean_wind_is_that_of_the_layer(scene: Scene) -> None:
    for k in (0, 57, 300):
        wind = mean_wind(scene, 100.0 * k + 33.0)
        assert wind == (scene.layers.u_mps[0, k], scene.layers.v_mps[0, k], 0.0)


def test_a_draw_adds_its_errors_to_the_mean(scene: Scene) -> None:
    one = np.ones(len(scene.layers.p_pa), np.float32)
    cell = ask_cell_at(scene, Point(0.0, 10_050.0, 0.0, 0.0))
    one[cell.layer] = 3.0
    u, v, up = ask_wind_at(scene, Errors(one, -one, np.float32(2.0) * one, 0), cell)
    mean = mean_wind(scene, 10_050.0)
    assert u - mean.u_mps == pytest.approx(3.0)
    assert v - mean.v_mps == pytest.approx(-3.0)
    assert up == 6.0
