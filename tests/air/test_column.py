"""The column: exact layer means, density from its own levels, hydrostatics, honest ends."""

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from farglide.air.column import AirColumn, build_column
from farglide.air.doubt import WindDoubt
from farglide.air.moist import _virtual_temperature_k
from farglide.air.sounding import Gap, Sounding
from farglide.air.standard import standard_air
from farglide.air.stratosphere import BY_AGE, going_over
from farglide.earth.heights import geometric_at_m, geopotential_at_m
from farglide.errors import InputError

LAT = 45.5
R_AIR, G0 = 287.05287, 9.80665  # ISO 2533:1975, 2.1
EXACT = WindDoubt(deep_mps=1.5, deep_ratio=0.08, deep_depth_m=3000.0, beyond_mps=10.0)
FloatArray = NDArray[np.float64]


def sounding(
    gph_m: FloatArray,
    u: Callable[[FloatArray], FloatArray] = np.zeros_like,
    v: Callable[[FloatArray], FloatArray] = np.zeros_like,
    warmer_k: float = 0.0,
    humidity: float = math.nan,
) -> Sounding:
    """Return a sounding of the standard atmosphere, by a temperature offset warmer."""
    airs = [standard_air(float(h)) for h in gph_m]
    z = np.array([geometric_at_m(float(h), LAT) for h in gph_m])
    return Sounding(
        gph_m=gph_m,
        p_pa=np.array([air.p_pa for air in airs]),
        t_k=np.array([air.t_k for air in airs]) + warmer_k,
        relative_humidity_ratio=np.full(len(gph_m), humidity),
        u_mps=u(z),
        v_mps=v(z),
        lat_deg=LAT,
        lon_deg=0.0,
        t_s=0.0,
        origin="made up",
    )


def middles(column: AirColumn) -> FloatArray:
    edges = column.edges_amsl_m
    return 0.5 * (edges[1:] + edges[:-1])


STANDARD_GPH_M = np.unique(
    np.concatenate([np.arange(0.0, 41_000.0, 1500.0), [11_000.0, 20_000.0, 32_000.0]])
)
STANDARD = sounding(STANDARD_GPH_M)


def test_standard_levels_give_the_standard_atmosphere_at_every_layer() -> None:
    # ISO 2533:1975, at the middle of each layer, though the levels stand 1.5 km apart. A layer
    # that holds a kink of the temperature is met as well.
    column = build_column(STANDARD, 0.0, EXACT)
    layers = column.layers
    assert len(layers.p_pa) == 400
    for k, z in enumerate(middles(column)):
        air = standard_air(geopotential_at_m(float(z), LAT))
        assert layers.p_pa[k] == pytest.approx(air.p_pa, rel=1e-4)
        assert layers.t_k[k] == pytest.approx(air.t_k, rel=1e-4)
        assert layers.rho_kgpm3[k] == pytest.approx(air.rho_kgpm3, rel=1e-4)
        assert layers.sound_mps[k] == pytest.approx(air.sound_mps, rel=1e-4)
        assert layers.viscosity_pas[k] == pytest.approx(air.viscosity_pas, rel=1e-4)
        assert layers.tas_per_eas[k] == pytest.approx(math.sqrt(1.225 / air.rho_kgpm3), rel=1e-4)


