"""Side view: climb and ways home along the drift."""

import math

import pytest

from farglide.chances.case import Case
from farglide.chances.ensemble import Ensemble
from farglide.chances.trial import Trial
from farglide.plan.home.homeward import Homeward
from farglide.plan.home.sideview import side_view


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
