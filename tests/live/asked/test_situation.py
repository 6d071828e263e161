"""A situation: where it is, which field counts, and its air as it was learnt."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.chances.onward import last_s
from farglide.live.asked.situation import Situation, Wind


def test_it_is_where_it_was_seen(asked: Situation) -> None:
    assert asked.now_s == 76.0 * 60.0
    assert asked.place.amsl_m == pytest.approx(26_300.0)
    later = asked.place_then(asked.now_s + 60.0)
    assert later.amsl_m == pytest.approx(26_300.0 + 60.0 * 8.3, abs=60.0)  # 28.3 km at T+80
    assert asked.now_t_s == asked.launch.t_s + asked.now_s


def test_beyond_the_climbs_of_all_draws_it_is_where_the_last_was(asked: Situation) -> None:
    """No place is no number: a call card of then had a latitude of NaN."""
    last = asked.place_then(last_s(asked.ensemble) - 1.0)
    for at_s in (last_s(asked.ensemble) + 60.0, 40_000.0):
        assert asked.place_then(at_s) == last


def test_the_field_advised_counts_else_the_best(asked: Situation) -> None:
    advice = asked.advice
    other = replace(asked, advice=replace(advice, release=None))
    best = max(advice.fields, key=lambda one: one.chance_ratio)
    assert other.field_name == best.name
    assert advice.release is not None
    assert asked.field_name == advice.release.field


def test_the_plain_flight_goes_home_through_what_was_learnt(asked: Situation) -> None:
    mean = asked.known.air.home.mean_mps
    moved = asked.known._replace(
        air=asked.known.air._replace(
            home=asked.known.air.home._replace(mean_mps=mean + np.array([3.0, 0.0]))
        )
    )
    other = replace(asked, known=moved)
    assert other.wind(10_000.0).east_mps == pytest.approx(asked.wind(10_000.0).east_mps + 3.0)
    before, after = (one.plain.air.scene.layers for one in (asked, other))
    np.testing.assert_allclose(after.u_mps, before.u_mps + 3.0)
    np.testing.assert_array_equal(after.v_mps, before.v_mps)
    home = [one.way_home(asked.now_s, 0) for one in (asked, other)]
    assert home[0] is not None
    assert home[1] is not None
    assert home[1].spare_m < home[0].spare_m  # home lies to the west


def test_a_wind_comes_from_where_it_does() -> None:
    wind = Wind(3.0, -4.0)
    assert wind.mps == 5.0
    assert wind.from_deg == pytest.approx(323.13, abs=0.01)


def test_out_of_reach_there_is_no_way_home(asked: Situation) -> None:
    low = replace(asked.advice.place, amsl_m=1000.0)
    beneath = replace(asked, advice=replace(asked.advice, place=low))
    beneath.__dict__["seen"] = asked.seen._replace(amsl_m=1000.0)
    assert beneath.way_home(asked.now_s, 0) is None
