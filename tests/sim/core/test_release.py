"""Release: from the balloon to a glide on its way, at once for what glides already."""

import numpy as np
import pytest

from farglide.chances.ensemble import Ensemble
from farglide.glider.release import pull_out
from farglide.kernel import door
from farglide.sim.core.release import begin_glide, begun_from, goals_at
from farglide.sim.core.states import GLIDING, States, states_of_climbs
from farglide.sim.core.tracks import Point

ask_begun_from = door(begun_from)


@pytest.fixture(scope="module")
def states(low_demo: Ensemble) -> States:
    climbs = low_demo.climbs
    return states_of_climbs(climbs.tracks, climbs.burst_share, np.array([100, 152]))


def test_goals_are_where_they_are() -> None:
    north, east, ground_m = np.array([0.1, 0.2]), np.array([0.3, 0.4]), np.array([250.0, 90.0])
    goals = goals_at(north, east, ground_m, 300.0)
    np.testing.assert_array_equal(goals.arrival_amsl_m, [550.0, 390.0])
    np.testing.assert_array_equal(goals.ground_amsl_m, ground_m)
    np.testing.assert_array_equal((goals.north_rad, goals.east_rad), (north, east))
    assert not goals.moved_north_rad.any()
    assert not goals.moved_east_rad.any()


def test_a_release_costs_the_pull_out(low_demo: Ensemble, states: States) -> None:
    craft, releases = low_demo.craft, low_demo.released
    at = Point(*(float(array[0, 1]) for array in states[1:5]))
    single = pull_out(craft.polar, craft.drop, low_demo.air.column, at.amsl_m, craft.best_eas_mps)
    begun = begin_glide(low_demo.air.scene, releases, 0, at)
    assert releases.haste.heading_s[0] == 0.0
    # the table's heights lie apart
    assert at.amsl_m - begun.amsl_m == pytest.approx(single.level_lost_m, abs=10.0)
    assert begun.t_s - at.t_s == pytest.approx(single.level_s, abs=1.0)


def test_what_hangs_is_released_and_what_glides_goes_on(low_demo: Ensemble, states: States) -> None:
    scene, releases = low_demo.air.scene, low_demo.released
    gliding = states._replace(kind=np.full_like(states.kind, GLIDING))
    for j in (0, 1):
        at = Point(*(float(array[0, j]) for array in states[1:5]))
        assert ask_begun_from(scene, releases, states, 0, j) == begin_glide(scene, releases, 0, at)
        assert ask_begun_from(scene, releases, gliding, 0, j) == at
