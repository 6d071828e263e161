"""Slow: tables of a task, and why there are none."""

from dataclasses import replace

import pytest

from farglide.live.ride.slow import Flight, Maker
from farglide.live.ride.tables import Tables
from farglide.live.ride.task import Task
from farglide.track.reports import Fix


@pytest.fixture
def task(flight: Flight, climb: tuple[Fix, ...]) -> Task:
    launch = flight.sortie.launch
    return Task(number=7, launch=launch, refused=(), fixes=climb[:61], now_t_s=launch.t_s + 610.0)


def made(make: Maker, task: Task) -> Tables:
    found = make(task)
    assert isinstance(found, Tables), found
    return found


def test_tables_go_on_from_the_last_fix(make: Maker, task: Task) -> None:
    found = made(make, task)
    assert found.task is task
    assert found.seen.after_launch_s == pytest.approx(600.0)
    assert found.seen.amsl_m == pytest.approx(task.fixes[-1].height_m or 0.0)
    assert found.ends_s > 4800.0


def test_a_refused_field_is_not_among_them(make: Maker, task: Task) -> None:
    names = [one.name for one in made(make, task).known.ensemble.sortie.fields]
    fewer = made(make, replace(task, refused=(names[1],)))
    left = [one.name for one in fewer.known.ensemble.sortie.fields]
    assert left == [names[0], *names[2:]]


def test_why_there_are_none_is_told(make: Maker, task: Task, flight: Flight) -> None:
    every = tuple(one.name for one in flight.sortie.fields)
    told = make(replace(task, refused=every))
    assert told == "fields is all refused; allowed: one or more. Take one back: undo."
    late = make(replace(task, now_t_s=task.now_t_s + 50_000.0))
    assert isinstance(late, str)
    assert "the time since the last fix is 50010 s; allowed: up to " in late


def test_no_fault_of_a_sum_ends_a_ride(flight: Flight, task: Task) -> None:
    broken = Maker(replace(flight, workers=lambda work, n: [][0]))
    assert broken(task) == (
        "The way home could not be summed: IndexError: list index out of range."
    )
