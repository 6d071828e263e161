"""Free space, gases and the smooth earth against the published aeronautical curves.

Source of the rows: ITU-R P.528-5 by its reference software, NTIA/p528: README example table,
test/data/P528Test_001.csv and "300 MHz - Lb(0.50)_P528.csv". The curves hold for 100 MHz to 30 GHz
and antennas 1.5 m to 20 km high (the same README and ERRORS_AND_WARNINGS.md): a glider at 26 km is
outside them, and so no row is asked there.
"""

import math

import pytest

from farglide.errors import InputError
from farglide.radio.path.gas import gas_loss_db
from farglide.radio.path.parts import Heights
from farglide.radio.path.smooth_earth import Surface, smooth_earth_loss_db
from farglide.radio.path.space import free_space_loss_db

EARTH_M = 6_371_000.0
BENT_M = 8_500_000.0  # ITU-R P.526
GROUND = Surface(permittivity=15.0, conductivity_spm=0.005, is_vertical=False)


def slant_m(distance_m: float, low_m: float, high_m: float) -> float:
    """Return the straight way between two heights over a round earth."""
    one, other = EARTH_M + low_m, EARTH_M + high_m
    angle = distance_m / EARTH_M
    return math.sqrt(one**2 + other**2 - 2.0 * one * other * math.cos(angle))


def inside(frequency_hz: float, low_m: float, high_m: float) -> bool:
    """Tell whether the published curves hold there."""
    return 100e6 <= frequency_hz <= 30e9 and 1.5 <= low_m <= high_m <= 20_000.0


@pytest.mark.parametrize(
    ("km", "elevation_rad", "free_db", "gases_db"),
    [
        (99.0, 0.127281, 125.510, 0.1544),
        (198.0, 0.055827, 131.473, 0.3115),
        (297.0, 0.028333, 134.984, 0.4812),
    ],
)
def test_free_space_and_gases_at_450_mhz(
    km: float, elevation_rad: float, free_db: float, gases_db: float
) -> None:
    assert inside(450e6, 15.0, 15_000.0)
    way_m = slant_m(1e3 * km, 15.0, 15_000.0)
    assert free_space_loss_db(450e6, way_m) == pytest.approx(free_db, abs=0.03)
    found = gas_loss_db(450e6, math.degrees(elevation_rad), 15.0, 15_000.0)
    # the lower the ray, the longer the traced one of the curves stays in thick air
    assert found == pytest.approx(gases_db, rel=0.06)


@pytest.mark.parametrize(
    ("frequency_hz", "km", "low_m", "high_m", "median_db", "within_db"),
    [
        (500e6, 15.0, 10.0, 1000.0, 110.0, 0.2),
        (300e6, 100.0, 15.0, 20_000.0, 122.2, 0.2),
        (300e6, 100.0, 15.0, 1000.0, 124.0, 1.0),
        (300e6, 100.0, 1.5, 1000.0, 144.0, 1.0),  # 22 dB over free space, still in sight
        # at the horizon of both the curves join their own two methods: 2 dB apart
        (300e6, 140.0, 15.0, 1000.0, 138.5, 2.0),
    ],
)
def test_the_median_over_a_smooth_earth(
    frequency_hz: float, km: float, low_m: float, high_m: float, median_db: float, within_db: float
) -> None:
    assert inside(frequency_hz, low_m, high_m)
    free_db = free_space_loss_db(frequency_hz, slant_m(1e3 * km, low_m, high_m))
    ground_db = smooth_earth_loss_db(frequency_hz, 1e3 * km, Heights(low_m, high_m), BENT_M, GROUND)
    assert free_db + ground_db == pytest.approx(median_db, abs=within_db)


def test_where_the_curves_end_other_laws_answer_or_refuse() -> None:
    assert not inside(869.5e6, 3.0, 26_000.0)
    assert not inside(70e6, 3.0, 10_000.0)
    # high above, free space holds; gases have no law below 100 MHz, and say so
    way_m = slant_m(45e3, 3.0, 26_000.0)
    expected = 32.448 + 20.0 * math.log10(869.5) + 20.0 * math.log10(way_m / 1e3)  # ITU-R P.525
    assert free_space_loss_db(869.5e6, way_m) == pytest.approx(expected, abs=0.01)
    with pytest.raises(InputError, match="frequency_hz"):
        gas_loss_db(70e6, 10.0, 0.0, 20_000.0)
