"""The envelope against a maker's table, the standard atmosphere and the energy in rubber."""

import math

import pytest
from scipy.integrate import quad
from scipy.optimize import brentq

from farglide.air.standard import standard_air
from farglide.balloon.envelope import (
    LATEX_DENSITY_KGPM3,
    MOONEY_RATIO,
    RUBBER_MODULUS_PA,
    _diameter_m,
    _film_pressure_pa,
    diameter_m,
    slack_diameter_m,
)
from farglide.constants import NOMINAL_EARTH_RADIUS_M
from farglide.errors import InputError


def _gph_m(air_kgpm3: float) -> float:
    """Return the geopotential height at which the standard air has this density."""
    height: float = brentq(
        lambda gph_m: standard_air(gph_m).rho_kgpm3 - air_kgpm3, 0.0, 60_000.0, xtol=1e-6
    )
    return height


def _geometric_m(gph_m: float) -> float:
    return NOMINAL_EARTH_RADIUS_M * gph_m / (NOMINAL_EARTH_RADIUS_M - gph_m)


def test_the_sphere_of_a_volume() -> None:
    for metres in (0.3, 1.63, 6.6, 13.0):
        radius = 0.5 * metres
        assert _diameter_m(4.0 / 3.0 * math.pi * radius**3) == pytest.approx(metres, rel=1e-12)


@pytest.mark.parametrize(
    ("geometric_m", "ratio"),
    # cube root of the volume ratio of a slack balloon, US Standard Atmosphere 1976
    [(10_000.0, 1.4362), (20_000.0, 2.3973), (30_000.0, 4.0522), (35_000.0, 5.2505)],
)
def test_diameter_grows_with_height(geometric_m: float, ratio: float) -> None:
    gph_m = NOMINAL_EARTH_RADIUS_M * geometric_m / (NOMINAL_EARTH_RADIUS_M + geometric_m)
    grown = 1.225 / standard_air(gph_m).rho_kgpm3
    assert _diameter_m(3.0 * grown) / _diameter_m(3.0) == pytest.approx(ratio, rel=1e-3)


def test_burst_height_of_four_cubic_metres() -> None:
    # rho_b = rho0 V0 / Vb in the US Standard Atmosphere 1976: 9 m are reached at 32 348 m
    height_m = _geometric_m(_gph_m(1.225 * 4.0 / (math.pi / 6.0 * 9.0**3)))
    assert height_m == pytest.approx(32_348.0, abs=20.0)


@pytest.mark.parametrize(
    ("release_m", "burst_m", "burst_km"),
    # A balloon maker's table (hydrogen, 320 m/min), as reproduced on a public guide page:
    # 200, 350, 600, 1000, 1500 and 3000 g
    [
        (1.17, 3.00, 21.2),
        (1.25, 4.12, 25.9),
        (1.42, 6.02, 30.8),
        (1.57, 7.86, 33.9),
        (1.85, 9.44, 34.2),
        (2.12, 13.00, 37.9),
    ],
)
def test_burst_heights_of_a_maker(release_m: float, burst_m: float, burst_km: float) -> None:
    """The two printed diameters alone give the printed height, read as geopotential.

    Tolerance: 0.2 km; half a centimetre of release diameter alone moves it by 0.06 to 0.09 km.
    """
    density = 1.225 * (release_m / burst_m) ** 3
    assert _gph_m(density) / 1000.0 == pytest.approx(burst_km, abs=0.2)


@pytest.mark.parametrize(
    ("factor", "shift_m"),
    # +-5 % and +-10 % of bursting diameter at 30 km, US Standard Atmosphere 1976; the rule
    # 3 H dD/D with H = 6.6 km gives +-990 and +-1980 m
    [(0.90, -2040.0), (0.95, -1000.0), (1.05, 950.0), (1.10, 1870.0)],
)
def test_burst_height_follows_diameter(factor: float, shift_m: float) -> None:
    at_30_km = standard_air(29_859.1).rho_kgpm3  # 30 000 m geometric, ISO 2533:1975 table 5
    shifted = _geometric_m(_gph_m(at_30_km / factor**3))
    assert shifted - 30_000.0 == pytest.approx(shift_m, abs=30.0)


