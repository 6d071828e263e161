"""Downs: ways down over home in the demo's jet, and what is told of them."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.chances.ensemble import Ensemble
from farglide.plan.home.downs import down_outlook, gentle_down, soonest_down, spiral_down


def jet_mps(ensemble: Ensemble, share: float) -> Ensemble:
    """Return the demo with so much of its winds."""
    scene = ensemble.air.scene
    layers = scene.layers._replace(
        u_mps=share * scene.layers.u_mps, v_mps=share * scene.layers.v_mps
    )
    return replace(ensemble, air=replace(ensemble.air, scene=scene._replace(layers=layers)))


def test_the_jet_of_the_demo_is_held_in_gentle_circles_and_legs(plain: Ensemble) -> None:
    stay = gentle_down(plain, 16_140.0, 240.0)
    told = down_outlook(stay, firm_spiral=False)
    assert told.seconds == stay.seconds
    # faced, the jet takes height: 139 min in still air
    assert gentle_down(jet_mps(plain, 0.0), 16_140.0, 240.0).seconds / 60.0 > 135.0
    assert told.seconds / 60.0 == pytest.approx(109.0, abs=3.0)
    assert told.comes_back
    assert told.farthest_m < 250.0
    assert told.beaten_between_amsl_m is None
    legs, faced = told.legs_between_amsl_m, told.faced_between_amsl_m
    assert legs is not None
    assert faced is not None
    # where the wind is at least half, and all, of the speed of the flattest glide: 10.4 m/s EAS
    layers = plain.air.scene.layers
    wind = np.hypot(layers.u_mps[0], layers.v_mps[0]) / layers.tas_per_eas
    middle = layers.base_amsl_m + layers.step_m * (np.arange(len(wind)) + 0.5)
    for (high, low), part in ((legs, 0.5), (faced, 1.0)):
        strong = middle[(wind > part * 10.4) & (middle < 16_000.0)]
        assert high == pytest.approx(strong.max(), abs=400.0)
        assert low == pytest.approx(strong.min(), abs=400.0)


def test_the_firm_spiral_is_the_soonest_where_it_is_timed(plain: Ensemble) -> None:
    spiral = spiral_down(plain, 16_140.0, 240.0)
    assert spiral is not None
    assert spiral.seconds / 60.0 == pytest.approx(38.6, abs=0.3)
    assert soonest_down(plain, 16_140.0, 240.0).seconds == spiral.seconds
    glider = replace(plain.sortie.glider, spiral_sink_eas_mps=None)
    untimed = replace(plain, sortie=replace(plain.sortie, glider=glider))
    assert spiral_down(untimed, 16_140.0, 240.0) is None
    soonest = soonest_down(untimed, 16_140.0, 240.0)
    assert soonest.seconds == gentle_down(plain, 16_140.0, 240.0).seconds


def test_a_jet_beyond_the_glider_is_told_with_its_heights(plain: Ensemble) -> None:
    told = down_outlook(gentle_down(jet_mps(plain, 1.7), 16_140.0, 240.0), firm_spiral=False)
    assert told.beaten_between_amsl_m is not None
    high, low = told.beaten_between_amsl_m
    assert 9_000.0 < low < 10_100.0 < high < 12_000.0
    assert told.comes_back
    assert 1_000.0 < told.farthest_m < 10_000.0
    lost = down_outlook(gentle_down(jet_mps(plain, 2.0), 16_140.0, 240.0), firm_spiral=False)
    assert not lost.comes_back
    assert lost.farthest_m > told.farthest_m
