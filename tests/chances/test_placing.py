"""Placing: at a fix all draws are there; without news they go apart."""

import numpy as np
import pytest

from farglide.chances.advising import advice_of
from farglide.chances.informed import Informed
from farglide.chances.onward import Seen, states_from
from farglide.chances.placing import place_now


def test_without_news_the_place_grows(hour: Informed) -> None:
    fresh, blind = (advice_of(hour, 3600.0, 3600.0 + wait_s) for wait_s in (0.0, 300.0))
    assert fresh.place.most_within_m < 1.0
    assert 50.0 < blind.place.most_within_m < 2000.0
    assert blind.place.half_within_m < blind.place.most_within_m
    assert blind.place.seen_after_launch_s == 3600.0
    assert blind.place.amsl_m - fresh.place.amsl_m == pytest.approx(2100.0, rel=0.1)


def test_the_times_of_place_and_height_are_those_of_what_was_seen(hour: Informed) -> None:
    seen = Seen(3600.0, 21_000.0, np.nan, np.nan, placed_s=3500.0)
    states = states_from(hour.ensemble, seen, np.array([3600.0]))
    found = place_now(hour.ensemble, states, seen)
    assert (found.seen_after_launch_s, found.height_seen_after_launch_s) == (3500.0, 3600.0)
    assert found.amsl_m == pytest.approx(21_000.0, abs=200.0)
