"""Chances: what counting the drawn flights one by one gives, on any number of cores."""

from dataclasses import fields, replace
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from farglide.air.sounding import Sounding
from farglide.chances.chances import (
    AfterBurst,
    Beforehand,
    Chances,
    chances_in,
    chances_of_climb,
    opened_of,
)
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.chances.spells import gaps_s, runs, shut_s, state_of
from farglide.compute import on_threads
from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.fields import State
from farglide.sim.core.release import Goals
from farglide.sim.core.states import States, states_of_climbs
from farglide.sim.fly.aside import with_flown
from farglide.sim.reach.doors import (
    IN_TIME,
    REACHED,
    doors,
    floors_of,
)
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Sortie, Wish

from .conftest import N, chances_like

N_DRAWS = 200
ASKED = Grain(n_draws=N_DRAWS, clock_s=60.0, prices_mps=(4.0, 12.0, 30.0, 100.0), slab=5)
MOMENTS = np.arange(0, 92, 2, dtype=np.int64)


@pytest.fixture(scope="module")
def sortie(demo_flight: FlightFile) -> Sortie:
    return demo_flight.sortie


@pytest.fixture(scope="module")
def ensemble(sortie: Sortie, demo_sounding: Sounding) -> Ensemble:
    return drawn_ensemble(sortie, demo_sounding, ASKED)


@pytest.fixture(scope="module")
def chances(ensemble: Ensemble) -> Chances:
    return chances_of_climb(ensemble, MOMENTS)


def found_of(ensemble: Ensemble) -> np.ndarray[tuple[int, int, int], np.dtype[np.uint8]]:
    """Return what each draw finds at each moment and field, asked directly."""
    scene, releases, reaches = ensemble.air.scene, ensemble.released, ensemble.reach.reaches
    states = states_of_climbs(ensemble.climbs.tracks, ensemble.climbs.burst_share, MOMENTS)
    floors = floors_of(scene, releases, reaches, ensemble.goals)
    found = doors(scene, releases, states, reaches, floors)
    found = with_flown(scene, releases, states, reaches, floors, found)
    too_high = ensemble.climbs.tracks.amsl_m[:, MOMENTS] > ensemble.craft.ceiling_amsl_m
    return np.asarray(np.where(too_high[:, :, None], 0, found.state))


def same(a: Chances, b: Chances) -> bool:
    """Tell whether two answers agree in every bit."""
    return all(
        np.array_equal(getattr(a, one.name), getattr(b, one.name), equal_nan=True)
        for one in fields(Chances)
        if one.name != "holding"
    )


def test_odds_are_counted_flights_that_are_open_and_still_whole(
    ensemble: Ensemble, chances: Chances
) -> None:
    # Every draw is given 1000 bursting diameters, evenly over their chance; the flights that come
    # home are counted one by one; a moment with burst share p leaves 1000 (1 - p) of them whole.
    state, n_each = found_of(ensemble), 1000
    luck = (np.arange(n_each) + 0.5) / n_each
    for j, moment in enumerate(MOMENTS.tolist()):
        flying = ~np.isnan(ensemble.climbs.tracks.amsl_m[:, moment])
        for field in range(len(ensemble.sortie.fields)):
            n_home = n_reached = n_all = 0
            for draw in np.nonzero(flying)[0].tolist():
                n_whole = int((luck >= ensemble.climbs.burst_share[draw, moment]).sum())
                n_all += n_whole
                n_reached += n_whole * bool(state[draw, j, field] & REACHED)
                n_home += n_whole * bool(state[draw, j, field] & IN_TIME)
            n_flying = int(flying.sum())
            # of the balloons still whole: each draw is counted to half a flight in 1000
            few = 0.5 * n_flying / max(n_all, 1)
            assert chances.reach_ratio[j, field] == pytest.approx(n_reached / n_all, abs=few)
            assert chances.open_ratio[j, field] == pytest.approx(n_home / n_all, abs=few)
            # each draw's whole flights are counted to half a flight in 1000; who is gone counts too
            assert chances.chance_ratio[j, field] == pytest.approx(
                n_home / N_DRAWS / n_each, abs=0.0005
            )


def test_open_is_never_more_than_in_reach_and_odds_never_more_than_open(chances: Chances) -> None:
    bit = 1e-12  # sums in another order
    assert (chances.open_ratio <= chances.reach_ratio + bit).all()
    assert (chances.chance_ratio <= chances.open_ratio + bit).all()
    assert (chances.any_open_ratio >= chances.open_ratio.max(axis=1) - bit).all()
    assert (chances.any_open_ratio <= 1.0 + bit).all()
    assert (np.diff(chances.burst_ratio) >= 0.0).all()


