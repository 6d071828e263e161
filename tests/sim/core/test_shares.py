"""The chance of a burst and of a failure: closed forms, monotone shares, published bounds."""

import math

import numpy as np
import pytest
from scipy.stats import beta, norm

from farglide.air.column import build_column
from farglide.air.doubt import WindDoubt
from farglide.air.sounding import Sounding
from farglide.balloon.ascent import balance_of
from farglide.balloon.burst import Bursting
from farglide.balloon.envelope import Envelope
from farglide.errors import InputError
from farglide.sim.core.airerrors import no_air_errors
from farglide.sim.core.cube import no_cube
from farglide.sim.core.scene import Balloon, Scene, Swarm
from farglide.sim.core.shares import (
    burst_shares,
    burst_shares_since,
    failure_bound_ratio,
    quantile_moment_s,
)
from farglide.sim.core.step import frame_of
from farglide.sim.core.tracks import Tracks
from farglide.sim.fly.climb import Climbed, Clock, climb


def tracks_of(diameter_m: np.ndarray) -> Tracks:  # type: ignore[type-arg]
    same = np.zeros_like(diameter_m)
    return Tracks(30.0, same, same, same, diameter_m, same)


def law(sd_m: float, mean_m: float = 6.6, early_ratio: float = 0.0) -> Bursting:
    return Bursting(mean_m, sd_m, early_ratio, 1.6)


def flown(sounding: Sounding, burst_m: np.ndarray) -> Climbed:  # type: ignore[type-arg]
    """Return demo climbs without errors but for the bursting diameter, on a clock of 10 s."""
    column = build_column(sounding, 240.0, WindDoubt())
    n = len(burst_m)
    envelope = Envelope(1.0, 0.19449, 14.368, 0.0, 0.0, 100.0, 6.6, 1.0, 0.0)
    still = no_air_errors(n, len(column.layers.p_pa))
    swarm = Swarm(
        np.full(n, 0.19449), np.ones(n), burst_m, np.zeros(n), np.ones((n, 8)), *still, np.arange(n)
    )
    scene = Scene(column.layers, frame_of(-46.5, 108.0), no_cube())
    balloon = Balloon(envelope, balance_of(((1e5, 0.3),)), 0.82, np.ones(8))
    return climb(scene, swarm, balloon, Clock(240.0, 10.0, 6000.0))


def test_burst_heights_spread_as_the_closed_form_says(demo_sounding: Sounding) -> None:
    # Volume goes as 1/rho, so dh = 3 H dD/D with H = R T / g: +-5 % of diameter is +0.95 and
    # -1.00 km at 30 km, +-10 % is +1.87 and -2.04 km. Source: ideal gas, computed apart from this.
    burst = flown(demo_sounding, 6.6 * np.array([0.9, 0.95, 1.0, 1.05, 1.1])).burst
    off = burst.amsl_m - burst.amsl_m[2]
    assert off == pytest.approx([-2040.0, -1000.0, 0.0, 950.0, 1870.0], abs=40.0)
    # H of the density, in air that grows 1 K/km warmer: 3 % less than R T / g.
    scale_m = 287.053 * 226.5 / 9.7147 / (1.0 + 287.053 / 9.7147 * 0.001)
    assert (off[3] - off[1]) / 0.1 == pytest.approx(3.0 * scale_m, rel=0.01)


def test_quantiles_of_the_burst_are_those_of_the_normal_diameter(demo_sounding: Sounding) -> None:
    # One climb, diameter 6.6 m +- 6 %: the share burst reaches q when the balloon is as wide as
    # that quantile of the normal distribution.
    wanted = np.array([0.1, 0.25, 0.5, 0.75, 0.9])
    diameters = norm.ppf(wanted, 6.6, 0.06 * 6.6)
    tracks = flown(demo_sounding, np.array([6.6])).tracks
    burst = flown(demo_sounding, diameters).burst
    share = burst_shares(tracks, law(0.06 * 6.6))[0]
    got = [quantile_moment_s(share, 10.0, float(q)) for q in wanted]
    # A layer has one diameter, and is passed in some 12 s.
    assert got == pytest.approx(list(burst.after_launch_s), abs=12.0)


def test_the_share_is_the_normal_one_at_each_moment() -> None:
    diameter = np.linspace(1.0, 9.0, 50)[None, :]
    share = burst_shares(tracks_of(diameter), law(0.4))[0]
    np.testing.assert_allclose(share, norm.cdf(diameter[0], 6.6, 0.4), rtol=1e-9)


@pytest.mark.parametrize("passed_sd", [-3.0, 0.0, 3.0, 6.0, 7.0, 9.0, 12.0])
def test_of_whole_balloons_the_share_is_the_conditional_one(passed_sd: float) -> None:
    # P(burst before b | whole at a) = 1 - S(b) / S(a), by the logarithms of the normal's tails
    widest = 6.6 + 0.4 * passed_sd
    diameter = widest * np.linspace(0.95, 1.1, 40)
    share = burst_shares_since(tracks_of(diameter[None, :]), np.array([widest]), law(0.4))[0]
    tails = norm.logsf(diameter, 6.6, 0.4) - norm.logsf(widest, 6.6, 0.4)
    np.testing.assert_allclose(share, np.where(diameter > widest, -np.expm1(tails), 0.0), atol=1e-9)


