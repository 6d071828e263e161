"""Trace: where it is between its rows, cut off and joined."""

import numpy as np
import pytest

from farglide.live.rehearse.trace import trace_of

ROWS = np.array([[0.0, 100.0, 0.0, 0.0], [10.0, 200.0, 0.001, -0.002], [20.0, 50.0, 0.0, 0.0]])


def test_between_rows_all_changes_evenly() -> None:
    path = trace_of(ROWS)
    assert path.at(5.0) == pytest.approx((150.0, 0.0005, -0.001))
    assert path.at(-5.0) == pytest.approx((100.0, 0.0, 0.0))
    assert path.at(99.0) == pytest.approx((50.0, 0.0, 0.0))
    assert path.end_s == 20.0


def test_cut_off_and_joined_it_is_where_it_was() -> None:
    path = trace_of(ROWS)
    early = path.until(15.0)
    assert early.end_s == 15.0
    assert early.at(15.0) == pytest.approx(path.at(15.0))
    assert early.at(3.0) == path.at(3.0)
    later = early.then(trace_of(np.array([[15.0, 125.0, 0.0005, -0.001], [30.0, 0.0, 0.0, 0.0]])))
    assert later.end_s == 30.0
    assert later.at(22.5).amsl_m == pytest.approx(62.5)
