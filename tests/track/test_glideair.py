"""Glide air: that of the layer, ends included."""

import pytest
from tests.track.filter.made import laws

from farglide.glider.polar import steady_glide
from farglide.track.glideair import glide_air_at, layer_at


def test_it_is_the_air_of_the_standard_atmosphere_there() -> None:
    scene = laws().movers.scene
    air = glide_air_at(scene, 20_000.0)
    # 1976 standard atmosphere: 0.0889 kg/m3, 1 / sqrt(sigma) 3.71 at 20 km
    assert air.rho_kgpm3 == pytest.approx(0.0889, rel=0.06)
    assert air.tas_per_eas == pytest.approx(3.71, rel=0.03)
    low = glide_air_at(scene, 300.0)
    flown = [steady_glide(laws().movers.polar, 12.0, one) for one in (air, low)]
    assert flown[0].level_mps > 3.0 * flown[1].level_mps


def test_outside_the_column_it_is_its_end() -> None:
    scene = laws().movers.scene
    assert layer_at(scene, -5e3) == 0
    assert layer_at(scene, 1e6) == len(scene.layers.p_pa) - 1
