"""Tables: what of them is summed at once, and what only where it is asked."""

from dataclasses import replace

import pytest

from farglide.chances.advising import advisable
from farglide.live.ride import tables
from farglide.live.ride.slow import Flight, Maker
from farglide.live.ride.tables import Tables
from farglide.live.ride.task import Task
from farglide.track.reports import Fix


@pytest.fixture
def task(flight: Flight, climb: tuple[Fix, ...]) -> Task:
    launch = flight.sortie.launch
    return Task(number=7, launch=launch, refused=(), fixes=climb[:61], now_t_s=launch.t_s + 610.0)


def test_of_a_loose_flight_nothing_is_summed_that_only_a_carried_one_is_asked(
    make: Maker, task: Task, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[float] = []

    def noted(*given: object) -> object:
        asked.append(1.0)
        return advisable(*given)  # type: ignore[arg-type]

    monkeypatch.setattr(tables, "advisable", noted)
    carried, loose = make(task), make(replace(task, is_loose=True))
    assert isinstance(carried, Tables)
    assert isinstance(loose, Tables)
    assert len(asked) == 1
    assert loose.known.from_s == carried.known.from_s
    # asked of it all the same, since its mark was wrong: as of a carried one
    assert loose.of.release == carried.of.release
    assert loose.of.beam_deg == loose.beam_deg == carried.beam_deg
    assert len(asked) == 2
