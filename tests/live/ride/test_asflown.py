"""As flown: a weighing counted once, fields refused, roads; a fill by its climb."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.errors import InputError
from farglide.flightfile.flightfile import FlightFile
from farglide.live.ride.asflown import WEIGHED_SD_KG, as_flown, weighed_kg
from farglide.live.ride.slow import Flight, Maker
from farglide.live.ride.tables import Tables
from farglide.live.ride.task import Entered, Task
from farglide.outlook.advice import FillNow
from farglide.rig.listening import drive_between_s, ready_s
from farglide.sortie.known import Known
from farglide.sortie.pack import Pack
from farglide.sortie.roads import Road
from farglide.sortie.spec import Sortie
from farglide.track.reports import Fix
from farglide.track.typed.entries import AtStand, Entry, NeckLift, RoadClosed

from ..made import GRAIN, Crew, begun, climb_of


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


def test_a_closed_road_leaves_a_stand_unmanned_and_costs_chances(
    demo_flight: FlightFile, demo_sounding: Sounding
) -> None:
    sortie = demo_flight.sortie
    names = [one.name for one in sortie.stands]
    closed = [RoadClosed(start="launch", end=one, longer_s=None) for one in names[1:]]
    pack = Pack(flight_text="", sounding=demo_sounding)
    make = Maker(Flight(sortie=sortie, pack=pack, grain=GRAIN))
    chances = []
    for told in ((), closed):
        found = make(task_of(sortie, *told))
        assert isinstance(found, Tables), found
        chances.append(float(np.nanmean(found.of.ahead.chance_ratio)))
    assert chances[1] < chances[0] - 0.02


def test_the_crew_is_where_it_says(demo_flight: FlightFile) -> None:
    sortie = demo_flight.sortie
    _, knap, gap = sortie.stands
    closed = RoadClosed(start="launch", end=gap.name, longer_s=None)
    late = RoadClosed(start=knap.name, end=gap.name, longer_s=600.0)
    task = task_of(sortie, closed, late, AtStand(stand=knap.name))
    arrived = replace(task.entries[-1], t_s=sortie.launch.t_s + 2400.0)
    found = as_flown(sortie, replace(task, entries=(*task.entries[:-1], arrived)))
    ready = [ready_s(found, one) for one in found.stands]
    assert ready[1] == 0.0
    between_s = drive_between_s(sortie, knap, gap)
    assert ready[2] == pytest.approx(2400.0 + between_s + 600.0 + sortie.set_up_s)
    assert ready[0] > 2400.0
    assert as_flown(sortie, task_of(sortie, AtStand(stand="Nowhere"))).stands == sortie.stands


def test_a_refused_field_is_out_at_once_and_back_when_taken_back(
    tmp_path: Path, sortie: Sortie, make: Maker
) -> None:
    crew = begun(tmp_path / "ride.log", sortie, make)
    names = [one.name for one in sortie.fields]
    crew.at(0.0)
    crew.types("launched")
    crew.sums()
    crew.types(f"refused {names[1]}")
    assert [one.name for one in crew.published[-1].fields] == [names[0], *names[2:]]
    assert crew.published[-1].changed == f"{names[1]} is refused"
    crew.at(2.0)
    crew.sums()
    assert crew.running.ride.used is not None
    assert crew.running.ride.used.refused == (names[1],)
    crew.types("u")
    crew.at(4.0)
    crew.sums()
    crew.turn()
    assert [one.name for one in crew.published[-1].fields] == names


def test_sent_stuck_and_a_late_launch_are_told(tmp_path: Path, sortie: Sortie, make: Maker) -> None:
    crew = begun(tmp_path / "ride.log", sortie, make)
    crew.types("late 20")
    crew.at(1200.0)
    crew.types("launched")
    crew.sums()
    assert crew.published[-1].after_launch_s == pytest.approx(0.0, abs=0.1)
    crew.at(1210.0)
    crew.types("sent")
    assert crew.published[-1].changed == "the release is sent: watch for it"
    crew.types("stuck")
    assert crew.published[-1].changed == "the release is stuck: send it again"
    crew.types("u stuck")
    crew.types("u sent")
    assert crew.published[-1].changed == "the release was not sent"
    assert crew.types("late 5").startswith("It is marked as launched.")


def test_a_moved_launch_moves_the_flight(tmp_path: Path, sortie: Sortie, make: Maker) -> None:
    crew = begun(tmp_path / "ride.log", sortie, make)
    crew.types("moved 46.6 S 108.2 E")
    crew.at(0.0)
    crew.types("launched")
    crew.sums()
    place = crew.published[-1].place
    assert (place.lat_deg, place.lon_deg) == pytest.approx((-46.6, 108.2), abs=1e-6)
