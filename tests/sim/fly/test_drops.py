"""Drops against the pull-out that the plan integrates."""

import numpy as np
import pytest
from tests.track.filter.made import ensemble, laws

from farglide.glider.release import Dropped, Path, Start, _advance, _pull_out
from farglide.kernel import door
from farglide.sim.fly.drops import fallen_m

advance = door(_advance)


@pytest.mark.parametrize("high_m", [5_000.0, 15_000.0, 30_000.0])
def test_it_falls_as_the_pull_out_does(high_m: float) -> None:
    craft, layers = ensemble().craft, laws().movers.scene.layers
    own = Dropped(craft.polar, craft.drop, 1.0)
    pull = _pull_out(own, layers, Start(high_m, 0.0), craft.best_eas_mps)
    drop = np.array([pull.level_s, pull.level_lost_m, 20.0, 3.0])
    path, step_s, t_s = Path(0.01, 0.5 * np.pi, high_m), pull.level_s / 400.0, 0.0
    while t_s < pull.level_s - step_s:
        path = advance(own, layers, path, np.int64(0 if t_s < pull.air_s else 1), step_s)
        t_s += step_s
        assert high_m - path.amsl_m == pytest.approx(fallen_m(drop, t_s), abs=0.03 * drop[1])


def test_it_begins_at_rest_and_ends_level_and_sinks_on() -> None:
    drop = np.array([20.0, 1000.0, 20.0, 3.0])
    assert fallen_m(drop, -1.0) == fallen_m(drop, 0.0) == 0.0
    assert fallen_m(drop, 0.1) < 0.1
    assert fallen_m(drop, 20.0) == pytest.approx(1000.0)
    assert fallen_m(drop, 19.9) == pytest.approx(1000.0, abs=0.2)
    assert fallen_m(drop, 30.0) == pytest.approx(1030.0)
