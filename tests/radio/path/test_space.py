"""Free space against the formulas' published numbers."""

import math

import pytest

from farglide.errors import InputError
from farglide.radio.path.space import (
    checked_frequency_hz,
    free_space_loss_db,
    free_space_range_m,
    range_ratio,
    wavelength_m,
)


@pytest.mark.parametrize(
    ("megahertz", "km", "loss_db"),
    [
        # ITU-R P.525, 20 log (4 pi d / lambda) by hand, printed to 0.01
        (433.92, 30.0, 114.74), (433.92, 100.0, 125.20), (868.0, 50.0, 125.20),
        (915.0, 50.0, 125.66), (1280.0, 40.0, 126.63), (1280.0, 100.0, 134.59),
        (2400.0, 30.0, 129.59), (5800.0, 30.0, 137.26),
    ],
)  # fmt: skip
def test_free_space_loss(megahertz: float, km: float, loss_db: float) -> None:
    assert free_space_loss_db(megahertz * 1e6, km * 1e3) == pytest.approx(loss_db, abs=0.006)


def test_free_space_loss_of_another_implementation() -> None:
    # open code of a radio-astronomy library, test_conversions.py: 1000 MHz, 1 km
    assert free_space_loss_db(1e9, 1e3) == pytest.approx(92.4478, abs=1e-4)


def test_six_decibels_are_half_the_range_and_twelve_a_quarter() -> None:
    # common practice, no source: -6 dB is half, -3 dB is 0.71, 12.04 dB a quarter
    whole = free_space_range_m(2370e6, 138.0)
    for lost_db, share in ((6.02, 0.5), (3.01, 0.707), (12.04, 0.25)):
        assert free_space_range_m(2370e6, 138.0 - lost_db) / whole == pytest.approx(share, abs=1e-3)
    assert free_space_loss_db(2370e6, whole) == pytest.approx(138.0, abs=1e-9)


@pytest.mark.parametrize("frequency_hz", [869.5, 29e6, 31e9, -1.0, math.nan])
def test_frequencies_out_of_range_are_refused(frequency_hz: float) -> None:
    with pytest.raises(InputError, match=r"869.5 MHz is 869.5e6"):
        wavelength_m(frequency_hz)


@pytest.mark.parametrize("distance_m", [0.0, -5.0, 4e6, math.inf, math.nan])
def test_distances_out_of_range_are_refused(distance_m: float) -> None:
    with pytest.raises(InputError, match="Give metres"):
        free_space_loss_db(1e9, distance_m)


def test_losses_out_of_range_are_refused() -> None:
    with pytest.raises(InputError, match="0 to 300 dB"):
        free_space_range_m(1e9, -3.0)


def test_what_decibels_leave_of_a_range() -> None:
    # 20 log d of ITU-R P.525: half at 6.02 dB, a quarter at 12.04 dB, and 0.71 at 3 dB
    assert range_ratio(0.0) == 1.0
    assert range_ratio(20.0 * math.log10(2.0)) == pytest.approx(0.5)
    assert range_ratio(20.0 * math.log10(4.0)) == pytest.approx(0.25)
    assert free_space_range_m(2.37e9, 130.0 - 9.0) == pytest.approx(
        free_space_range_m(2.37e9, 130.0) * range_ratio(9.0)
    )
    for less_db in (-0.1, 60.1, math.nan):
        with pytest.raises(InputError, match="less_db"):
            range_ratio(less_db)


@pytest.mark.parametrize("frequency_hz", [869.5, 29.9e6, 30.1e9, math.nan])
def test_a_frequency_in_megahertz_is_asked_about(frequency_hz: float) -> None:
    with pytest.raises(InputError, match=r"869\.5 MHz is 869\.5e6"):
        checked_frequency_hz(frequency_hz)
    assert checked_frequency_hz(30e6) == 30e6
