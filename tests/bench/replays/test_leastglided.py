"""Least glided: the bound by headings, beside what can be had by hand."""

import numpy as np
import pytest
from bench.replays.leastglided import least

from farglide.track.filter.glided import RISES_MPS, Stretches

FLOWN_MPS, SINK_MPS, FIX_MPS, N = 30.0, 4.0, 1e-3, 10
LOG_SPEED = np.log(np.linspace(20.0, 60.0, 40))


def stretches(*heading_deg: float) -> Stretches:
    """Return minutes in still air on some headings in turn, by a polar that is flat in speed."""
    psi = np.radians(np.resize(heading_deg, N))
    rows, one = np.tile(LOG_SPEED, (N, 1)), np.ones(N)
    return Stretches(
        np.linspace(20e3, 17e3, N), FLOWN_MPS * np.stack([np.sin(psi), np.cos(psi)], axis=1),
        FIX_MPS * one, SINK_MPS * one, FIX_MPS * one, FLOWN_MPS * one, rows,
        np.log(SINK_MPS) + 0.0 * rows,
    )  # fmt: skip


def test_two_headings_at_a_right_angle_hold_what_the_airspeed_does() -> None:
    """Independent: the wind along each is off by all that the airspeed is, alike on both."""
    all_sd, each_sd = 0.05, 0.02
    found = least(stretches(0.0, 90.0), np.zeros(2 * N + 1), (all_sd, each_sd))
    chance = np.random.default_rng(8)
    alike, own = chance.standard_normal((100_000, 1)), chance.standard_normal((100_000, 2))
    off_mps = FLOWN_MPS * (all_sd * alike + each_sd / np.sqrt(N / 2) * own)
    assert found.wind_mps == pytest.approx(np.median(np.hypot(*off_mps.T)), rel=0.05)
    assert found.factor_sd == pytest.approx(RISES_MPS / SINK_MPS / np.sqrt(N), rel=0.02)


def test_a_third_heading_tells_the_airspeed_too() -> None:
    steady, still = (0.05, 0.02), np.zeros(2 * N + 1)
    two, three, opposite = (
        least(stretches(*one), still, steady).wind_mps
        for one in ((0.0, 90.0), (0.0, 120.0, 240.0), (0.0, 90.0, 180.0))
    )
    assert three < 0.5 * two
    assert opposite < 0.6 * two
