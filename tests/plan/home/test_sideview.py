"""Side view: climb and ways home along the drift."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from farglide.chances.case import Case
from farglide.chances.ensemble import Ensemble
from farglide.chances.trial import Trial
from farglide.plan.home.homeward import Homeward
from farglide.plan.home.sideview import side_view, speed_rows


@pytest.fixture(scope="module")
def case(base: Trial, plain: Ensemble) -> Case:
    return Case(drawn=base.ensemble, plain=plain)


def test_the_axis_is_the_drift_and_the_ways_lead_back(case: Case, flight: Homeward) -> None:
    view = side_view(case, flight)
    # the scenario: at T+76 43.2 km east and 36.6 km south of the launch
    assert view.axis_deg == pytest.approx(90.0 + math.degrees(math.atan2(36.6, 43.2)), abs=5.0)
    assert view.climb[0] == pytest.approx((0.0, 240.0), abs=1.0)
    along_m, amsl_m = zip(*view.climb, strict=True)
    assert amsl_m == tuple(sorted(amsl_m))
    assert max(along_m) == pytest.approx(math.hypot(43.2, 36.6) * 1e3, rel=0.1)
    for way in (view.quickest, view.flattest, view.timely):
        assert way[0][0] > 45e3
        assert abs(way[-1][0]) < 1000.0  # home is the launch
        assert way[-1][1] < way[0][1]


def test_the_wind_along_is_that_of_the_knots(case: Case) -> None:
    """36 m/s from 303 degrees at 10 km blow along the drift to about 130, 9 at 27 km against."""
    view = side_view(case, None)
    assert (view.quickest, view.flattest, view.timely, view.barriers) == ((), (), (), ())
    at = {round(height_m, -3): wind_mps for height_m, wind_mps in view.wind_along}
    assert at[10_000.0] == pytest.approx(36.0, abs=1.5)
    assert at[27_000.0] == pytest.approx(-8.5, abs=1.0)
    assert max(height_m for height_m, _ in view.wind_along) < 36_100.0


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
