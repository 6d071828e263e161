"""Bands: states of a field, stretches with none open, and how long a field is shut."""

from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from farglide.chances.bands import (
    gaps_s,
    runs,
    shut_s,
    state_of,
)
from farglide.outlook.fields import State
from farglide.sortie.spec import Wish

from .conftest import N, chances_like


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
