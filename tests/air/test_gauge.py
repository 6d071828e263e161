"""The error of a gauge in height against two heights of the standard atmosphere."""

import numpy as np
import pytest

from farglide.air.gauge import gauge_errors_m
from farglide.air.layers import Layers
from farglide.air.sounding import Sounding
from farglide.air.standard import pressure_altitude_m
from farglide.flightfile.flightfile import FlightFile
from farglide.rig.gear import column_of
from farglide.sortie.grain import Grain


@pytest.fixture(scope="module")
def layers(demo_flight: FlightFile, demo_sounding: Sounding) -> Layers:
    """Return the demo's air, which is that of the standard atmosphere."""
    return column_of(demo_flight.sortie, demo_sounding, Grain()).layers


@pytest.mark.parametrize("amsl_m", [1_000.0, 10_000.0, 20_000.0, 25_000.0])
def test_one_hectopascal_is_the_height_between_two_pressures(layers: Layers, amsl_m: float) -> None:
    # half a hectopascal to either side of the pressure
    k = int((amsl_m - layers.base_amsl_m) / layers.step_m)
    p_pa = float(layers.p_pa[k])
    between_m = pressure_altitude_m(p_pa - 50.0) - pressure_altitude_m(p_pa + 50.0)
    # geopotential heights: 0.4 % less than the geometric ones at 25 km
    assert gauge_errors_m(layers, 100.0)[k] == pytest.approx(between_m, rel=0.01)


def test_twice_the_error_is_twice_the_height(layers: Layers) -> None:
    assert np.array_equal(2.0 * gauge_errors_m(layers, 10.0), gauge_errors_m(layers, 20.0))