def test_printed_values_of_the_standard_atmosphere_come_back() -> None:
    # ISO 2533:1975 tables 5 to 7, geometric heights; gravity at the standard's latitude.
    column = build_column(STANDARD, 0.0, EXACT)
    rows = {  # Z: T, p, rho, a, mu, g
        10_000: (223.252, 26_499.9, 0.413510, 299.532, 1.4577e-5, 9.7759),
        20_000: (216.650, 5529.29, 0.0889097, 295.069, 1.4216e-5, 9.7452),
        35_000: (236.513, 574.592, 0.00846334, 308.299, 1.5287e-5, 9.6995),
    }
    z = middles(column)
    layers = column.layers
    for height, (t_k, p_pa, rho, sound, viscosity, gravity) in rows.items():

        def at(values: FloatArray, height: float = height) -> float:
            return float(np.interp(height, z, values))

        assert at(layers.t_k) == pytest.approx(t_k, abs=0.01)
        assert math.exp(at(np.log(layers.p_pa))) == pytest.approx(p_pa, rel=1e-4)
        assert math.exp(at(np.log(layers.rho_kgpm3))) == pytest.approx(rho, rel=1e-4)
        assert at(layers.sound_mps) == pytest.approx(sound, rel=1e-4)
        assert at(layers.viscosity_pas) == pytest.approx(viscosity, rel=1e-4)
        assert at(layers.gravity_mps2) == pytest.approx(gravity, abs=5e-4)


def test_layer_means_of_linear_winds_are_exact() -> None:
    made = sounding(STANDARD_GPH_M, lambda z: 3.0 + 0.002 * z, lambda z: 40.0 - 0.003 * z)
    column = build_column(made, 250.0, EXACT)
    known = middles(column) < column.beyond_amsl_m - 100.0
    z = middles(column)[known]
    assert column.layers.u_mps.shape == (1, 398)
    np.testing.assert_allclose(column.layers.u_mps[0][known], 3.0 + 0.002 * z, rtol=0, atol=1e-9)
    np.testing.assert_allclose(column.layers.v_mps[0][known], 40.0 - 0.003 * z, rtol=0, atol=1e-9)


def test_layer_mean_across_a_kink_is_the_integral() -> None:
    # u rises from 0 to 10 m/s over 0-1050 m and falls back over the next 1050 m: in the layer
    # 1000-1100 m it is 10 (1 - |z - 1050|/1050), mean 10 (1 - 25/1050).
    gph = np.array([geopotential_at_m(z, LAT) for z in (0.0, 1050.0, 2100.0)])
    made = replace(sounding(gph), u_mps=np.array([0.0, 10.0, 0.0]))
    column = build_column(made, 0.0, EXACT)
    assert column.layers.u_mps[0, 10] == pytest.approx(10.0 * (1.0 - 25.0 / 1050.0), abs=1e-6)


def test_winds_are_conserved_however_the_levels_lie() -> None:
    rng = np.random.default_rng(5)
    gph = np.sort(rng.uniform(0.0, 38_000.0, 60))
    made = replace(sounding(gph), u_mps=rng.normal(0.0, 20.0, 60))
    column = build_column(made, 0.0, EXACT)
    edges = column.edges_amsl_m
    fine = np.linspace(edges[0], edges[-1], 800_001)
    z = np.array([geometric_at_m(float(h), LAT) for h in gph])
    whole = np.trapezoid(np.interp(fine, z, made.u_mps), fine)
    assert column.layers.u_mps[0].sum() * column.layers.step_m == pytest.approx(whole, rel=1e-6)


def test_density_is_that_of_the_soundings_own_temperature_and_pressure() -> None:
    # Ideal gas: 10 K warmer at 216.65 K and the same pressure is 4.4 % thinner, TAS 2.3 % more.
    cold = build_column(STANDARD, 0.0, EXACT).layers
    warm = build_column(sounding(STANDARD_GPH_M, warmer_k=10.0), 0.0, EXACT).layers
    k = 200  # 20 km
    assert warm.rho_kgpm3[k] / cold.rho_kgpm3[k] - 1.0 == pytest.approx(-0.0441, abs=1e-4)
    assert warm.tas_per_eas[k] / cold.tas_per_eas[k] - 1.0 == pytest.approx(0.0228, abs=1e-4)


