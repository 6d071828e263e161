"""Ways home, let go now: speeds, barriers and places against figures computed elsewhere."""

from dataclasses import replace

import pytest

from farglide.live.asked.situation import Situation
from farglide.live.asked.ways import barrier_now, putdown_now, speed_now

from .conftest import homeward


def test_speeds_home_from_t_76(asked: Situation) -> None:
    """Most spare over home 15.9 km, and the flattest way ends after the packs."""
    found = speed_now(homeward(asked))
    assert found.spare_m == pytest.approx(15_900.0, rel=0.03)
    assert not found.is_in_time
    assert found.level_after_s == pytest.approx(25.0, abs=10.0)
    assert 24_300.0 < found.level_amsl_m < 26_000.0
    heights = [one.amsl_m for one in found.rows]
    assert heights == sorted(heights, reverse=True)
    jet = next(one for one in found.rows if one.amsl_m == 10_000.0)
    assert jet.quick_eas_mps > 25.0  # into 36 m/s of wind


def test_out_of_reach_there_are_no_speeds(asked: Situation) -> None:
    beneath = replace(asked)
    beneath.__dict__["seen"] = asked.seen._replace(amsl_m=1000.0)
    found = speed_now(beneath)
    assert (found.rows, found.spare_m) == ((), None)


def test_the_wood_is_on_the_way_home(asked: Situation) -> None:
    found = barrier_now(homeward(asked))
    (way,) = found.ways
    assert (way.barrier, way.ahead) == ("Gollan Wood", "Harrowend strip")
    (over_m,) = found.over_edge_amsl_m
    assert over_m is not None
    assert way.stations[0].ahead.amsl_m < over_m < found.level_amsl_m
    assert 12_000.0 < way.stations[0].ahead.amsl_m < 20_000.0


def test_without_barriers_there_is_none(unlinked: Situation) -> None:
    assert barrier_now(unlinked).ways == ()


def test_an_edge_is_not_reached_by_what_reaches_no_field(asked: Situation) -> None:
    beneath = homeward(asked)
    beneath.__dict__["seen"] = asked.seen._replace(amsl_m=1000.0)
    assert barrier_now(beneath).over_edge_amsl_m == (None,)


def test_without_ground_no_place_is_offered(asked: Situation) -> None:
    found = putdown_now(asked)
    assert not found.otherwise.knows_ground
    assert found.otherwise.places == ()
    assert found.best_ratio == max(one.chance_ratio for one in asked.advice.fields)
