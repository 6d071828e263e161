"""Refraction and horizons against published profiles, closed forms and a ray followed in steps."""

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from farglide.constants import MEAN_EARTH_RADIUS_M
from farglide.errors import InputError
from farglide.radio.path.bending import (
    SCALE_HEIGHT_M,
    SURFACE_REFRACTIVITY,
    elevation_deg,
    radio_horizon_m,
    radius_factor,
    refractivity,
    traced_horizon_m,
)


def test_refractivity_of_a_mild_day() -> None:
    # ITU-R P.453 at 15 C, 1013.25 hPa, 60 %: 319.07 by an open code, whose vapour pressure is 0.4 %
    # more than the 1705.6 Pa taken here: 0.19 of the 46 that are wet
    assert refractivity(101_325.0, 288.15, 0.6 * 1705.6) == pytest.approx(319.07 - 0.19, abs=0.01)


@pytest.mark.parametrize(
    ("gradient", "factor"),
    [(-39.0, 1.3306), (-45.0, 1.40179)],  # ITU-R P.452-16 eq. 5 with 157; exact radius here
)
def test_effective_radius(gradient: float, factor: float) -> None:
    assert radius_factor(gradient) == pytest.approx(factor, rel=5e-4)
    assert radius_factor(0.0) == 1.0


@pytest.mark.parametrize(
    ("height_m", "bent_km", "straight_km"),
    [(100.0, 47.0, 40.7), (1000.0, 136.1, 117.9), (30_000.0, 719.4, 623.4)],
)
def test_radio_horizon(height_m: float, bent_km: float, straight_km: float) -> None:
    # 4.12 (sqrt h1 + sqrt h2) with h1 = 2 m, and 3.57: rounded constants, 0.05 % below the exact
    bent = radio_horizon_m(2.0) + radio_horizon_m(height_m)
    straight = radio_horizon_m(2.0, 1.0) + radio_horizon_m(height_m, 1.0)
    assert bent / 1e3 == pytest.approx(bent_km, rel=2e-3)
    assert straight / 1e3 == pytest.approx(straight_km, rel=2e-3)


@pytest.mark.parametrize(("height_m", "km"), [(10_000.0, 411.4), (30_000.0, 686.3)])
def test_traced_horizon(height_m: float, km: float) -> None:
    # Bouguer integral through the reference profile of ITU-R P.453; 4/3 earth gives 417.8 and 719.4
    assert traced_horizon_m(2.0, height_m) / 1e3 == pytest.approx(km, abs=0.051)


def test_traced_horizon_is_that_of_a_ray_followed_step_by_step() -> None:
    """A grazing ray by its differential equation: d(elevation)/d(arc) from the gradient of n."""
    radius = MEAN_EARTH_RADIUS_M

    def along(_: float, y: np.ndarray) -> list[float]:
        height, angle = y
        n = 1.0 + 1e-6 * SURFACE_REFRACTIVITY * math.exp(-height / SCALE_HEIGHT_M)
        slope = -1e-6 * SURFACE_REFRACTIVITY / SCALE_HEIGHT_M * math.exp(-height / SCALE_HEIGHT_M)
        r = radius + height
        # per metre of arc at sea level; n r cos(angle) is kept
        return [r / radius * math.tan(angle), (1.0 + r * slope / n) / radius]

    def there(_: float, y: np.ndarray) -> float:
        return float(y[0]) - 20_000.0

    there.terminal = True  # type: ignore[attr-defined]
    flown = solve_ivp(along, (0.0, 2e6), [0.0, 0.0], events=there, rtol=1e-10, atol=1e-9)
    assert traced_horizon_m(0.0, 20_000.0) == pytest.approx(float(flown.t[-1]), rel=2e-5)


@pytest.mark.parametrize(
    ("km", "true_deg", "bent_deg"),
    # by hand: spherical geometry on the earth and on one of 4/3 of its radius, printed to 0.01
    [(100.0, 16.21, 16.33), (200.0, 7.61, 7.84), (300.0, 4.35, 4.69)],
)
def test_elevation_of_a_target_at_30_km(km: float, true_deg: float, bent_deg: float) -> None:
    assert elevation_deg(0.0, 30_000.0, 1e3 * km, 1.0) == pytest.approx(true_deg, abs=0.006)
    assert elevation_deg(0.0, 30_000.0, 1e3 * km) == pytest.approx(bent_deg, abs=0.006)


def test_elevation_from_the_car_in_the_demo() -> None:
    # 55 km out, 27 km up: flat 26.15, round earth 25.85 degrees
    assert elevation_deg(0.0, 27_000.0, 55e3, 1.0) == pytest.approx(25.85, abs=0.02)
    assert math.degrees(math.atan2(27.0, 55.0)) == pytest.approx(26.15, abs=0.01)


def test_what_is_out_of_range_is_refused() -> None:
    with pytest.raises(InputError, match="Give kelvin"):
        refractivity(101_325.0, 15.0, 0.0)
    with pytest.raises(InputError, match="vapour less"):
        refractivity(100.0, 288.0, 200.0)
    with pytest.raises(InputError, match="-150 to 300"):
        radius_factor(-157.0)
    with pytest.raises(InputError, match="0 to 50 000 m"):
        radio_horizon_m(-1.0)
    with pytest.raises(InputError, match="0 to 50 000 m"):
        traced_horizon_m(0.0, 60_000.0)
    with pytest.raises(InputError, match="1500 km"):
        elevation_deg(0.0, 100.0, 2e6)
