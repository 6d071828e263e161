"""Task: what makes another flight, what draws hang on, and what tells of the climb alone."""

from dataclasses import replace

from farglide.live.ride.task import Entered, Task
from farglide.sortie.spec import Launch
from farglide.track.reports import Fix
from farglide.track.typed.entries import AtStand, Bearing, Grade, NeckLift, Overlay, RoadClosed

T_S = 1_800_000_000.0
LAUNCH = Launch(name="Strip", lat_deg=-46.5, lon_deg=108.0, amsl_m=240.0, t_s=T_S, zone="UTC")
FIXES = tuple(
    Fix(feed="a", lat_deg=-46.5, lon_deg=108.0, t_s=T_S + 10.0 * k, height_m=500.0)
    for k in range(4)
)
ROAD = RoadClosed(start="launch", end="Knap", longer_s=None)
TASK = Task(
    number=1, launch=LAUNCH, refused=(), fixes=FIXES, now_t_s=T_S + 100.0,
    points=tuple(replace(one, height_m=None) for one in FIXES),
    entries=tuple(
        Entered(number=k, t_s=T_S + 10.0 * k, entry=one)
        for k, one in enumerate([NeckLift(kg=1.6), Overlay(amsl_m=600.0), ROAD,
                                 Bearing(azimuth_deg=10.0), AtStand(stand="Knap"), Grade(grade=3)])
    ),
)  # fmt: skip


def test_fill_roads_and_stands_make_it_another_flight() -> None:
    assert TASK.flight[:2] == (LAUNCH, ())
    assert [one.number for one in TASK.entries if one in TASK.flight] == [0, 2, 4]


def test_draws_hang_on_all_but_roads_and_the_crew_s_place() -> None:
    assert TASK.learnt_by == (LAUNCH, (), 4, 4, 0, 1, 3, 5)
    fewer = replace(TASK, entries=TASK.entries[:2])
    closed = replace(TASK, entries=TASK.entries[:3])
    assert closed.learnt_by == fewer.learnt_by
    assert closed.flight != fewer.flight


def test_what_came_after_the_release_tells_nothing_of_the_climb() -> None:
    found = TASK.carried(T_S + 10.0)
    assert found.now_t_s == T_S + 10.0
    assert len(found.fixes) == len(found.points) == 2
    assert [one.number for one in found.entries] == [0, 1, 2, 4]  # roads and stands still count
    assert TASK.carried(T_S + 1000.0) == TASK


def test_answers_are_of_the_moment_asked() -> None:
    assert TASK.asked_t_s == T_S + 100.0
