"""Air between the middles of layers, against the standard atmosphere it was made of."""

import numpy as np
import pytest

from farglide.air.between import air_at, layer_air
from farglide.air.column import AirColumn, build_column
from farglide.air.doubt import WindDoubt
from farglide.air.sounding import Sounding
from farglide.air.standard import standard_air
from farglide.earth.heights import geopotential_at_m
from farglide.kernel import door

ask_layer_air = door(layer_air)


@pytest.fixture(scope="module")
def column(demo_sounding: Sounding) -> AirColumn:
    return build_column(demo_sounding, 0.0, WindDoubt())


def test_in_the_middle_of_a_layer_it_is_the_air_of_the_layer(column: AirColumn) -> None:
    layers = column.layers
    for k in range(0, len(layers.rho_kgpm3), 7):
        amsl_m = layers.base_amsl_m + layers.step_m * (k + 0.5)
        np.testing.assert_allclose(air_at(layers, amsl_m), ask_layer_air(layers, k), rtol=1e-7)


@pytest.mark.parametrize("amsl_m", [777.0, 5_030.0, 14_071.0, 24_990.0, 30_001.0])
def test_between_it_is_the_air_the_column_was_made_of(column: AirColumn, amsl_m: float) -> None:
    # the demo's sounding is the standard atmosphere at 46.5 degrees south (ISO 2533:1975)
    here, exact = air_at(column.layers, amsl_m), standard_air(geopotential_at_m(amsl_m, -46.5))
    assert here.t_k == pytest.approx(exact.t_k, rel=2e-4)
    assert here.p_pa == pytest.approx(exact.p_pa, rel=5e-4)
    assert here.rho_kgpm3 == pytest.approx(exact.rho_kgpm3, rel=5e-4)
    assert here.viscosity_pas == pytest.approx(exact.viscosity_pas, rel=2e-4)


def test_the_sag_stands_for_the_exponential(column: AirColumn) -> None:
    layers = column.layers
    for k in range(0, 300, 11):
        for w in (0.1, 0.5, 0.8):
            amsl_m = layers.base_amsl_m + layers.step_m * (k + 0.5 + w)
            for values, found in (
                (layers.p_pa, air_at(layers, amsl_m).p_pa),
                (layers.rho_kgpm3, air_at(layers, amsl_m).rho_kgpm3),
            ):
                exponential = values[k] ** (1.0 - w) * values[k + 1] ** w
                assert found == pytest.approx(exponential, rel=1e-6)


def test_outside_the_column_it_holds_the_edge(column: AirColumn) -> None:
    layers = column.layers
    base_m, top_m = layers.base_amsl_m, float(column.edges_amsl_m[-1])
    assert air_at(layers, base_m - 500.0) == air_at(layers, base_m)
    assert air_at(layers, top_m + 500.0) == air_at(layers, top_m)
    # in the lowest half layer it goes on as between the two middles above
    ratio = layers.rho_kgpm3[0] / layers.rho_kgpm3[1]
    expected = layers.rho_kgpm3[0] * ratio**0.5
    assert air_at(layers, base_m).rho_kgpm3 == pytest.approx(expected, rel=1e-5)
