"""The search that begins from where it is now."""

from dataclasses import replace

import pytest

from farglide.live.asked.down import search_now
from farglide.live.asked.situation import Situation


def test_a_search_begins_at_the_car_from_the_last_place(asked: Situation) -> None:
    found = search_now(asked)
    assert found.begins_t_s == asked.now_t_s
    assert found.datum.lat_deg == pytest.approx(asked.place.lat_deg)
    assert found.datum.amsl_m == pytest.approx(asked.place.amsl_m)
    assert sum(one.chance_ratio for one in found.stories) == pytest.approx(1.0)


def test_a_guessed_place_widens_it(asked: Situation) -> None:
    wide = replace(asked.advice.place, most_within_m=60_000.0)
    guessed = replace(asked, advice=replace(asked.advice, place=wide))
    assert search_now(guessed).datum.radius_50_m > search_now(asked).datum.radius_50_m


def test_without_a_car_or_stands_it_sets_out_from_the_launch(unlinked: Situation) -> None:
    assert search_now(unlinked).segments
