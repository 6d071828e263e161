"""Limiting: the first thing that keeps a cell from being enough."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.earth.state import place_of
from farglide.season.flown import Asked, Wanted, asked_from, ensembles
from farglide.season.limiting import Weather, why_not
from farglide.season.places import compared_spots
from farglide.sim.core.workers import in_one_go

from .made import GRAIN, world

FAIR = Weather(ground_mps=3.0, strongest_mps=36.0, strongest_amsl_m=10_050.0, height_ratio=0.99)


@pytest.fixture(scope="module")
def asked() -> Asked:
    made = world()
    launch = made.flight.sortie.launch
    (one,) = ensembles(made, Wanted(launch.t_s, place_of(launch)), GRAIN, None, in_one_go)
    spots = compared_spots(made.flight.sortie, None, None)[:1]
    return next(asked_from(one, spots, made.flight.sortie))


def worse(asked: Asked, **ratios: float) -> Asked:
    """Return it with no window enough, and these shares at every height."""
    window = replace(asked.windows[0], chance_ratio=0.3)
    chances = asked.chances
    shares = {name: np.full_like(getattr(chances, name), one) for name, one in ratios.items()}
    return replace(asked, windows=(window, *asked.windows[1:]), chances=replace(chances, **shares))


def test_a_bar_comes_before_the_wind_and_both_before_chances(asked: Asked) -> None:
    windy = FAIR._replace(ground_mps=9.0)
    barred = replace(asked, spot=replace(asked.spot, barred="the sea"))
    assert why_not(barred, 0, windy).words == "the sea"
    told = why_not(asked, 0, windy)
    assert (told.limit, told.words) == ("ground wind", "ground wind 9 m/s")
    assert why_not(replace(asked, is_manned=False), 0, FAIR).limit == "stand"


def test_enough_has_no_limit(asked: Asked) -> None:
    enough = replace(asked, windows=(replace(asked.windows[0], chance_ratio=0.99),))
    assert why_not(enough, 0, FAIR) == ("", "")


@pytest.mark.parametrize(
    ("ratios", "limit"),
    [
        ((0.3, 0.3, 0.3, 0.0), "wind"),
        ((0.95, 0.3, 0.3, 0.0), "packs"),
        ((0.95, 0.9, 0.3, 0.0), "links"),
        ((0.95, 0.9, 0.88, 0.6), "burst"),
    ],
)
def test_what_takes_most_of_the_draws_is_named(
    asked: Asked, ratios: tuple[float, ...], limit: str
) -> None:
    names = ("reach_ratio", "timely_ratio", "open_ratio", "burst_ratio")
    poor = worse(asked, **dict(zip(names, ratios, strict=True)))
    assert why_not(poor, 0, FAIR).limit == limit


def test_a_burst_below_the_wished_height_comes_before_what_is_lost_there(asked: Asked) -> None:
    poor = worse(asked, reach_ratio=0.3, timely_ratio=0.3, open_ratio=0.3, burst_ratio=0.0)
    low = why_not(poor, 0, FAIR._replace(height_ratio=0.3))
    assert (low.limit, low.words) == ("height", "bursts below 20 km")
    assert why_not(poor, 0, FAIR).words.endswith(" out of reach: 36 m/s at 10 km")
