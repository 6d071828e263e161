"""March: the wind is sampled in one place, and a layer is left where it ends."""

import pytest

from farglide.kernel import door
from farglide.sim.core.march import (
    SLOWEST_MPS,
    Velocity,
    carried,
    cell_above,
    cell_below,
    drifted,
    is_above,
    lowered,
)
from farglide.sim.core.scene import Scene
from farglide.sim.core.tracks import Point
from farglide.sim.core.wind import (
    cell_at,
    mean_wind,
    no_errors,
    wind_at,
)

ask_wind_at = door(wind_at)
ask_carried = door(carried)
ask_is_above = door(is_above)
ask_cell_at = door(cell_at)
ask_lowered = door(lowered)
ask_cell_above = door(cell_above)
ask_cell_below = door(cell_below)
ask_drifted = door(drifted)


@pytest.mark.slow
def test_on_an_edge_a_climb_goes_up_and_a_descent_down(scene: Scene) -> None:
    at = Point(0.0, 5_000.0, 0.0, 0.0)
    assert (ask_cell_below(scene, at).layer, ask_cell_above(scene, at).layer) == (49, 50)
    assert not ask_is_above(at, 5_000.0)
    assert ask_is_above(at, 4_999.9)


def test_a_descent_ends_at_the_edge_or_at_the_height(scene: Scene) -> None:
    at = Point(10.0, 5_060.0, 0.0, 0.0)
    cell, velocity = ask_cell_below(scene, at), Velocity(3.0, 4.0, 2.0)
    edge = ask_lowered(scene, cell, at, velocity, 0.0)
    assert (edge.t_s, edge.amsl_m) == (40.0, 5_000.0)
    held = ask_lowered(scene, cell, at, velocity, 5_020.0)
    assert (held.t_s, held.amsl_m) == (30.0, 5_020.0)
    after = ask_carried(scene, cell, at, velocity, 20.0)
    assert after == pytest.approx(held)
    slow = ask_lowered(scene, cell, at, Velocity(0.0, 0.0, -1.0), 5_050.0)
    assert slow.t_s == pytest.approx(10.0 + 10.0 / SLOWEST_MPS)


def test_a_drift_keeps_its_height(scene: Scene) -> None:
    at = Point(10.0, 12_345.0, 0.0, 0.0)
    end = ask_drifted(scene, no_errors(scene), at, 100.0)
    wind = mean_wind(scene, 12_345.0)
    north_m = end.north_rad * scene.frame.meridian_m
    assert (end.t_s, end.amsl_m) == (110.0, 12_345.0)
    assert north_m == pytest.approx(100.0 * wind.v_mps, rel=0.003)  # shortened to the ground