def test_published_pressure_of_a_rubber_sphere() -> None:
    # 4 (h0/r0) (1/L - 1/L^7) (c1 + c2 L^2), an open example of finite elements after Rivlin (1952):
    # h0/r0 1e-4, c1 150 kPa, c2 15 kPa, five times the slack diameter: 41.997 Pa
    slack_m = 1.4
    stiffness_npm = RUBBER_MODULUS_PA * 1e-4 * 0.5 * slack_m
    assert pytest.approx(2.0 * 150e3) == RUBBER_MODULUS_PA
    assert pytest.approx(15.0 / 150.0) == MOONEY_RATIO
    assert _film_pressure_pa(5.0, stiffness_npm, slack_m) == pytest.approx(41.997, abs=6e-4)


def test_density_of_natural_rubber() -> None:
    # DIN EN 12524-2000 as an open library quotes it: 910; handbooks, from memory: to 940
    assert 910.0 <= LATEX_DENSITY_KGPM3 <= 940.0
    thicker = slack_diameter_m(1.0, 50.0) * math.sqrt(LATEX_DENSITY_KGPM3 / 910.0)
    assert thicker / slack_diameter_m(1.0, 50.0) == pytest.approx(1.011, abs=1e-3)


def test_film_pressure_is_the_work_of_stretching() -> None:
    """Blowing a sphere up does as much work as the stretched film holds.

    Mooney-Rivlin energy per film volume, s/2 (I1 - 3) + alpha s/2 (I2 - 3), with equal stretches x
    in the film and 1/x^2 across it (textbook rubber elasticity).
    """
    stiffness_npm, slack_m = 50.0, 1.4
    film_m3 = math.pi * slack_m**2 * stiffness_npm / RUBBER_MODULUS_PA

    def energy_j(x: float) -> float:
        first, second = 2.0 * x**2 + x**-4 - 3.0, x**4 + 2.0 * x**-2 - 3.0
        return film_m3 * 0.5 * RUBBER_MODULUS_PA * (first + MOONEY_RATIO * second)

    for end in (1.2, 2.0, 4.7):
        work_j, _ = quad(
            lambda x: (
                _film_pressure_pa(x, stiffness_npm, slack_m) * math.pi / 2.0 * slack_m**3 * x**2
            ),
            1.0,
            end,
        )
        assert work_j == pytest.approx(energy_j(end), rel=1e-6)


def test_film_pressure_of_a_kilogram_balloon() -> None:
    # common practice, no source: 50 to 150 Pa in flight
    slack_m = slack_diameter_m(1.0, 50.0)
    for metres in (1.63, 2.5, 4.0, 6.6):
        assert 50.0 < _film_pressure_pa(metres / slack_m, 50.0, slack_m) < 150.0


def test_film_pressure_peaks_early_dips_and_rises() -> None:
    # Müller and Strehlow (2004): the non-monotone curve of a rubber balloon; first peak near 1.4
    curve = [_film_pressure_pa(1.0 + 0.01 * step, 50.0, 1.4) for step in range(600)]
    peak = max(range(150), key=curve.__getitem__)
    dip = min(range(peak, 600), key=curve.__getitem__)
    assert 1.3 < 1.0 + 0.01 * peak < 1.5
    assert curve[dip] < 0.9 * curve[peak]
    assert curve[-1] > 1.05 * curve[dip]


def test_slack_film_adds_no_pressure() -> None:
    assert _film_pressure_pa(0.99, 50.0, 1.4) == 0.0
    assert _film_pressure_pa(1.0, 50.0, 1.4) == 0.0
    slack_m = slack_diameter_m(1.0, 0.0)
    assert slack_m == math.inf
    assert _film_pressure_pa(6.6 / slack_m, 0.0, slack_m) == 0.0


def test_slack_diameter_weighs_the_balloon() -> None:
    slack_m = slack_diameter_m(1.2, 60.0)
    thickness_m = 60.0 / RUBBER_MODULUS_PA  # 0.2 mm
    assert math.pi * slack_m**2 * thickness_m * 930.0 == pytest.approx(1.2, rel=1e-12)


def test_kernels_let_nan_through() -> None:
    nan = math.nan
    assert math.isnan(_film_pressure_pa(nan, 50.0, 1.4))


def test_impossible_input_is_refused() -> None:
    with pytest.raises(InputError, match="Give kilograms"):
        slack_diameter_m(1000.0, 50.0)


def test_the_diameter_is_that_of_the_sphere_of_a_volume() -> None:
    assert diameter_m(math.pi / 6.0) == pytest.approx(1.0)
    assert diameter_m(8.0 * math.pi / 6.0) == pytest.approx(2.0)
    with pytest.raises(InputError, match=r"volume_m3 .*Give cubic metres"):
        diameter_m(0.0)
