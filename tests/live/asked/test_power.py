"""Packs and light against figures computed elsewhere."""

from dataclasses import replace

import pytest

from farglide.live.asked.power import power_now
from farglide.live.asked.situation import Situation

from .conftest import homeward


def test_the_pack_and_the_ways_home_are_as_computed_elsewhere(asked: Situation) -> None:
    """26 Wh, 7 W, cold 0.65, on at T-15: T+129.9. From T+76 over home at T+98.4 at the soonest.

    Straight on at best glide it would come down at T+242; circles over the field sink faster.
    """
    found = power_now(homeward(asked))
    assert found.field == "Harrowend strip"
    (pack,) = found.packs
    assert pack.ends_after_launch_s.p50 == pytest.approx(129.9 * 60.0, abs=6.0)
    assert (pack.reserve_s, pack.load_w) == (180.0, 7.0)
    (let_go,) = found.arrivals
    assert let_go.let_go_after_launch_s == asked.now_s
    assert let_go.soonest_after_launch_s == pytest.approx(98.4 * 60.0, abs=120.0)
    assert 190.0 * 60.0 < let_go.slowly_after_launch_s < 242.0 * 60.0
    assert let_go.slowly_after_launch_s > pack.ends_after_launch_s.p90
    assert found.sets_after_launch_s == pytest.approx(173.0 * 60.0, abs=90.0)


def test_a_later_release_is_told_beside_one_now(asked: Situation) -> None:
    release = asked.advice.release
    assert release is not None
    later = replace(release, release_by_after_launch_s=asked.now_s + 240.0)
    found = power_now(replace(asked, advice=replace(asked.advice, release=later)))
    assert [one.let_go_after_launch_s - asked.now_s for one in found.arrivals] == [0.0, 240.0]


def test_out_of_reach_nobody_arrives(asked: Situation) -> None:
    beneath = replace(asked)
    beneath.__dict__["seen"] = asked.seen._replace(amsl_m=1000.0)
    assert power_now(beneath).arrivals == ()
