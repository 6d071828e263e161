"""Holding: as far up as the fastest speed is as fast as the wind, layer by layer."""

import numpy as np
import pytest

from farglide.chances.ensemble import Ensemble
from farglide.glider.polar import steady_glide
from farglide.kernel import door
from farglide.sim.core.wind import no_errors
from farglide.sim.reach.drawnglider import glide_air
from farglide.sim.reach.holding import Holder, held_up_to
from farglide.sim.reach.reach import Descent

ask_held, ask_air = door(held_up_to), door(glide_air)


@pytest.mark.parametrize("share", [0.95, 0.999, 1.001, 1.5])
def test_it_ends_below_the_first_wind_that_is_faster(calm_demo: Ensemble, share: float) -> None:
    scene, reaches = calm_demo.air.scene, calm_demo.reach.reaches
    layers, k = scene.layers, 98
    fastest = steady_glide(
        calm_demo.craft.polar, float(reaches.speeds.fastest_mps[k]), ask_air(layers, k)
    )
    east, north = np.zeros_like(layers.u_mps), np.zeros_like(layers.v_mps)
    east[0, k], north[0, k] = 0.6 * share * fastest.level_mps, -0.8 * share * fastest.level_mps
    blown = scene._replace(layers=layers._replace(u_mps=east, v_mps=north))
    holder = Holder(reaches.craft, reaches.speeds, 1.0)
    found = ask_held(blown, no_errors(blown), holder, Descent(20_000.0, 540.0))
    low_m = layers.base_amsl_m + k * layers.step_m
    assert found == pytest.approx(20_000.0 if share < 1.0 else low_m)
    below = Descent(low_m - 50.0, 540.0)
    assert ask_held(blown, no_errors(blown), holder, below) == low_m - 50.0
