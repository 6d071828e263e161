"""Carried: one question of a flight by all that was typed, as the ride would answer it."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.chances.advising import advice_now
from farglide.live.asked.moment import Told
from farglide.live.carried import carried, task_at
from farglide.live.ride.slow import Flight, Maker
from farglide.live.ride.state import Ride
from farglide.live.ride.tables import Tables
from farglide.live.ride.task import Entered
from farglide.sortie.spec import Sortie
from farglide.track.reports import Fix
from farglide.track.typed.entries import Bearing, Entry, NeckLift, Overlay, RoadClosed

from .made import near


def entered(sortie: Sortie, *told: tuple[float, Entry]) -> tuple[Entered, ...]:
    return tuple(
        Entered(number=k, t_s=sortie.launch.t_s + after_s, entry=one)
        for k, (after_s, one) in enumerate(told)
    )


def test_a_question_is_answered_as_the_ride_does(
    flight: Flight, sortie: Sortie, make: Maker, climb: tuple[Fix, ...]
) -> None:
    launch_t_s = sortie.launch.t_s
    fixes = tuple(one for one in climb if (one.t_s or 0.0) <= launch_t_s + 1200.0)
    high_m = near(climb, 1500.0, launch_t_s).height_m
    assert high_m is not None
    entries = entered(
        sortie, (10.0, NeckLift(kg=1.7)), (1500.0, Overlay(amsl_m=high_m)),
        (1600.0, RoadClosed(start="launch", end="Wether Knap", longer_s=None)),
    )  # fmt: skip
    ride = Ride(kept=fixes, newest=fixes[-1], entries=entries)
    now_t_s = launch_t_s + 1500.0
    task = task_at(flight, ride, now_t_s)
    assert [one.number for one in task.entries] == [0, 1]  # the road was closed later
    found, notes = carried(flight, task, Told())
    made = make(task)
    assert isinstance(made, Tables)
    assert found.advice == advice_now(made.of, made.seen, 1500.0)
    assert notes == ()
    assert found.seen.after_launch_s == 1500.0
    fill = found.advice.fill
    assert fill is not None
    assert fill.told_kg == pytest.approx(1.7, abs=0.05)  # weighed
    assert found.advice.place.height_seen_after_launch_s == 1500.0
    later, _ = carried(flight, task_at(flight, ride, now_t_s + 120.0), Told())
    assert [one.longer_s for one in later.told.roads] == [None]


def test_directions_alone_have_a_place(flight: Flight, sortie: Sortie, make: Maker) -> None:
    entries = entered(
        sortie,
        *((60.0 * k, Bearing(azimuth_deg=120.0, elevation_deg=40.0)) for k in range(1, 21)),
    )  # fmt: skip
    ride = Ride(entries=entries)
    found, notes = carried(flight, task_at(flight, ride, sortie.launch.t_s + 1200.0), Told())
    assert notes == ()
    place = found.advice.place
    assert place.seen_after_launch_s == 1200.0
    assert place.most_within_m > 100.0
    states = found.states([1200.0])
    assert np.ptp(states.north_rad) > 0.0  # no draw is moved to the middle of all


def test_with_less_it_begins_with_the_plan(flight: Flight, sortie: Sortie) -> None:
    bare, notes = carried(flight, task_at(flight, Ride(), sortie.launch.t_s + 600.0), Told())
    assert notes == ("No place is known: all goes as planned since the launch.",)
    assert bare.advice.place.seen_after_launch_s == 0.0
    ride = Ride(entries=entered(sortie, (600.0, Overlay(amsl_m=3000.0))))
    _, told = carried(flight, task_at(flight, ride, sortie.launch.t_s + 600.0), Told())
    assert told[0].startswith("No place is known: it is the plan's at that height, 9 in 10 draws")


def test_places_without_heights_count(
    flight: Flight, sortie: Sortie, climb: tuple[Fix, ...]
) -> None:
    point = replace(near(climb, 1200.0, sortie.launch.t_s), height_m=None)
    ride = Ride(points=(point,))
    found, _ = carried(flight, task_at(flight, ride, sortie.launch.t_s + 1200.0), Told())
    assert found.advice.place.lat_deg == pytest.approx(point.lat_deg, abs=2e-3)
    assert found.advice.place.lon_deg == pytest.approx(point.lon_deg, abs=2e-3)
