"""Tropopause: the one of the standard air, and a factor by height above it."""

import numpy as np
import pytest
from bench.odds.tropopause import factor_log, tropopause_m

from farglide.air.sounding import Sounding
from farglide.air.standard import standard_air


def sounding(top_m: float) -> Sounding:
    gph_m = np.arange(0.0, top_m, 250.0)
    air = [standard_air(float(height)) for height in gph_m]
    return Sounding(
        gph_m=gph_m, p_pa=np.array([one.p_pa for one in air]),
        t_k=np.array([one.t_k for one in air]), relative_humidity_ratio=0.0 * gph_m,
        u_mps=0.0 * gph_m, v_mps=0.0 * gph_m, lat_deg=50.0, lon_deg=0.0, t_s=0.0, origin="made up",
    )  # fmt: skip


def test_the_standard_air_has_its_tropopause_at_11_km() -> None:
    # ISO 2533:1975: 6.5 K/km below 11 km, none above; 2 K/km over 500 m from 10 846 m on
    assert tropopause_m(sounding(20_000.0)) == pytest.approx(10_900.0, abs=60.0)


def test_a_sounding_that_ends_too_low_has_none() -> None:
    assert np.isnan(tropopause_m(sounding(12_000.0)))


def test_a_thin_layer_is_no_tropopause() -> None:
    air = sounding(20_000.0)
    t_k = air.t_k.copy()
    t_k[(air.gph_m > 7_000.0) & (air.gph_m < 7_600.0)] += 2.0
    thin = Sounding(
        gph_m=air.gph_m, p_pa=air.p_pa, t_k=t_k, relative_humidity_ratio=air.u_mps,
        u_mps=air.u_mps, v_mps=air.v_mps, lat_deg=50.0, lon_deg=0.0, t_s=0.0, origin="made up",
    )  # fmt: skip
    assert tropopause_m(thin) == pytest.approx(10_900.0, abs=60.0)


def test_a_factor_is_the_mean_error_of_its_heights_held_towards_none() -> None:
    heights = [np.array([-1_000.0, 1_000.0]), np.array([-1_200.0, 1_200.0])]
    found = factor_log(heights, [np.array([0.1, -0.2]), np.array([0.3, -0.2])],
                       np.array([-1_250.0, 1_250.0, 30_000.0]))  # fmt: skip
    # two cells a bin, beside three without an error
    assert found == pytest.approx([0.4 / 5.0, -0.4 / 5.0, 0.0])
