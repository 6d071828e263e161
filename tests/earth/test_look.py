"""Directions from one place to another against published rows and another library."""

import math

import pymap3d
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from farglide.earth.geodesy import enu_m
from farglide.earth.look import look
from farglide.earth.state import Place
from farglide.errors import InputError

# The first call may compile for seconds; the examples are the same in every run.
STEADY = settings(deadline=None, derandomize=True)

Triple = tuple[float, float, float]


def _place(triple: Triple) -> Place:
    return Place(lat_deg=triple[0], lon_deg=triple[1], amsl_m=triple[2])


@pytest.mark.parametrize(
    ("observer", "target", "enu", "direction"),
    # WGS84, computed with pymap3d 3.2.
    [
        (
            (51.0, -1.0, 100.0),
            (51.5, 0.2, 30000.0),
            (83713.64, 56568.93, 29104.43),
            (55.9514, 16.0698, 105143.16),
        ),
        (
            (51.0, -1.0, 100.0),
            (51.0, 1.0, 30000.0),
            (141025.73, 1913.03, 28350.86),
            (89.2228, 11.3658, 143859.96),
        ),
        (
            (0.0, 0.0, 0.0),
            (0.0, 1.0, 0.0),
            (111313.84, 0.00, -971.42),
            (90.0000, -0.5000, 111318.08),
        ),
        (
            (51.0, -1.0, 100.0),
            (51.01, -1.01, 150.0),
            (-701.84, 1112.56, 49.86),
            (327.7548, 2.1709, 1316.38),
        ),
    ],
)
def test_look_rows(observer: Triple, target: Triple, enu: Triple, direction: Triple) -> None:
    assert enu_m(_place(observer), _place(target)) == pytest.approx(enu, abs=0.006)
    seen = look(_place(observer), _place(target))
    assert seen[:2] == pytest.approx(direction[:2], abs=0.00006)
    assert seen.range_m == pytest.approx(direction[2], abs=0.006)


def test_car_to_balloon() -> None:
    # 55 km out and 27 km up: 25.85 deg on the sphere, 61.4 km (spherical trigonometry; the
    # ellipsoid moves it by less than 0.02 deg).
    car = _place((-46.5, 108.0, 0.0))
    balloon = _place((-46.5 + math.degrees(55_000.0 / 6_371_000.0), 108.0, 27_000.0))
    seen = look(car, balloon)
    assert (seen.azimuth_deg + 180.0) % 360.0 == pytest.approx(180.0, abs=1e-9)
    assert seen.elevation_deg == pytest.approx(25.85, abs=0.03)
    assert seen.range_m == pytest.approx(61_400.0, abs=60.0)


@STEADY
@given(
    st.tuples(st.floats(-89.0, 89.0), st.floats(-180.0, 177.0), st.floats(0.0, 9000.0)),
    st.tuples(st.floats(-0.9, 0.9), st.floats(0.0, 2.0), st.floats(0.0, 40_000.0)),
)
def test_look_against_another_library(start: Triple, step: Triple) -> None:
    observer = _place(start)
    target = _place((start[0] + step[0], start[1] + step[1], step[2]))
    line = enu_m(observer, target)
    assume(math.hypot(line.east_m, line.north_m) > 10.0)  # else the azimuth is noise
    azimuth_deg, elevation_deg, range_m = pymap3d.geodetic2aer(
        target.lat_deg, target.lon_deg, target.amsl_m,
        observer.lat_deg, observer.lon_deg, observer.amsl_m,
    )  # fmt: skip
    seen = look(observer, target)
    # That library sets components below 1 mm to 0.
    within_deg = 1e-6 + math.degrees(0.001 / math.hypot(line.east_m, line.north_m))
    assert abs((seen.azimuth_deg - azimuth_deg + 180.0) % 360.0 - 180.0) < within_deg
    assert seen.elevation_deg == pytest.approx(elevation_deg, abs=within_deg)
    assert seen.range_m == pytest.approx(range_m, abs=0.002)


def test_straight_up() -> None:
    up = look(_place((0.0, 0.0, 0.0)), _place((0.0, 0.0, 30_000.0)))
    assert up == pytest.approx((0.0, 90.0, 30_000.0), abs=1e-6)


def test_refuses_one_and_the_same_place() -> None:
    place = _place((51.0, -1.0, 100.0))
    with pytest.raises(InputError, match=r"range_m is 0\.0 m; allowed: more than 0 m, finite"):
        look(place, place)
