"""Floating: no climb any more, told within minutes, and neither a burst nor a hold on the hand."""

import numpy as np
import pytest

from farglide.track.drift import Been
from farglide.track.floating import WINDOW_S, floats_since_s, mean_climbs_mps


def been(t_s: np.ndarray, amsl_m: np.ndarray) -> Been:
    return Been(t_s, amsl_m, 0.0 * t_s, 0.0 * t_s)


T_S = np.arange(0.0, 3001.0, 10.0)
TOPS = np.minimum(200.0 + 5.0 * T_S, 10_200.0)  # from T+2000 s on it hangs


def until(t_s: float) -> Been:
    return been(T_S[t_s >= T_S], TOPS[t_s >= T_S])


def test_the_mean_is_over_the_window() -> None:
    found = mean_climbs_mps(been(T_S, TOPS))
    assert np.isnan(found[: round(WINDOW_S / 10.0)]).all()
    np.testing.assert_allclose(found[30:200], 5.0)
    assert found[209] == pytest.approx(5.0 * (WINDOW_S - 90.0) / WINDOW_S)


def test_a_float_is_told_within_its_window() -> None:
    assert floats_since_s(until(2100.0)) is None
    late_s = WINDOW_S * 0.8  # then four fifths of the window hang: below 1 of 5 m/s
    assert floats_since_s(until(2000.0 + late_s - 10.0)) is None
    since_s = floats_since_s(until(2000.0 + late_s + 10.0))
    assert since_s == pytest.approx(2000.0 + late_s - 0.5 * WINDOW_S, abs=15.0)
    assert floats_since_s(until(3000.0)) == since_s


def test_it_goes_when_it_climbs_again() -> None:
    again = np.where(T_S > 2500.0, TOPS + 5.0 * (T_S - 2500.0), TOPS)
    assert floats_since_s(been(T_S, again)) is None


def test_a_burst_is_no_float() -> None:
    fell = np.where(T_S > 2000.0, 10_200.0 - 40.0 * (T_S - 2000.0), TOPS)
    assert floats_since_s(been(T_S[:260], fell[:260])) is None


def test_on_the_hand_nothing_floats() -> None:
    held = 200.0 + 0.0 * T_S
    assert floats_since_s(been(T_S, held)) is None
    assert floats_since_s(been(T_S[:0], held[:0])) is None


def test_a_gap_tells_nothing() -> None:
    some = (T_S < 1000.0) | (T_S > 2200.0)
    gap = been(T_S[some], TOPS[some])
    assert np.isnan(mean_climbs_mps(gap)[int((T_S < 1000.0).sum())])
