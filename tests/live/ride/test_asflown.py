"""As flown: a weighing counted once, fields refused, roads; a fill by its climb."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from farglide.air.sounding import Sounding
from farglide.errors import InputError
from farglide.live.ride.asflown import WEIGHED_SD_KG, as_flown, weighed_kg
from farglide.live.ride.slow import Flight, Maker, Tables
from farglide.live.ride.state import Entered, Task
from farglide.outlook.advice import FillNow
from farglide.sortie.known import Known
from farglide.sortie.roads import Road
from farglide.sortie.spec import Sortie
from farglide.track.reports import Fix
from farglide.track.typed.entries import Entry, NeckLift, RoadClosed

from ..made import Crew, begun, climb_of


def task_of(sortie: Sortie, *told: Entry, fixes: tuple[Fix, ...] = ()) -> Task:
    entries = tuple(Entered(number=k, t_s=1.0, entry=one) for k, one in enumerate(told))
    launch = sortie.launch
    return Task(number=1, launch=launch, refused=(), fixes=fixes, now_t_s=launch.t_s + 310.0,
                entries=entries)  # fmt: skip


def filled(sortie: Sortie, more_kg: float) -> Sortie:
    lift = sortie.balloon.neck_lift_kg
    other = replace(lift, value=lift.value + more_kg)
    return replace(sortie, balloon=replace(sortie.balloon, neck_lift_kg=other))


def test_a_weighing_narrows_the_fill_and_is_counted_once(sortie: Sortie) -> None:
    told = Known(value=1.6, sd=0.08)
    plan = replace(sortie, balloon=replace(sortie.balloon, neck_lift_kg=told))
    once = as_flown(plan, task_of(plan, NeckLift(kg=1.8)))
    again = as_flown(plan, task_of(plan, NeckLift(kg=1.7), NeckLift(kg=1.8)))
    lift = once.balloon.neck_lift_kg
    assert again.balloon.neck_lift_kg == lift == told.measured(1.8, WEIGHED_SD_KG)
    assert lift.value == pytest.approx(1.788, abs=0.001)
    assert lift.sd < WEIGHED_SD_KG
    assert weighed_kg(()) is None
    ordered = replace(plan.balloon, neck_lift_kg=Known(value=1.6))
    bare = as_flown(replace(plan, balloon=ordered), task_of(plan, NeckLift(kg=1.8)))
    assert bare.balloon.neck_lift_kg == Known(value=1.8, sd=WEIGHED_SD_KG)
    assert as_flown(plan, task_of(plan)).balloon is plan.balloon


def test_refused_fields_are_left_out_and_not_all_may_be(sortie: Sortie) -> None:
    names = [one.name for one in sortie.fields]
    fewer = as_flown(sortie, replace(task_of(sortie), refused=(names[0],)))
    assert [one.name for one in fewer.fields] == names[1:]
    with pytest.raises(InputError, match=r"fields is all refused; allowed: one or more\. Take"):
        as_flown(sortie, replace(task_of(sortie), refused=tuple(names)))


def test_roads_are_those_of_the_crew(sortie: Sortie) -> None:
    closed = RoadClosed(start="launch", end="Knap", longer_s=None)
    assert as_flown(sortie, task_of(sortie, closed)).roads == (
        Road(start="launch", end="Knap", longer_s=None),
    )


def fill_of(make: Callable[[Task], object], task: Task) -> FillNow:
    found = make(task)
    assert isinstance(found, Tables), found
    assert found.of.fill is not None
    return found.of.fill


@pytest.mark.parametrize("more_kg", [0.2, -0.2])
def test_another_fill_is_found_by_five_minutes_of_climb(
    sortie: Sortie, demo_sounding: Sounding, flight: Flight, more_kg: float
) -> None:
    """Nobody weighed it: 0.2 kg more or less than told shows within 0.15 kg."""
    lift = replace(sortie.balloon.neck_lift_kg, sd=0.1)
    sortie = replace(sortie, balloon=replace(sortie.balloon, neck_lift_kg=lift))
    make = Maker(replace(flight, sortie=sortie))
    other = filled(sortie, more_kg)
    climb = tuple(replace(one, t_s=one.t_s) for one in climb_of(other, demo_sounding)[:31])
    found = fill_of(make, task_of(sortie, fixes=climb))
    true_kg = other.balloon.neck_lift_kg.value
    assert found.told_kg == sortie.balloon.neck_lift_kg.value
    assert found.neck_lift_kg.p50 == pytest.approx(true_kg, abs=0.15)
    weighed = fill_of(make, task_of(sortie, NeckLift(kg=true_kg), fixes=climb))
    assert weighed.neck_lift_kg.p50 == pytest.approx(true_kg, abs=0.04)


def test_a_weighing_after_the_launch_says_what_changed(
    tmp_path: Path, sortie: Sortie, make: Maker
) -> None:
    crew: Crew = begun(tmp_path / "ride.log", sortie, make)
    crew.at(0.0)
    crew.types("launched")
    crew.sums()
    before = crew.published[-1]
    assert crew.types("neck 1.8").startswith("Taken: neck lift 1.80 kg")
    crew.at(2.0)
    crew.sums()
    crew.turn()
    after = crew.published[-1]
    assert after.changed.startswith("neck lift 1.80 kg, was 1.60"), after.changed
    assert ": the burst is" in after.changed
    assert after.burst.amsl_m.p50 < before.burst.amsl_m.p50
    crew.types("u")
    crew.at(4.0)
    crew.sums()
    crew.turn()
    assert crew.published[-1].fill == before.fill
