"""Delays of alarms: thresholds at their rate, times from the hole and the top, and the table."""

import numpy as np
import pytest
from bench.alarms.delays import AIRS, Alarm, Climb, Delays, delay_rows, delays_in

from farglide.track.drift import Been

T_S = np.arange(0.0, 5401.0, 10.0)


def climb(tops_s: float, noise: float = 0.0) -> Climb:
    z = 5.0 * np.minimum(T_S, tops_s) + noise
    topped_s = tops_s if tops_s < T_S[-1] else float("nan")
    return Climb(Been(T_S, z, 0.0 * T_S, 0.0 * T_S), topped_s)


def slow(been: Been) -> float:
    """Return how much slower than 5 m/s the last 100 s were."""
    return 5.0 - float(been.amsl_m[-1] - been.amsl_m[-11]) / 100.0


def test_a_delay_counts_from_the_top() -> None:
    alarm = Alarm("float", slow, 4.0, "the top")
    sound = [climb(1e9) for _ in range(20)]
    found = delays_in(alarm, AIRS[0], sound, [climb(3000.0), climb(3600.0), climb(1e9)])
    assert found.false_ratio == 0.0
    assert found.threshold == pytest.approx(0.0, abs=1e-9)
    np.testing.assert_allclose(found.delays_s[:2], [60.0, 60.0])
    np.testing.assert_allclose(found.fixed_s[:2], [120.0, 120.0])
    assert np.isnan(found.fixed_s[2]) or np.isinf(found.fixed_s[2])


def test_the_table_tells_minutes_and_never() -> None:
    rows = delay_rows(
        [Delays("float", "calm", -2.5, 0.02, np.array([60.0, 120.0, 600.0, np.inf]),
                np.array([60.0, 60.0, 60.0, 60.0]))], 4)  # fmt: skip
    assert rows[-1].split() == ["float", "calm", "2.5", "m/s", "2", "never", "1", "1", "0.02"]
