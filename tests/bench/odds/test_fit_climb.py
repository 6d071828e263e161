"""Fits of climb and fall find what made the flights."""

import numpy as np
import pytest
from bench.odds.climbs import TYPICAL, mean_ratios, neck_for_kg, ratios_by_table, ratios_of
from bench.odds.falls import Fall
from bench.odds.fit_climb import (
    POOLED,
    eas_by_density,
    fall_exponent,
    fit_drag,
    neighbour_correlation,
)

from farglide.air.standard import standard_air
from farglide.flightfile.standins import DRAG_TABLE


def test_bands_are_told_over_the_mean_of_the_climb() -> None:
    # 5 km at 4 m/s, then 5 km at 6: the mean is 10 000 m in 2083 s, 4.8 m/s
    t_s = np.array([0.0, 1250.0, 1250.0 + 5000.0 / 6.0])
    found = ratios_of(t_s, np.array([0.0, 5000.0, 10_000.0]))
    assert found[:2] == pytest.approx([4.0 / 4.8, 6.0 / 4.8])
    assert np.isnan(found[2:]).all()


def test_a_band_flown_through_in_part_is_not_told() -> None:
    assert np.isnan(ratios_of(np.array([0.0, 1600.0]), np.array([0.0, 8000.0]))[1])


def test_a_balloon_climbs_at_the_mean_it_was_filled_for() -> None:
    # the bands of the whole climb to 30 km: their slownesses average to that of the mean
    ratios = ratios_by_table(DRAG_TABLE, TYPICAL[2])
    assert (1.0 / ratios[:6]).mean() == pytest.approx(1.0, abs=1e-6)
    assert TYPICAL[2].hanging_kg < neck_for_kg(DRAG_TABLE, TYPICAL[2]) < 3.0


def test_a_constant_drag_makes_a_balloon_much_faster_high_up() -> None:
    # diameter as density to the -1/3: speed as density to the -1/6, a factor 1.9 over 30 km
    ratios = mean_ratios(((1.0e5, 0.3),))
    rho = [standard_air(h).rho_kgpm3 for h in (2500.0, 32_500.0)]
    assert ratios[6] / ratios[0] == pytest.approx((rho[0] / rho[1]) ** (1.0 / 6.0), rel=0.03)


def test_the_fitted_table_climbs_as_the_medians_say() -> None:
    # Medians of 47 flights are good to about 0.02.
    assert mean_ratios(fit_drag()) == pytest.approx(np.array(POOLED), abs=0.02)


def test_the_table_that_made_the_bands_is_found() -> None:
    true = ((3.0e4, 0.9), (6.0e4, 0.8), (1.2e5, 0.65), (2.2e5, 0.5), (4.0e5, 0.38), (7.0e5, 0.26))
    target = mean_ratios(true)
    assert mean_ratios(fit_drag(tuple(target))) == pytest.approx(target, abs=0.01)


def test_correlation_of_neighbours_is_that_of_the_errors() -> None:
    rng = np.random.default_rng(3)
    steps = rng.normal(size=(4000, 7))
    errors = np.empty_like(steps)
    errors[:, 0] = steps[:, 0]
    for k in range(1, 7):
        errors[:, k] = 0.6 * errors[:, k - 1] + 0.8 * steps[:, k]
    flat = np.ones(len(errors))
    assert neighbour_correlation(errors, flat) == pytest.approx(0.6, abs=0.02)
    assert neighbour_correlation(errors, flat, 2) == pytest.approx(0.36, abs=0.03)


def made_fall(exponent: float) -> Fall:
    """Return a fall from 12 km at 10 m/s EAS at sea level, EAS ~ rho^exponent."""
    hae_m = np.arange(12_000.0, 0.0, -10.0)
    rho = np.array([standard_air(float(h)).rho_kgpm3 for h in hae_m])
    eas_mps = 10.0 * (rho / 1.225) ** exponent
    slowness = np.sqrt(rho / 1.225) / eas_mps
    t_s = np.concatenate([[0.0], np.cumsum(10.0 * 0.5 * (slowness[1:] + slowness[:-1]))])
    return Fall(name="made up", t_s=t_s, hae_m=hae_m, rho_kgpm3=rho)


@pytest.mark.parametrize("exponent", [0.0, 0.15])
def test_the_exponent_of_a_fall_is_found(exponent: float) -> None:
    falls = (made_fall(exponent),)
    assert fall_exponent(falls, np.ones(1)) == pytest.approx(exponent, abs=0.002)
    _, log_eas = eas_by_density(falls[0])
    assert np.exp(log_eas[-1]) == pytest.approx(10.0, rel=0.02)
