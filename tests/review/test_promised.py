"""Promised: passages of a flight against the draws, and what is inside a range."""

from collections.abc import Callable

import numpy as np
import pytest

from farglide.chances.ensemble import Ensemble
from farglide.live.rehearse.surprises import Changes
from farglide.review.parted import parted
from farglide.review.promised import (
    PLAN,
    Came,
    Told,
    burst_promises,
    climb_promises,
    promise,
    told_of,
    within,
)

from .made import Made, flight

TOLD = Told(10.0, (9.0, 11.0), (7.0, 13.0))


@pytest.mark.parametrize(
    ("came", "where"),
    [
        (Came(10.9), "half"),
        (Came(8.0), "most"),
        (Came(13.1), "outside"),
        (Came(None), "unjudged"),
        (Came(12.0, at_least=True), "unjudged"),  # it may have come anywhere above
        (Came(13.1, at_least=True), "outside"),
    ],
)
def test_where_it_came(came: Came, where: str) -> None:
    assert within(TOLD, came) == where


def test_without_a_range_nothing_is_judged() -> None:
    assert within(Told(10.0, None, None), Came(10.0)) == "unjudged"
    row = promise("down", PLAN, "s", Told(10.0, None, (7.0, 13.0)), Came(8.0))
    assert (row.half_low, row.most_low, row.within) == (None, 7.0, "most")


def test_ranges_hold_5_and_9_in_10() -> None:
    found = told_of(np.arange(1001.0))
    assert found == (500.0, (250.0, 750.0), (50.0, 950.0))


def test_a_flight_as_planned_comes_in_the_middle(planned: Ensemble, as_told: Made) -> None:
    parts = parted(as_told.flown, planned.sortie.launch, planned.air.scene)
    rows = list(climb_promises(planned, parts))
    assert [one.what for one in rows[:2]] == ["time at 5 km", "off its place at 5 km"]
    assert len(rows) == 10  # up to 25 km
    assert {one.within for one in rows} == {"half"}
    five = rows[0]
    assert five.came == pytest.approx(five.middle, abs=40.0)


def test_drawn_flights_come_inside_as_often_as_told(
    planned: Ensemble, drawn: Callable[[int], Made]
) -> None:
    inside = []
    for seed in range(1, 9):
        parts = parted(drawn(seed).flown, planned.sortie.launch, planned.air.scene)
        inside += [one.within != "outside" for one in climb_promises(planned, parts)]
    assert np.mean(inside) >= 0.7


def test_a_burst_is_judged_and_one_not_seen_is_not(planned: Ensemble, as_told: Made) -> None:
    scene, launch = planned.air.scene, planned.sortie.launch
    height, time = burst_promises(planned, parted(as_told.flown, launch, scene))
    assert (height.at_least, height.within, time.within) == (True, "unjudged", "unjudged")
    burst = flight(planned, Changes(burst_sd=-3.5), 0, None)
    height, time = burst_promises(planned, parted(burst.flown, launch, scene))
    assert (height.at_least, height.within, time.within) == (False, "outside", "outside")
    assert height.came is not None
    assert height.came < (height.most_low or 0.0)
