"""Car: from the launch to its stand, in time or late."""

from dataclasses import replace

import pytest

from farglide.chances.ensemble import Ensemble
from farglide.earth.state import place_deg
from farglide.live.rehearse.car import car_path


def test_it_is_at_the_farthest_stand_when_it_should_be(planned: Ensemble) -> None:
    # Wether Knap, 38 min from Harrowend, 470 m high; 25 min later with the road closed.
    sortie = planned.sortie
    for late_s, there_s in ((0.0, 2280.0), (1500.0, 3780.0)):
        path = car_path(sortie, late_s)
        assert path.end_s == there_s
        at = path.at(there_s)
        stand = next(one for one in sortie.stands if one.name == "Wether Knap")
        assert place_deg(sortie.launch, *at[1:]) == pytest.approx((stand.lat_deg, stand.lon_deg))
        assert at.amsl_m == stand.amsl_m
        half = path.at(0.5 * there_s)
        assert half.north_rad == pytest.approx(0.5 * at.north_rad)


def test_without_a_stand_it_stays(planned: Ensemble) -> None:
    path = car_path(replace(planned.sortie, stands=()), 0.0)
    assert path.at(5000.0) == (planned.sortie.launch.amsl_m, 0.0, 0.0)
