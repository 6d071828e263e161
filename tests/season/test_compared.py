"""Compared: the whole, put in order, the same whoever does it, and what is left out is told."""

from dataclasses import replace

import pytest

from farglide.errors import ContradictionError, InputError
from farglide.outlook.season import SeasonOutlook
from farglide.season.compared import Choice, compared
from farglide.season.executors import Doing, here, in_processes
from farglide.season.places import Lattice
from farglide.season.world import World

from .made import GRAIN, changing, world

LAUNCH_S = world().flight.sortie.launch.t_s


def found(
    made: World | None = None, doing: Doing | None = None, **changed: object
) -> SeasonOutlook:
    choice = Choice(
        times_s=(LAUNCH_S - 7200.0, LAUNCH_S), lattice=Lattice(40e3, 40e3), necks_kg=(), grain=GRAIN
    )
    return compared(made or world(), replace(choice, **changed), doing or here())  # type: ignore[arg-type]


def test_each_time_spot_and_fill_has_its_cell_and_the_best_comes_first() -> None:
    told = list[tuple[int, int]]()
    choice = Choice(times_s=(LAUNCH_S,), lattice=None, necks_kg=(2.0, 2.4), grain=GRAIN)
    one = compared(world(), choice, here(), lambda n, of: told.append((n, of)))
    assert told == [(0, 1), (1, 1)]
    assert {(c.launch_t_s, c.spot, c.neck_lift_kg) for c in one.cells} == {
        (LAUNCH_S, k, neck) for k in range(len(one.spots)) for neck in (2.0, 2.4)
    }
    every = found()
    assert len(every.cells) == 2 * len(every.spots)
    chances = [every.chance(c) for c in every.cells if c.limit not in ("barred", "ground wind")]
    assert all(one >= max(chances[k:]) - 0.02 for k, one in enumerate(chances))


def test_other_processes_give_the_same_to_the_last_bit() -> None:
    made = changing(1.0, 0.2)
    alone = found(replace(made, terrain=None))
    assert alone == found(replace(made, terrain=None), in_processes(2))


def test_winds_that_do_not_hold_a_launch_leave_it_out_and_say_why() -> None:
    made = changing(1.0, 0.2)
    far = found(made, lattice=Lattice(460e3, 460e3))
    assert far.left_out
    assert all("forecast" in one for one in far.left_out)
    assert far.left_out[0].startswith("460 km at 180°, Sat 23 Jan 14:40 and 1 later: place is -50.")
    assert {c.spot for c in far.cells} < set(range(len(far.spots)))


def test_what_cannot_be_compared_is_refused() -> None:
    with pytest.raises(InputError, match="kg that hang below it"):
        found(necks_kg=(0.2,))
    flight = world().flight
    bare = replace(world(), flight=replace(flight, sortie=replace(flight.sortie, fields=())))
    with pytest.raises(ContradictionError, match="no field"):
        found(bare)


def test_a_forecast_far_ahead_says_when_to_look_again() -> None:
    made = changing(0.0, 0.0)
    wish = replace(made.flight.sortie.wish, bring_to="home", enough_ratio=0.97)
    flight = replace(made.flight, sortie=replace(made.flight.sortie, wish=wish))

    def aged(hours: float) -> World:
        grid = replace(made.winds.grid, run_t_s=LAUNCH_S - 3600.0 * hours)  # type: ignore[attr-defined]
        return replace(made, flight=flight, winds=replace(made.winds, grid=grid))  # type: ignore[type-var]

    far = found(aged(160.0), lattice=None, times_s=(LAUNCH_S,))
    near = found(aged(6.0), lattice=None, times_s=(LAUNCH_S,))
    assert near.chance(near.cells[0]) > far.chance(far.cells[0])
    assert far.run_t_s == LAUNCH_S - 3600.0 * 160.0
    for one in far.early:
        assert one.then_ratio >= 0.97 > one.chance_ratio
        assert one.look_t_s < LAUNCH_S
    assert near.early == ()
