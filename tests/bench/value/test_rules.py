"""Rules flown in a truth: who lets go when, and what ends a sortie."""

from dataclasses import replace

import numpy as np
import pytest
from bench.value.places import Pair, home_sortie, pairs
from bench.value.rules import HOME, SIMPLE, by_rule, planned_order
from bench.value.truth import Order, Truth, fly_order, let_go_at, nearest_field, truth_of

from farglide.rig.gear import goals_of
from farglide.sim.core.step import Offset


@pytest.fixture(scope="module")
def pair() -> Pair:
    return pairs()[0]


@pytest.fixture(scope="module")
def truth(pair: Pair) -> Truth:
    return truth_of(home_sortie(pair), pair, 1)


def test_the_true_air_has_no_errors_and_the_seed_draws_the_gear(pair: Pair, truth: Truth) -> None:
    swarm = truth.drawn.swarm
    for name in ("out_east_mps", "out_north_mps", "home_east_mps", "home_north_mps", "rise_mps"):
        assert not getattr(swarm, name).any()
    other = truth_of(home_sortie(pair), pair, 2)
    assert other.drawn.glide_factor[0] != truth.drawn.glide_factor[0]


def test_let_go_low_over_home_it_comes_home_and_is_not_high(truth: Truth) -> None:
    found = fly_order(truth, Order(3000.0, np.inf, HOME))
    assert (found.arrived, found.high) == (True, False)


def test_packs_that_are_empty_bring_nothing_home(truth: Truth) -> None:
    empty = replace(truth, drawn=truth.drawn._replace(pack_end_s=np.array([60.0])))
    assert not fly_order(empty, Order(3000.0, np.inf, HOME)).arrived


def test_a_burst_before_the_release_counts_only_where_the_glider_comes_free(truth: Truth) -> None:
    """A height that no balloon gets to: it bursts, and the glider hangs on or comes free."""
    never = Order(60_000.0, np.inf, HOME)
    for field in range(4):
        held = fly_order(replace(truth, comes_free=False), never._replace(field=field))
        assert (held.arrived, held.high) == (False, False)


def test_the_nearest_field_is_the_one_under_the_glider(truth: Truth) -> None:
    goals = goals_of(truth.sortie, truth.sortie.fields)
    for field in range(4):
        at = Offset(float(goals.north_rad[field]), float(goals.east_rad[field]))
        assert nearest_field(truth, at) == field
    low = let_go_at(truth, Order(1000.0, np.inf, HOME))
    assert nearest_field(truth, low) == HOME


def test_every_rule_can_be_flown_and_a_plan_orders_what_it_can_tell(
    pair: Pair, truth: Truth
) -> None:
    assert len({rule.name for rule in SIMPLE}) == len(SIMPLE) == 8
    low = [by_rule(truth, rule) for rule in SIMPLE if rule.release_amsl_m <= 20e3]
    assert [one.high for one in low] == [True, True]  # whole balloons pass 20 km
    order = planned_order(truth.sortie, pair)
    assert order is not None
    assert order.field is None or order.field in range(4)
    assert order.said is not None
    assert 0.1 <= order.said.chance_ratio <= 1.0
    assert order.said.above_wanted == (order.release_amsl_m >= 20_000.0)
    assert 1000.0 < order.release_amsl_m < 33_000.0
    assert order.release_s > 600.0


def test_without_a_field_of_its_own_an_order_goes_to_the_nearest(truth: Truth) -> None:
    order = Order(20_000.0, np.inf, None)
    nearest = nearest_field(truth, let_go_at(truth, order))
    assert fly_order(truth, order) == fly_order(truth, order._replace(field=nearest))
