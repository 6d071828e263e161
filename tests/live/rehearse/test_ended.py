"""Ended: a glide is home, late or short by where it is at the arrival height, and when."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from farglide.chances.ensemble import Ensemble
from farglide.live.rehearse.ended import How, Release, ended, last_above_s
from farglide.live.rehearse.flown import _orders, let_go
from farglide.live.rehearse.lifted import lifted
from farglide.live.rehearse.trace import trace_of
from farglide.live.rehearse.truth import Truth

Make = Callable[..., Truth]


def test_the_same_glide_is_late_where_the_packs_end_before(low: Ensemble, truth: Make) -> None:
    made = truth(low)
    lift = lifted(made)
    found = let_go(made, lift, 76.0 * 60.0, 0)
    goal = _orders(made, found.release_s, 0, found.price_mps).goal
    release = Release(found.release_s, found.release_amsl_m)
    tied = lift.path.until(found.release_s)
    again = ended(made, tied, found.glide, release, goal)
    assert (again.how, again.low_s) == (How.HOME, found.low_s)
    late = ended(replace(made, end_s=found.low_s - 1.0), tied, found.glide, release, goal)
    assert late.how is How.LATE


def test_the_last_time_above_a_height_is_between_its_rows() -> None:
    rows = np.array([[0.0, 1000.0, 0.0, 0.0], [10.0, 400.0, 0.0, 0.0], [20.0, 600.0, 0.0, 0.0],
                     [40.0, 200.0, 0.0, 0.0]])  # fmt: skip
    assert last_above_s(trace_of(rows), 500.0) == pytest.approx(25.0)
    assert last_above_s(trace_of(rows), 2000.0) == 0.0
