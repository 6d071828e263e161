"""Two bearings against drawn errors, one bearing with a height, and points by their fit."""

import math

import numpy as np
import pytest

from farglide.earth.geodesy import destination, offset, offsets_deg
from farglide.earth.state import Place
from farglide.errors import InputError
from farglide.search.bearings import Bearing, crossing, fits, likelihood, range_error_m

HERE = Place(lat_deg=-46.5, lon_deg=108.0, amsl_m=300.0)
THERE = offset(HERE, 20_000.0, 0.0)
TURN = math.radians(18.0)  # half of the crossing angle
AWAY_M = 10_000.0 / math.sin(TURN)  # of the place from both stands


def bearings(one_deg: float = 18.0, other_deg: float = 342.0) -> list[Bearing]:
    return [
        Bearing(stand=HERE, name="west", azimuth_deg=one_deg % 360.0),
        Bearing(stand=THERE, name="east", azimuth_deg=other_deg % 360.0),
    ]


def test_two_stands_20_km_apart_crossing_at_36_degrees() -> None:
    """By hand, errors drawn: median 4.9 km and 90 % 11.8 km, 5 degrees each.

    The errors of a crossing far off are not normal: the small-error law has them shorter.
    """
    off = np.random.default_rng(1).normal(0.0, 5.0, (100_000, 2))
    one, other = (np.radians(18.0 + off[:, 0]), np.radians(-18.0 + off[:, 1]))
    ahead = np.sin(one - other)
    away_m = 20_000.0 * np.cos(other) / ahead
    meets = (ahead > 0.0) & (away_m > 0.0)
    east, north = away_m * np.sin(one), away_m * np.cos(one)
    miss_km = np.hypot(east - 10_000.0, north - AWAY_M * math.cos(TURN))[meets] / 1000.0
    assert np.median(miss_km) == pytest.approx(4.9, abs=0.15)
    assert np.quantile(miss_km, 0.9) == pytest.approx(11.8, abs=0.5)
    met = crossing(*bearings())
    assert met.angle_deg == pytest.approx(36.0)
    assert met.radius_50_m / 1000.0 == pytest.approx(4.9, rel=0.1)
    assert met.radius_90_m / 1000.0 == pytest.approx(11.8, rel=0.15)


def test_where_they_meet() -> None:
    met = crossing(*bearings())
    wanted = destination(HERE, 18.0, AWAY_M)
    assert (met.lat_deg, met.lon_deg) == pytest.approx((wanted.lat_deg, wanted.lon_deg), abs=0.002)


def test_deviations_by_the_half_angle() -> None:
    """Two lines of one error e at an angle a: e / (sqrt 2 sin a/2) along, e / (sqrt 2 cos a/2)."""
    met = crossing(*bearings())
    across_m = math.radians(5.0) * AWAY_M
    assert met.major_m == pytest.approx(across_m / (math.sqrt(2.0) * math.sin(TURN)), rel=0.01)
    assert met.minor_m == pytest.approx(across_m / (math.sqrt(2.0) * math.cos(TURN)), rel=0.01)


def test_points_on_both_lines_fit_best() -> None:
    east, north = np.meshgrid(np.linspace(0, 20_000, 41), np.linspace(10_000, 50_000, 81))
    lat, lon = offsets_deg(HERE, east.ravel(), north.ravel())
    fit = likelihood(bearings(), lat, lon)
    best = np.argmax(fit)
    assert east.ravel()[best] == pytest.approx(10_000.0, abs=500.0)
    assert north.ravel()[best] == pytest.approx(AWAY_M * math.cos(TURN), abs=500.0)


def test_the_likelihood_over_even_points_is_the_normal_law_of_a_near_crossing() -> None:
    """At 90 degrees and 2 degrees each, the errors are small: the radii are those of the law."""
    one = Bearing(stand=HERE, name="west", azimuth_deg=45.0, sd_deg=2.0)
    other = Bearing(stand=THERE, name="east", azimuth_deg=315.0, sd_deg=2.0)
    met = crossing(one, other)
    east, north = np.meshgrid(np.linspace(6000, 14_000, 161), np.linspace(6000, 14_000, 161))
    lat, lon = offsets_deg(HERE, east.ravel(), north.ravel())
    weight = likelihood([one, other], lat, lon)
    away = np.hypot(east.ravel() - 10_000.0, north.ravel() - 10_000.0)
    held = weight[away < met.radius_50_m].sum() / weight[away < 4.0 * met.major_m].sum()
    assert held == pytest.approx(0.5, abs=0.03)


def test_three_deviations_fit() -> None:
    lat, lon = offsets_deg(HERE, np.array([2400.0, 2800.0, -2400.0]), np.full(3, 10_000.0))
    bearing = Bearing(stand=HERE, name="west", azimuth_deg=0.0)  # 15 degrees: 2.68 km at 10 km
    assert fits(bearing, lat, lon).tolist() == [True, False, True]


def test_a_wrong_bearing_excludes_nothing() -> None:
    lat, lon = offsets_deg(HERE, np.array([0.0, 0.0]), np.array([10_000.0, -10_000.0]))
    fit = likelihood([Bearing(stand=HERE, name="west", azimuth_deg=0.0)], lat, lon)
    assert 0.0 < fit[1] < 0.01 * fit[0]


def test_one_stand_with_a_known_height() -> None:
    """By hand: 26 km up at 38 degrees, 5 degrees off: 6.0 km."""
    assert range_error_m(26_000.0, 38.0) == pytest.approx(6000.0, abs=50.0)
    near, far = (26_000.0 / math.tan(math.radians(38.0 + k)) for k in (2.5, -2.5))
    assert range_error_m(26_000.0, 38.0) == pytest.approx(far - near, rel=0.01)


def test_refusals() -> None:
    with pytest.raises(InputError, match=r"angle of two bearings is 1\.0°; allowed: 2°"):
        crossing(*bearings(0.0, 1.0))
    with pytest.raises(InputError, match="behind a stand; allowed: a place ahead of both"):
        crossing(*bearings(-18.0, 18.0))
    with pytest.raises(InputError, match="azimuth of a bearing is 361°"):
        Bearing(stand=HERE, name="west", azimuth_deg=361.0)
    with pytest.raises(InputError, match="error of a bearing is 0°"):
        Bearing(stand=HERE, name="west", azimuth_deg=0.0, sd_deg=0.0)
    with pytest.raises(InputError, match="height over the stand is 0 m"):
        range_error_m(0.0, 38.0)
    with pytest.raises(InputError, match=r"elevation is 0°; .* Lower, distance is not told"):
        range_error_m(1000.0, 0.0)
    with pytest.raises(InputError, match="error of an elevation is 0°"):
        range_error_m(1000.0, 10.0, 0.0)
