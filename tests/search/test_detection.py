"""Published numbers of search theory, hand cases, and a slow twin of the best allocation."""

import math

import numpy as np
import pytest

from farglide.errors import InputError
from farglide.search.detection import (
    Look,
    after_looking,
    best_effort_s,
    best_seconds,
    circle_ratio,
    coverage_ratio,
    ellipse_scale,
    parallel_pod,
    radius_holding_m,
    random_pod,
    success_ratio,
    sweep_on_foot_m,
)


@pytest.mark.parametrize(
    ("coverage", "random", "parallel"),
    [(0.5, 0.393, 0.469), (1.0, 0.632, 0.790), (1.5, 0.777, 0.940)],
)
def test_chance_of_detection(coverage: float, random: float, parallel: float) -> None:
    """Source: random 1 - exp(-C), Koopman after Washburn, search-theory notes part 2; inverse cube
    2 Phi(C sqrt(pi/2)) - 1: Eagle, OA3602 lecture notes ch. 5 eq. (2), after Washburn 2.4."""
    assert random_pod(coverage) == pytest.approx(random, abs=0.001)
    assert parallel_pod(coverage) == pytest.approx(parallel, abs=0.001)


@pytest.mark.parametrize(
    ("factor", "ratio"), [(1.0, 0.5), (1.1, 0.5677), (1.6, 0.8304), (2.0, 0.9375), (2.5, 0.9869)]
)
def test_circles_of_probable_errors(factor: float, ratio: float) -> None:
    """Source: 1 - 0.5^(f^2); the factors are the classic search safety factors (from memory)."""
    assert circle_ratio(factor) == pytest.approx(ratio, abs=0.0001)


@pytest.mark.parametrize(("share", "scale"), [(0.6827, 1.5152), (0.95, 2.4477), (0.99, 3.0349)])
def test_ellipses(share: float, scale: float) -> None:
    """Source: k = sqrt(-2 ln(1 - p)) of a plane normal error."""
    assert ellipse_scale(share) == pytest.approx(scale, abs=0.0005)


@pytest.mark.parametrize(
    ("major", "minor", "half", "most"),
    [(2.0, 1.0, 1.7408, 4.0717), (3.0, 1.0, 2.3048, 5.9709), (4.0, 3.0, 4.1084, 8.7432)],
)
def test_circles_of_unequal_errors(major: float, minor: float, half: float, most: float) -> None:
    """Source: numerical integral of the bivariate normal: 50 % and 95 % radii."""
    assert radius_holding_m(major, minor, 0.5) == pytest.approx(half, abs=0.0005)
    assert radius_holding_m(major, minor, 0.95) == pytest.approx(most, abs=0.0005)


@pytest.mark.parametrize(
    ("shows", "sweep_m"), [("average", 49.4), ("high", 54.0), ("medium", 48.0), ("low", 33.0)]
)
def test_sweep_width_from_the_range_of_detection(shows: str, sweep_m: float) -> None:
    """Source: Koester et al., Wilderness and Environmental Medicine 2014, abstract, for 30 m."""
    assert sweep_on_foot_m(30.0, shows) == pytest.approx(sweep_m, abs=0.1)


def test_success_is_containment_times_detection() -> None:
    """Source: the definition on several search-and-rescue pages: 0.60 x 0.70 = 0.42."""
    assert success_ratio(0.60, 0.70) == pytest.approx(0.420)


def test_coverage_of_the_sector() -> None:
    """By hand: 0.61 km2 at 60 m and 1 m/s: 10 167 s, 170 min, for coverage 1."""
    assert coverage_ratio(Look(60.0, 1.0, 0.61e6 / 60.0, 0.61e6)) == pytest.approx(1.0)


def test_two_cells_by_hand() -> None:
    """0.5 and 0.5, one looked at with 0.6: left 0.2 and 0.5 of 0.7."""
    found = after_looking(np.array([0.5, 0.5]), np.array([0.6, 0.0]))
    assert found == pytest.approx([0.2 / 0.7, 0.5 / 0.7])


def test_the_rest_of_the_world_gains_as_well() -> None:
    """0.6 of it in the one segment, looked at with 0.5: 0.3 left of 0.7; outside 0.4 of 0.7."""
    found = after_looking(np.array([0.6]), np.array([0.5]))
    assert 1.0 - found[0] == pytest.approx(0.4 / 0.7)


def test_the_best_time_is_the_best() -> None:
    walk_s, rate_ps = 600.0, 1.0 / 2000.0
    clock_s = np.linspace(1.0, 20_000.0, 200_000)
    gains = (1.0 - np.exp(-rate_ps * clock_s)) / (walk_s + clock_s)
    assert best_seconds(walk_s, rate_ps) == pytest.approx(clock_s[np.argmax(gains)], abs=0.2)


def test_the_best_allocation_is_that_of_many_small_looks() -> None:
    """Source of the claim: Stone, Theory of Optimal Search: for an exponential chance of detection
    one looks always where the next second gains most. The twin does just that, second by second."""
    poc, rate = np.array([0.5, 0.3, 0.2, 0.0]), np.array([1 / 900, 1 / 300, 1 / 2000, 1 / 100])
    seconds = np.zeros(4)
    for _ in range(1500):
        gain = poc * rate * np.exp(-rate * seconds)
        seconds[np.argmax(gain)] += 1.0
    best = best_effort_s(poc, rate, 1500.0)
    assert best.sum() == pytest.approx(1500.0)
    assert best == pytest.approx(seconds, abs=1.5)


def test_a_known_target_distribution_in_closed_form() -> None:
    """Koopman's allocation for two cells of one rate: half the logarithm of the ratio apart."""
    best = best_effort_s(np.array([0.8, 0.2]), np.full(2, 0.01), 1000.0)
    assert best[0] - best[1] == pytest.approx(math.log(4.0) / 0.01)


@pytest.mark.parametrize(
    "refused",
    [
        lambda: coverage_ratio(Look(0.0, 1.0, 1.0, 1.0)),
        lambda: coverage_ratio(Look(60.0, 1.0, -1.0, 1.0)),
        lambda: coverage_ratio(Look(60.0, 1.0, 1.0, math.nan)),
        lambda: random_pod(-0.1),
        lambda: parallel_pod(math.nan),
        lambda: success_ratio(1.1, 0.5),
        lambda: success_ratio(0.5, -0.1),
        lambda: sweep_on_foot_m(30.0, "bright"),
        lambda: sweep_on_foot_m(0.0),
        lambda: after_looking(np.array([1.0]), np.array([1.0])),
        lambda: best_seconds(0.0, 1.0),
        lambda: best_seconds(1.0, 0.0),
        lambda: circle_ratio(-1.0),
        lambda: ellipse_scale(1.0),
        lambda: radius_holding_m(1.0, 2.0, 0.5),
        lambda: radius_holding_m(1.0, 0.0, 0.5),
        lambda: radius_holding_m(2.0, 1.0, 1.0),
    ],
)
def test_what_cannot_be_is_refused(refused: object) -> None:
    assert callable(refused)
    with pytest.raises(InputError, match="allowed"):
        refused()