def test_what_outlived_its_belief_bursts_as_soon_as_it_grows() -> None:
    diameter = np.array([[7.0, 7.01, 7.2, math.nan]])
    for sd_m, mean_m in ((0.0, 6.6), (0.001, 6.6)):
        share = burst_shares_since(tracks_of(diameter), np.array([7.0]), law(sd_m, mean_m))
        assert share.tolist() == [[0.0, 1.0, 1.0, 1.0]]
    whole = burst_shares_since(tracks_of(diameter), np.array([7.0]), law(0.0, 7.1))
    assert whole.tolist() == [[0.0, 0.0, 1.0, 1.0]]


def test_a_diameter_once_passed_cannot_be_unpassed() -> None:
    # A leak lets it shrink again: the share stays.
    diameter = np.array([[2.0, 5.0, 6.2, 6.5, 6.0, 4.0, 1.0]])
    share = burst_shares(tracks_of(diameter), law(0.4))[0]
    assert (np.diff(share) >= 0.0).all()
    assert share[-1] == share[3] == pytest.approx(norm.cdf(6.5, 6.6, 0.4))


def test_beyond_the_end_of_a_track_the_share_is_kept() -> None:
    nan = math.nan
    shrunk = burst_shares(tracks_of(np.array([[5.0, 5.9, nan, nan]])), law(0.4))[0]
    assert shrunk[2] == shrunk[3] == shrunk[1] < 0.5
    gone = burst_shares(tracks_of(np.array([[5.0, 6.9, nan, nan]])), law(0.4))[0]
    assert gone[2] == gone[3] == 1.0  # wide open when it left the column: no longer counted whole


def test_an_exact_diameter_is_a_step() -> None:
    share = burst_shares(tracks_of(np.array([[6.0, 6.59, 6.61, 7.0]])), law(0.0))[0]
    assert list(share) == [0.0, 0.0, 1.0, 1.0]


def test_moments_of_a_quantile() -> None:
    share = np.array([0.0, 0.0, 0.2, 0.6, 1.0])
    assert quantile_moment_s(share, 30.0, 0.5) == pytest.approx(60.0 + 30.0 * 0.75)
    assert quantile_moment_s(share, 30.0, 0.2) == pytest.approx(60.0)
    assert quantile_moment_s(np.array([0.7, 1.0]), 30.0, 0.5) == 0.0
    assert math.isnan(quantile_moment_s(np.array([0.0, 0.3]), 30.0, 0.5))


# Source: Clopper & Pearson, Biometrika 26 (1934) 404, one-sided 95 %, printed to two digits, the
# last to three; 3/n is the rule of three.
@pytest.mark.parametrize(
    ("n_tried", "bound"), [(10, 0.26), (20, 0.14), (30, 0.095), (300, 0.00994)]
)
def test_clean_records_bound_the_failure_rate(n_tried: int, bound: float) -> None:
    assert failure_bound_ratio(n_tried, 0) == pytest.approx(bound, rel=0.01)
    assert failure_bound_ratio(n_tried, 0) == pytest.approx(1.0 - 0.05 ** (1.0 / n_tried))
    assert failure_bound_ratio(n_tried, 0) < 3.0 / n_tried


@pytest.mark.parametrize(("n", "k"), [(1, 0), (12, 1), (20, 3), (50, 49), (200, 7)])
@pytest.mark.parametrize("confidence", [0.8, 0.95])
def test_failures_bound_it_as_the_beta_distribution_says(n: int, k: int, confidence: float) -> None:
    wanted = beta.ppf(confidence, k + 1, n - k)
    assert failure_bound_ratio(n, k, confidence) == pytest.approx(wanted, abs=1e-9)


def test_no_record_bounds_nothing_and_only_failures_bound_nothing_better() -> None:
    assert math.isnan(failure_bound_ratio(0, 0))
    assert failure_bound_ratio(4, 4) == 1.0


@pytest.mark.parametrize(("n", "k", "confidence"), [(-1, 0, 0.95), (3, 4, 0.95), (3, -1, 0.95)])
def test_records_that_cannot_be_are_refused(n: int, k: int, confidence: float) -> None:
    with pytest.raises(InputError, match="record is"):
        failure_bound_ratio(n, k, confidence)


@pytest.mark.parametrize("confidence", [0.0, 1.0, math.nan, 95.0])
def test_confidences_that_cannot_be_are_refused(confidence: float) -> None:
    with pytest.raises(InputError, match="confidence_ratio"):
        failure_bound_ratio(10, 0, confidence)
