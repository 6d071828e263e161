"""Early: later runs that are asked, and the first of them that opens a launch time."""

from math import nan

from farglide.earth.state import Place
from farglide.season.early import DELAY_S, LEADS_S, asked_again, look_again
from farglide.season.flown import Wanted
from farglide.season.task import Task

from .made import CELL, EVEN, GRAIN, HOME, T_S

TASK = Task(
    wanted=Wanted(T_S, Place(lat_deg=-46.5, lon_deg=108.0, amsl_m=240.0), (1.4, 1.6)),
    spots=(HOME, EVEN),
    numbers=(0, 4),
    grain=GRAIN,
)
HOUR_S = 3600.0


def test_only_runs_nearer_than_the_present_one_are_asked_of_the_cell_alone() -> None:
    again = asked_again(TASK, CELL, T_S - 50.0 * HOUR_S)
    assert [T_S - (one.wanted.run_t_s or 0.0) for one in again] == [
        one for one in LEADS_S if one < 49.0 * HOUR_S
    ]
    assert all((one.spots, one.numbers) == ((HOME,), (0,)) for one in again)
    assert all(one.wanted.necks_kg == (CELL.neck_lift_kg,) for one in again)
    assert asked_again(TASK, CELL, T_S - 10.0 * HOUR_S) == []
    assert asked_again(TASK, CELL, nan) == []


def test_the_first_later_run_that_is_enough_tells_when_to_look() -> None:
    runs = [T_S - one * HOUR_S for one in (48.0, 24.0, 12.0)]
    later = list(zip(runs, (0.7, 0.92, 0.97), strict=True))
    told = look_again(CELL, 0.6, later, 0.9)
    assert told is not None
    assert (told.look_t_s, told.then_ratio) == (runs[1] + DELAY_S, 0.92)
    assert look_again(CELL, 0.95, later, 0.9) is None  # judged already
    assert look_again(CELL, 0.1, [(runs[0], 0.2)], 0.9) is None  # and so is a plain no
    assert look_again(CELL, 0.1, [], 0.9) is None