def test_pressure_falls_as_the_weight_of_the_layers() -> None:
    # dp = -rho g dz through the whole column, extensions included. The made-up sounding is
    # hydrostatic itself: its pressures come from its own temperatures.
    gph = np.arange(1000.0, 26_000.0, 900.0)
    t = 250.0 + 25.0 * np.sin(gph / 4000.0)
    steps = G0 * np.diff(gph) / (R_AIR * 0.5 * (t[1:] + t[:-1]))
    p = 90_000.0 * np.exp(-np.concatenate([[0.0], np.cumsum(steps)]))
    made = replace(sounding(gph), t_k=t, p_pa=p)
    layers = build_column(made, 100.0, EXACT).layers
    # Between middles: hydrostatic with the mean of both densities, in logarithms.
    rho = np.sqrt(layers.rho_kgpm3[1:] * layers.rho_kgpm3[:-1])
    p_mean = np.sqrt(layers.p_pa[1:] * layers.p_pa[:-1])
    fall = np.diff(np.log(layers.p_pa))
    np.testing.assert_allclose(fall, -rho * layers.gravity_mps2[1:] * 100.0 / p_mean, rtol=6e-3)
    whole = -np.sum(rho * layers.gravity_mps2[1:] * 100.0 / p_mean)
    assert fall.sum() == pytest.approx(whole, rel=5e-4)


def test_a_wide_gap_keeps_hydrostatic_pressure() -> None:
    # Standard levels 5.5 km apart in the troposphere: a straight logarithm is 1 % off between.
    made = sounding(np.array([0.0, 5500.0, 11_000.0, 20_000.0]))
    layers = build_column(made, 0.0, EXACT).layers
    air = standard_air(geopotential_at_m(2750.0, LAT))
    assert layers.p_pa[27] == pytest.approx(air.p_pa, rel=1e-4)


def test_above_the_top_the_wind_is_kept_and_its_doubt_widens_within_one_depth() -> None:
    made = sounding(
        np.arange(0.0, 20_500.0, 500.0), lambda z: 20.0 + 0.0 * z, lambda z: -5.0 + 0 * z
    )
    column = build_column(made, 0.0, EXACT)
    assert column.beyond_amsl_m == pytest.approx(geometric_at_m(20_000.0, LAT))
    above = middles(column) > column.beyond_amsl_m
    layers = column.layers
    np.testing.assert_allclose(layers.u_mps[0][above], 20.0)
    np.testing.assert_allclose(layers.v_mps[0][above], -5.0)
    known = math.hypot(1.5, 0.08 * 20.0, 0.08 * 5.0)
    along_mps = column.doubt_by_layer.deep_along_mps
    aloft = known * going_over(middles(column), BY_AGE.size_ratio)
    assert along_mps[~above] == pytest.approx(aloft[~above])
    rise = middles(column)[above] - column.beyond_amsl_m
    share = np.clip(rise / 3000.0, 0.0, 1.0)
    most = 10.0 * BY_AGE.size_ratio  # like all deep errors, less up there
    np.testing.assert_allclose(along_mps[above], aloft[above] + share * (most - aloft[above]))
    assert along_mps[-1] == most
    across_mps = column.doubt_by_layer.deep_mps
    assert across_mps[~above] == pytest.approx((1.5 / known * aloft)[~above])
    assert across_mps[-1] == most
    assert (column.doubt_by_layer.shallow_mps == EXACT.shallow_mps).all()


def test_above_the_top_temperature_follows_the_standard_lapse_and_pressure_its_weight() -> None:
    made = sounding(np.arange(0.0, 20_500.0, 500.0))
    layers = build_column(made, 0.0, EXACT).layers
    for k in (250, 300, 399):  # a standard sounding goes on as the standard atmosphere
        air = standard_air(geopotential_at_m(100.0 * k + 50.0, LAT))
        assert layers.t_k[k] == pytest.approx(air.t_k, abs=0.05)
        assert layers.p_pa[k] == pytest.approx(air.p_pa, rel=3e-4)


