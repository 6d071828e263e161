"""Relative humidity from the dew point."""

import numpy as np
import pytest

from farglide.sources.soundings.bufr_temp import relative_humidity_ratio


def test_against_saturation_tables() -> None:
    # Saturation vapour pressure over water, WMO-No. 8 annex 4.B (Goff-Gratch tables agree to
    # 0.1 %, from memory): 0 C 6.11, 10 C 12.27, 20 C 23.37, 30 C 42.43 hPa.
    t_k = np.array([283.15, 293.15, 303.15])
    dew_point_k = np.array([273.15, 283.15, 293.15])
    expected = [6.11 / 12.27, 12.27 / 23.37, 23.37 / 42.43]
    assert relative_humidity_ratio(t_k, dew_point_k).tolist() == pytest.approx(expected, rel=3e-3)


def test_saturated_air_and_nonsense() -> None:
    t_k = np.array([280.0, 280.0, np.nan, 100.0])
    dew_point_k = np.array([280.0, 285.0, 270.0, 90.0])
    ratio = relative_humidity_ratio(t_k, dew_point_k)
    assert ratio[0] == 1.0
    assert np.isnan(ratio[1:]).all()  # a dew point above the temperature says nothing
