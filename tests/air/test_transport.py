"""Transport laws of air against two reference libraries."""

import numpy as np
import pytest
from ambiance import Atmosphere
from CoolProp.CoolProp import PropsSI

from farglide.air.standard import _viscosity_pas, standard_air
from farglide.air.transport import _conductivity_wpmk, _mean_free_path_m, _prandtl

# ICAO Doc 7488 rounds the constants a little otherwise: 2.648151e-3 for 2.64638e-3
ICAO_RATIO = 2.648151e-3 / 2.64638e-3


@pytest.mark.parametrize("gph_m", [0.0, 5_000.0, 11_000.0, 20_000.0, 30_000.0, 40_000.0])
def test_conductivity_is_that_of_the_standard_atmosphere(gph_m: float) -> None:
    air = standard_air(gph_m)
    given = Atmosphere(Atmosphere.geop2geom_height(gph_m))
    wanted = float(given.thermal_conductivity[0]) / ICAO_RATIO
    assert _conductivity_wpmk(air.t_k) == pytest.approx(wanted, rel=1e-5)
    path_m = float(given.mean_free_path[0])
    assert _mean_free_path_m(air.rho_kgpm3) == pytest.approx(path_m, rel=2e-4)


@pytest.mark.parametrize("t_k", [200.0, 225.0, 250.0, 300.0, 350.0, 400.0, 465.0])
def test_conductivity_viscosity_and_prandtl_number_of_real_air(t_k: float) -> None:
    # CoolProp's air: Lemmon and Jacobsen 2004. The standard atmosphere's conductivity lies up to
    # 3 % below or above it, its viscosity 1 %.
    conductivity = PropsSI("L", "T", t_k, "P", 101_325.0, "Air")
    viscosity = PropsSI("V", "T", t_k, "P", 101_325.0, "Air")
    heat = PropsSI("C", "T", t_k, "P", 101_325.0, "Air")
    assert _conductivity_wpmk(t_k) == pytest.approx(conductivity, rel=0.03)
    assert _prandtl(t_k) == pytest.approx(heat * viscosity / conductivity, rel=0.05)


def test_published_conductivity_of_the_standard_atmosphere() -> None:
    # 1000 m geometric, 281.651 K: tests of an open fluids library, checked there against a public
    # page; its decimals are those of another computation
    assert _conductivity_wpmk(281.651) == pytest.approx(0.0248133634493, rel=1e-6)


def test_published_viscosity_and_conductivity_of_real_air() -> None:
    # check values of CoolProp (commit ea27c63), dilute air at 300 K: 26.3529e-3 W/(m K) and
    # 18.5230e-6 Pa s. The standard atmosphere is another law, 0.38 and 0.34 % below.
    assert _conductivity_wpmk(300.0) == pytest.approx(26.3529e-3 * (1.0 - 0.0038), rel=1e-4)
    assert _viscosity_pas(300.0) == pytest.approx(18.5230e-6 * (1.0 - 0.0034), rel=1e-4)


def test_handbook_table_of_air() -> None:
    # Incropera/Bergman table A.4, from memory: 300 K 26.3e-3 W/(m K), 0.707; 350 K 30.0e-3, 0.700.
    # The standard atmosphere's heat capacity is constant; real air's is 0.4 % more at 350 K.
    assert _conductivity_wpmk(300.0) == pytest.approx(26.3e-3, rel=0.01)
    assert _conductivity_wpmk(350.0) == pytest.approx(30.0e-3, rel=0.01)
    assert _prandtl(300.0) == pytest.approx(0.707, rel=0.01)
    assert _prandtl(350.0) == pytest.approx(0.700, rel=0.01)


def test_air_is_a_continuum_for_every_part_of_a_glider() -> None:
    # 66.3 nm at 1.225 kg/m3 as hard spheres of 3.65e-10 m have it, times 1.225 / 0.01841, over 1 cm
    at_30_km = _mean_free_path_m(standard_air(29_859.0).rho_kgpm3)
    assert at_30_km / 0.01 == pytest.approx(4.4e-4, rel=0.01)
    assert _mean_free_path_m(standard_air(39_750.0).rho_kgpm3) / 0.01 < 0.01


def test_path_goes_with_one_over_density() -> None:
    rho = np.array([1.0, 0.1, 0.01])
    paths = [_mean_free_path_m(r) for r in rho]
    assert np.ptp(paths * rho) < 1e-12 * paths[0]