def test_doubt_that_is_already_wider_never_shrinks_above_the_top() -> None:
    made = sounding(np.arange(0.0, 20_500.0, 500.0), lambda z: 60.0 + 0.0 * z)
    column = build_column(made, 0.0, replace(EXACT, deep_mps=9.0, deep_ratio=0.2))
    assert column.doubt_by_layer.deep_along_mps == pytest.approx(
        15.0 * going_over(middles(column), BY_AGE.size_ratio)
    )


def test_a_layer_s_middle_is_half_way_between_its_edges() -> None:
    column = build_column(sounding(np.arange(0.0, 30_000.0, 500.0)), -120.0, EXACT)
    np.testing.assert_allclose(column.middles_amsl_m, middles(column), rtol=1e-12)


def test_below_the_lowest_level_the_wind_is_kept_and_doubted() -> None:
    made = sounding(np.arange(4000.0, 30_000.0, 500.0), lambda z: 12.0 + 0.0 * z, humidity=0.9)
    column = build_column(made, 210.0, EXACT)
    assert column.edges_amsl_m[0] == 200.0
    assert column.below_amsl_m == pytest.approx(geometric_at_m(4000.0, LAT))
    layers = column.layers
    np.testing.assert_allclose(layers.u_mps[0][:20], 12.0)
    known = math.hypot(1.5, 0.08 * 12.0)
    along_mps = column.doubt_by_layer.deep_along_mps
    assert along_mps[0] == 10.0
    assert along_mps[30] == pytest.approx(
        known + (column.below_amsl_m - 3250.0) / 3000.0 * (10.0 - known)
    )
    assert along_mps[45] == pytest.approx(known)
    # The air goes on by the standard lapse of 6.5 K/km, dry and moist temperature alike.
    assert layers.t_k[0] == pytest.approx(standard_air(0.0).t_k - 0.0065 * 250.0, abs=0.05)
    assert layers.p_pa[0] == pytest.approx(standard_air(250.0).p_pa, rel=2e-3)


def test_moist_air_is_lighter_as_its_virtual_temperature_says() -> None:
    # WMO-No. 8 annex 4.A through air.moist; no humidity stated means dry.
    gph = np.arange(0.0, 12_000.0, 50.0)
    moist = build_column(sounding(gph, warmer_k=10.0, humidity=0.8), 0.0, EXACT).layers
    dry = build_column(sounding(gph, warmer_k=10.0), 0.0, EXACT).layers
    for k in (0, 20, 60):
        p_pa, t_k = float(moist.p_pa[k]), float(moist.t_k[k])
        wanted = p_pa / (R_AIR * _virtual_temperature_k(t_k, p_pa, 0.8))
        assert moist.rho_kgpm3[k] == pytest.approx(wanted, rel=1e-5)
        assert moist.rho_kgpm3[k] < dry.rho_kgpm3[k]
        assert dry.rho_kgpm3[k] == pytest.approx(dry.p_pa[k] / (R_AIR * dry.t_k[k]), rel=1e-12)


def test_a_humidity_that_cannot_be_is_taken_as_dry_air() -> None:
    # A sensor stuck at 100 % in the warm thin air of 50 km, and air colder than the vapour law.
    made = sounding(np.arange(0.0, 55_000.0, 1000.0), humidity=1.0)
    made = replace(made, t_k=np.where(made.gph_m == 18_000.0, 155.0, made.t_k))
    layers = build_column(made, 0.0, EXACT).layers
    assert np.isfinite(layers.rho_kgpm3).all()


def test_loss_of_speed_on_the_way_down_is_that_of_the_density() -> None:
    # V = EAS / sqrt(sigma), so (V/g) dV/dh = EAS^2 (1 / 2g) d(1/sigma)/dh; at 20 km in the
    # isothermal layer d(1/sigma)/dh = (1/sigma) / H with H = R T / g.
    layers = build_column(STANDARD, 0.0, EXACT).layers
    k = 180
    wanted = (1.225 / layers.rho_kgpm3[k]) / (2.0 * R_AIR * 216.65)
    assert layers.slowing_s2pm2[k] == pytest.approx(wanted, rel=1e-3)
    # 11 % of the sink at 20 km and 32 m/s EAS.
    assert 32.0**2 * layers.slowing_s2pm2[200] == pytest.approx(0.113, abs=0.003)


