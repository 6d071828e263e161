"""Speed rows: what is flown every two kilometres, against the ways they are read from."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from farglide.chances.ensemble import Ensemble
from farglide.plan.home.homeward import Homeward
from farglide.plan.home.speedrows import speed_rows


def test_rows_come_every_two_kilometres_from_the_top(plain: Ensemble, flight: Homeward) -> None:
    rows = speed_rows(plain, flight)
    assert rows[0].amsl_m <= float(flight.quickest.amsl_m[0]) < rows[0].amsl_m + 2000.0
    assert all(a.amsl_m - b.amsl_m == 2000.0 for a, b in pairwise(rows))
    assert rows[-1].amsl_m == 2000.0
    for row in rows:
        assert 8.0 < row.quick_eas_mps <= plain.craft.limits.top_eas_mps + 1e-9
        assert row.quick_sink_mps > 0.0
        # the quickest way sinks no slower than the flattest
        if row.flat_sink_mps is not None:
            assert row.quick_sink_mps >= row.flat_sink_mps - 0.05


def test_sinks_are_those_of_the_way_itself(plain: Ensemble, flight: Homeward) -> None:
    """Two points of the way, 100 m above and below: how long it takes between them."""
    way = flight.quickest
    for row in speed_rows(plain, flight):
        low_s, high_s = (
            np.interp(-(row.amsl_m + off_m), -way.amsl_m, way.after_s) for off_m in (-100.0, 100.0)
        )
        assert row.quick_sink_mps == pytest.approx(200.0 / (low_s - high_s), rel=0.1)


def test_a_way_that_ends_higher_has_no_speed_below(plain: Ensemble, flight: Homeward) -> None:
    assert flight.timely is not None
    rows = speed_rows(plain, replace(flight, timely=None))
    assert {row.timely_eas_mps for row in rows} == {None}
    flat_ends_m = float(flight.flattest.amsl_m[-1])
    for row in rows:
        assert (row.flat_eas_mps is None) == (row.amsl_m <= flat_ends_m)
