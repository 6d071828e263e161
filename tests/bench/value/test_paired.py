"""Shares and paired gains: what regions count, and bounds that hold what made them."""

import numpy as np
import pytest
from bench.value.paired import clustered, gained, share


def test_a_share_is_the_mean_and_one_region_has_no_doubt_of_its_own() -> None:
    won = np.array([True, True, False, True])
    found = share(won, np.zeros(4, np.int64))
    assert found == pytest.approx((0.75, 0.75, 0.75))


def test_alike_sorties_of_one_region_count_once() -> None:
    """Ten regions of a hundred sorties that end alike are ten sorties, not a thousand."""
    rng = np.random.default_rng(2)
    each = (rng.random(10) < 0.5).astype(np.float64)
    region = np.repeat(np.arange(10), 100)
    many = clustered(np.repeat(each, 100), region)
    few = clustered(each, np.arange(10))
    assert many == pytest.approx(few)
    assert many.high - many.low > 0.4


def test_bounds_hold_the_truth_nine_times_in_ten_and_more() -> None:
    """Regions have a chance of their own round 0.6; bootstrap bounds of 30 regions, 200 times."""
    rng, held = np.random.default_rng(3), 0
    for _ in range(200):
        own = np.clip(rng.normal(0.6, 0.2, 30), 0.0, 1.0)
        region = np.repeat(np.arange(30), 8)
        found = clustered((rng.random(240) < own[region]).astype(np.float64), region)
        held += found.low <= 0.6 <= found.high
    assert 0.88 * 200 <= held <= 200


def test_a_gain_is_paired_sortie_by_sortie() -> None:
    won, other = np.array([True, True, False, False]), np.array([True, False, False, True])
    found = gained(won, other, np.arange(4))
    assert found.mean == 0.0
    same = gained(won, won, np.arange(4))
    assert same == (0.0, 0.0, 0.0)