def test_one_layer_grid_for_every_base() -> None:
    for base, first in (
        (0.0, 0.0),
        (99.9, 0.0),
        (240.0, 200.0),
        (-120.0, -200.0),
        (3000.0, 3000.0),
    ):
        column = build_column(STANDARD, base, EXACT)
        assert column.layers.base_amsl_m == first
        assert column.edges_amsl_m[-1] == 40_000.0


def change(**values: object) -> Callable[[], Sounding]:
    return lambda: replace(STANDARD, **values)  # type: ignore[arg-type]


def with_value(name: str, i: int, value: float) -> Callable[[], Sounding]:
    values = getattr(STANDARD, name).copy()
    values[i] = value
    return change(**{name: values})


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: sounding(np.array([0.0, 5000.0])), "levels is 2; allowed: 3 or more"),
        (change(p_pa=np.ones(3)), f"p_pa is 3 values; allowed: {len(STANDARD_GPH_M)}"),
        (change(relative_humidity_ratio=np.ones(3)), "relative_humidity_ratio is 3 values"),
        (change(elapsed_s=np.ones(2)), "elapsed_s is 2 values"),
        (with_value("gph_m", 3, 95_000.0), "gph_m at level 4 is 95000.0 m"),
        (with_value("gph_m", 3, 100.0), "gph_m at level 4 is 100.0 m; allowed: higher than"),
        (with_value("p_pa", 2, math.nan), "p_pa at level 3 is nan Pa"),
        (with_value("p_pa", 2, 1013.25e2), "p_pa at level 3 is 101325.0 Pa; allowed: lower than"),
        (with_value("t_k", 0, 15.0), "t_k at level 1 is 15.0 K; allowed: 150.0 to 330.0 K"),
        (
            with_value("relative_humidity_ratio", 1, 85.0),
            "relative_humidity_ratio at level 2 is 85",
        ),
        (with_value("u_mps", 1, 999.0), "u_mps at level 2 is 999.0 m/s"),
        (with_value("v_mps", 1, math.inf), "v_mps at level 2 is inf m/s"),
        (change(lat_deg=95.0), "lat_deg is 95.0°"),
        (change(lon_deg=-400.0), "lon_deg is -400.0°"),
    ],
)
def test_soundings_that_cannot_be_are_refused(make: Callable[[], Sounding], says: str) -> None:
    with pytest.raises(InputError) as caught:
        make()
    assert says in str(caught.value)


@pytest.mark.parametrize("base", [math.nan, -900.0, 9500.0])
def test_a_base_off_the_ground_is_refused(base: float) -> None:
    with pytest.raises(InputError, match=r"base_amsl_m is .* m; allowed: -500 to 9000 m"):
        build_column(STANDARD, base, EXACT)


def test_trembling_pressures_of_a_fast_sampler_are_taken() -> None:
    p = STANDARD.p_pa.copy()
    p[5] = p[4] * 1.005
    assert replace(STANDARD, p_pa=p).top_gph_m == STANDARD.gph_m[-1]


def test_levels_without_a_wind_of_their_own_do_not_narrow_its_doubt() -> None:
    made = sounding(np.arange(0.0, 30_500.0, 500.0), lambda z: 20.0 + 0.0 * z)
    gap = replace(made, windless_gph_m=(Gap(3000.0, 16_000.0),))
    told, left = (build_column(one, 0.0, EXACT).doubt_by_layer.deep_mps for one in (made, gap))
    assert left[95] == 10.0  # half way
    assert told[95] == pytest.approx(1.5)
    assert left[20] == pytest.approx(told[20])
