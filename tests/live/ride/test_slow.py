"""Slow: tables of a task, and why there are none."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import numpy as np
import pytest
from tests.live.loose import RELEASE_S, released

from farglide.live.rehearse.surprises import Changes
from farglide.live.ride import slow
from farglide.live.ride.slow import Flight, Maker
from farglide.live.ride.tables import Tables
from farglide.live.ride.task import Onward, Task
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


def gliding(flight: Flight) -> tuple[Task, tuple[Fix, ...]]:
    """Return a task of a steered glide that tells less than was planned, and its fixes."""
    told = released(flight, changes=Changes(glide_ratio=0.85))
    launch, t_s = flight.sortie.launch, RELEASE_S + 700.0
    glide = told.between(RELEASE_S + 90.0, t_s)
    onward = Onward(t_s=launch.t_s + t_s, fix=glide[-1], field="", car=None)
    task = Task(number=8, launch=launch, refused=(), fixes=told.between(20.0, RELEASE_S, 20.0),
                now_t_s=launch.t_s + RELEASE_S, is_loose=True, onward=onward)  # fmt: skip
    return task, glide


def test_two_threads_sum_the_same_glide_once(flight: Flight) -> None:
    task, glide = gliding(flight)
    assert task.onward is not None
    make, onward = Maker(flight), replace(task.onward, glide=glide)
    made(make, task)  # the climb is summed: what follows meets in the glide
    with ThreadPoolExecutor(2) as pool:
        one, other = (
            pool.submit(made, make, replace(task, number=number, onward=onward))
            for number in (1, 2)
        )
        assert one.result().plain is other.result().plain
        assert one.result().known is other.result().known
    assert (one.result().task.number, other.result().task.number) == (1, 2)


def test_a_sum_of_a_glide_that_failed_is_tried_again(
    flight: Flight, monkeypatch: pytest.MonkeyPatch
) -> None:
    task, glide = gliding(flight)
    assert task.onward is not None
    make, glided = Maker(flight), replace(task, onward=replace(task.onward, glide=glide))
    with monkeypatch.context() as broken:
        broken.setattr(slow, "reglided", lambda *_: [][0])
        assert "IndexError" in str(make(glided))
    assert isinstance(make(glided), Tables)


def test_a_steered_glide_tells_how_it_glides(make: Maker, flight: Flight) -> None:
    task, glide = gliding(flight)
    onward = task.onward
    assert onward is not None
    before = made(make, task)
    glided = replace(task, onward=replace(onward, glide=glide))
    after = made(make, glided)
    factor, was = (one.plain.draws.glide_factor[0] for one in (after, before))
    assert factor / was == pytest.approx(0.85, abs=0.07)
    draws, wide = (one.known.ensemble.draws.glide_factor for one in (after, before))
    assert np.median(draws) / np.median(wide) == pytest.approx(0.85, abs=0.08)
    assert draws.std() < 0.8 * wide.std()
    assert after.laws is before.laws  # its stories learn by themselves
    again = made(Maker(flight), glided)
    assert np.array_equal(again.known.ensemble.draws.glide_factor, draws)
    assert made(make, glided).plain is after.plain  # no new minute, nothing summed anew
    drifted = replace(task, onward=replace(onward, glide=tuple(
        replace(one, lon_deg=one.lon_deg + 1.3e-4 * k) for k, one in enumerate(glide)
    )))  # fmt: skip  # 10 m in 5 s: the same heights in another wind
    other, anew = (one(drifted) for one in (make, Maker(flight)))
    assert isinstance(other, Tables)
    assert isinstance(anew, Tables)
    winds, as_anew, was = (one.known.air.home.mean_mps for one in (other, anew, after))
    assert np.array_equal(winds, as_anew)
    assert np.abs(winds - was).max() > 0.1
    idle = made(make, task)  # not steered for a while: nothing of it is used
    assert idle.plain is before.plain
    back = made(make, glided)
    assert np.array_equal(back.known.ensemble.draws.glide_factor, draws)  # and then as it was
    short = replace(task, onward=replace(onward, glide=glide[:10]))
    assert made(make, short).plain is before.plain


def test_two_threads_sum_the_climb_of_a_loose_flight_once(flight: Flight, task: Task) -> None:
    make, loose = Maker(flight), replace(task, is_loose=True)
    with ThreadPoolExecutor(2) as pool:
        one, other = (pool.submit(made, make, replace(loose, number=number)) for number in (1, 2))
        assert one.result().known is other.result().known
    assert (one.result().task.number, other.result().task.number) == (1, 2)


def test_what_is_kept_of_a_climb_is_of_the_moment_that_is_asked(make: Maker, task: Task) -> None:
    loose = replace(task, is_loose=True)
    found = [made(make, replace(loose, now_t_s=task.now_t_s + s)).now_s for s in (40.0, 0.0)]
    assert found == pytest.approx([650.0, 610.0])