def test_a_draw_that_is_gone_counts_with_nothing(ensemble: Ensemble, chances: Chances) -> None:
    climbs = ensemble.climbs
    states = states_of_climbs(climbs.tracks, climbs.burst_share, MOMENTS)
    half = states.amsl_m.copy()
    half[: N_DRAWS // 2] = np.nan
    left = chances_in(ensemble, states._replace(amsl_m=half), ensemble.goals)
    others = states_at_draws(states, slice(N_DRAWS // 2, None))
    whole = 1.0 - others.burst_ratio
    opened = opened_of(ensemble, states, ensemble.goals).in_time[N_DRAWS // 2 :]
    wanted = (opened * whole[:, :, None]).sum(axis=0) / N_DRAWS
    assert left.chance_ratio == pytest.approx(wanted, abs=1e-9)


def test_what_is_let_go_after_a_burst_counts_where_it_burst_before(
    ensemble: Ensemble, chances: Chances
) -> None:
    burst_s = ensemble.climbs.burst.after_launch_s
    all_home = AfterBurst(burst_s, np.ones((N_DRAWS, len(ensemble.goals.north_rad))))
    states = states_of_climbs(ensemble.climbs.tracks, ensemble.climbs.burst_share, MOMENTS)
    found = chances_in(ensemble, states, ensemble.goals, Beforehand(after=all_home))
    for j, moment in enumerate(MOMENTS.tolist()):
        n_before = int((burst_s < moment * 60.0).sum())
        more = np.minimum(chances.chance_ratio[j] + n_before / N_DRAWS, 1.0)
        assert found.chance_ratio[j] == pytest.approx(more, abs=1e-12)


def states_at_draws(states: States, some: slice) -> States:
    return States._make(each[some] for each in states)


def test_heights_are_those_of_whole_balloons_and_times_are_on_the_clock(
    ensemble: Ensemble, chances: Chances
) -> None:
    assert (chances.after_launch_s == 60.0 * MOMENTS).all()
    for j in (0, 10, 30, len(MOMENTS) - 1):
        z, burst = (
            ensemble.climbs.tracks.amsl_m[:, MOMENTS[j]],
            ensemble.climbs.burst_share[:, MOMENTS[j]],
        )
        below = float((1.0 - burst)[z < chances.amsl_m[j]].sum())
        above = float((1.0 - burst)[z > chances.amsl_m[j]].sum())
        own = float((1.0 - burst)[z == chances.amsl_m[j]].sum())
        assert abs(below - above) <= own + 1e-9  # half of the whole ones on either side


def test_the_same_question_twice_gets_the_same_answer(ensemble: Ensemble, chances: Chances) -> None:
    assert same(chances_of_climb(ensemble, MOMENTS), chances)


def test_an_ensemble_drawn_again_gives_the_same_answer_on_one_thread_and_on_two(
    sortie: Sortie, demo_sounding: Sounding, chances: Chances
) -> None:
    for n_threads in (1, 2):
        again = drawn_ensemble(sortie, demo_sounding, ASKED, on_threads(n_threads))
        assert same(chances_of_climb(again, MOMENTS), chances)


def test_another_seed_is_other_luck_of_the_same_flight(
    sortie: Sortie, demo_sounding: Sounding, chances: Chances
) -> None:
    other = chances_of_climb(drawn_ensemble(sortie, demo_sounding, replace(ASKED, seed=2)), MOMENTS)
    assert not np.array_equal(other.open_ratio, chances.open_ratio)
    # two shares of 200 draws each differ by less than 4 sqrt(2 / 4 / 200) = 0.2
    assert np.abs(other.open_ratio - chances.open_ratio).max() < 0.2


def test_two_hundred_draws_are_the_first_of_a_thousand(
    sortie: Sortie, demo_sounding: Sounding, ensemble: Ensemble
) -> None:
    many = drawn_ensemble(sortie, demo_sounding, replace(ASKED, n_draws=1000), on_threads())
    n_times = ensemble.climbs.tracks.amsl_m.shape[1]
    for name in ("amsl_m", "north_rad", "east_rad", "diameter_m"):
        one, other = getattr(ensemble.climbs.tracks, name), getattr(many.climbs.tracks, name)
        assert np.array_equal(one, other[:N_DRAWS, :n_times], equal_nan=True), name
    assert np.array_equal(ensemble.draws.pack_end_s, many.draws.pack_end_s[:N_DRAWS])
    assert np.array_equal(ensemble.draws.glide_factor, many.draws.glide_factor[:N_DRAWS])
    assert np.array_equal(ensemble.climbs.burst_share, many.climbs.burst_share[:N_DRAWS, :n_times])


def test_the_doors_of_the_first_draws_do_not_hang_on_those_after_them(
    sortie: Sortie, demo_sounding: Sounding, ensemble: Ensemble
) -> None:
    few = drawn_ensemble(sortie, demo_sounding, replace(ASKED, n_draws=50))
    for name in few.draws.swarm._fields:
        mine, all_ = getattr(few.draws.swarm, name), getattr(ensemble.draws.swarm, name)
        assert np.array_equal(mine, all_[:50])
    # Tables of glides reach from the poorest glide drawn to the best, and are read between nodes:
    # of 9200 answers one that lies at its very edge may fall to the other side.
    assert (found_of(few) != found_of(ensemble)[:50]).sum() <= 1


def test_fields_asked_for_by_themselves_get_the_same_odds(
    ensemble: Ensemble, chances: Chances
) -> None:
    second = Goals(*(array[1:2] for array in ensemble.goals))
    alone = chances_of_climb(ensemble, MOMENTS, second)
    assert np.array_equal(alone.chance_ratio[:, 0], chances.chance_ratio[:, 1])
    assert np.array_equal(alone.open_ratio[:, 0], alone.any_open_ratio)


def test_no_field_is_no_odds_and_no_error(ensemble: Ensemble) -> None:
    none = chances_of_climb(ensemble, MOMENTS, Goals(*(array[:0] for array in ensemble.goals)))
    assert none.chance_ratio.shape == (len(MOMENTS), 0)
    assert (none.any_open_ratio == 0.0).all()


def test_a_moment_after_the_last_balloon_is_nan_in_height_and_shut(
    sortie: Sortie, demo_sounding: Sounding
) -> None:
    few = drawn_ensemble(sortie, demo_sounding, replace(ASKED, n_draws=50))
    last = few.climbs.tracks.amsl_m.shape[1] - 1
    assert np.isnan(few.climbs.tracks.amsl_m[:, last]).all()
    late = chances_of_climb(few, np.array([0, last]))
    assert np.isnan(late.amsl_m[1])
    assert (late.open_ratio[1] == 0.0).all()
    assert late.burst_ratio[1] == pytest.approx(1.0, abs=1e-3)


def step(*edges: tuple[int, float]) -> np.ndarray[Any, np.dtype[np.float64]]:
    """Return a line of steps: from each moment on, the value beside it."""
    values = np.zeros(N)
    for first, value in edges:
        values[first:] = value
    return values


@pytest.mark.parametrize(
    ("ratio", "state"),
    [
        (1.0, "open"),
        (0.9, "open"),
        (0.8999, "doubtful"),
        (0.5, "doubtful"),
        (0.4999, "shut"),
        (0.0, "shut"),
    ],
)
def test_states_begin_at_nine_and_at_five_in_ten(ratio: float, state: State) -> None:
    assert state_of(ratio, Wish()) == state


def test_states_follow_the_shares_of_the_wish() -> None:
    careful = Wish(open_ratio=0.99, doubtful_ratio=0.95)
    assert [state_of(p, careful) for p in (0.99, 0.96, 0.94)] == ["open", "doubtful", "shut"]


@given(st.lists(st.sampled_from(["open", "doubtful", "shut"])))
def test_runs_put_together_are_the_states_and_neighbours_differ(states: list[State]) -> None:
    found = runs(states)
    assert [state for state, a, b in found for _ in range(a, b)] == states
    assert all(a < b for _, a, b in found)
    assert all(x[2] == y[1] and x[0] != y[0] for x, y in pairwise(found))


def test_gap_runs_from_the_first_open_field_to_the_median_burst() -> None:
    # Home open T+3 to T+19 and from T+60; field 2 from T+40 to T+49: nowhere T+20-39, T+50-59.
    home = step((3, 1.0), (20, 0.89), (60, 0.95))
    second = step((40, 0.9), (50, 0.0))
    chances = chances_like(np.column_stack([home, second]))
    assert gaps_s(chances, Wish(), 80.0 * 60.0) == [(1200.0, 2400.0), (3000.0, 3600.0)]


def test_gap_at_the_beginning_does_not_count_and_one_at_the_burst_ends_there() -> None:
    chances = chances_like(step((10, 1.0), (70, 0.0)))
    # moments T+70 to T+80 are shut; each stands for the minute that follows it
    assert gaps_s(chances, Wish(), 80.0 * 60.0) == [(4200.0, 4860.0)]
    assert gaps_s(chances_like(step((10, 1.0))), Wish(), 4800.0) == []
    # what opens only after the burst is no cover
    assert gaps_s(chances_like(step((82, 1.0))), Wish(), 4800.0) == [(0.0, 4800.0)]


def test_with_nothing_open_or_no_field_the_whole_climb_is_a_gap() -> None:
    assert gaps_s(chances_like(np.full(N, 0.89)), Wish(), 4800.0) == [(0.0, 4800.0)]
    assert gaps_s(chances_like(np.empty((N, 0))), Wish(), 4800.0) == [(0.0, 4800.0)]


def test_shut_time_begins_three_minutes_after_launch() -> None:
    # not open T+0..T+4 and T+10..T+14 and after the burst: T+3, T+4 and five more count
    opened = step((0, 0.0), (5, 1.0), (10, 0.7), (15, 1.0), (80, 0.0))
    assert shut_s(chances_like(opened), 0, Wish(), 79.0 * 60.0) == 7.0 * 60.0
