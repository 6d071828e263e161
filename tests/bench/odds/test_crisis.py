"""Crisis: the curve that made some climbs is found, wherever each of them had its jump."""

import numpy as np
import pytest
from bench.odds.crisis import GRID, Curve, Seen, fit_crisis, log_re_by, missed, shown_by

from farglide.arrays import FloatArray

TRUE = Curve(np.log(0.72), -0.2, np.log(0.29), 0.1, np.log(2.8e5), 0.08)


def climb(curve: Curve, shift: float) -> Seen:
    """Return a climb along a curve: C_d Re^2 falls by a factor of 700 from the ground to 30 km."""
    number = np.linspace(np.log(1.2e11), np.log(1.7e8), 30) + 0.02 * np.sin(np.arange(30.0))
    return Seen(
        1e3 * np.arange(30.0), log_re_by(curve.log_drag(GRID), number - 2.0 * shift) + shift, number
    )


def test_a_curve_is_told_by_its_own_balance() -> None:
    # where C_d Re^2 was made of a Reynolds number off the jump, that number comes back
    for re in (5.0e4, 1.5e5, 6.0e5):
        drag = TRUE.log_drag(np.log([re]))
        assert np.exp(log_re_by(TRUE.log_drag(GRID), drag + 2.0 * np.log(re))) == pytest.approx(
            re, rel=2e-3
        )


def test_a_climb_on_its_curve_misses_nothing() -> None:
    drag = TRUE.log_drag(GRID)
    assert np.abs(missed(climb(TRUE, 0.2), drag, 0.2, 0.0)).max() < 1e-9
    assert np.abs(missed(climb(TRUE, 0.2), drag, 0.0, 0.0)).max() > 0.1


def test_a_smooth_curve_misses_a_jump_and_the_true_one_finds_its_place() -> None:
    seen, smooth = climb(TRUE, 0.15), TRUE._replace(width=0.6).log_drag(GRID)
    # held a little towards none, as fifteen in a hundred are less than what flights may differ by
    assert 0.08 < shown_by(seen, TRUE.log_drag(GRID), True).shift < 0.16
    true, other = (shown_by(seen, drag, True).missed_log for drag in (TRUE.log_drag(GRID), smooth))
    assert rms(true) < 0.3 * rms(other)
    assert shown_by(seen, smooth, False).shift == 0.0


def test_the_jump_that_made_the_climbs_is_found() -> None:
    shifts = np.array([-0.15, 0.0, 0.15])
    found = fit_crisis([climb(TRUE, shift) for shift in shifts])
    assert np.exp(found.curve.at_log + found.shift) == pytest.approx(
        2.8e5 * np.exp(shifts), rel=0.1
    )
    for seen, shift, level in zip(
        [climb(TRUE, s) for s in shifts], found.shift, found.level, strict=True
    ):
        assert rms(missed(seen, found.curve.log_drag(GRID), shift, level)) < 0.04


def rms(values: FloatArray) -> float:
    return float(np.sqrt(np.square(values).mean()))
