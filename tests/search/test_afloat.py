"""On the water: leeway by hand, published leeways around it, and a square lake."""

import math

import numpy as np
import pytest

from farglide.atlas.barriers import Barrier
from farglide.atlas.outline import Outline
from farglide.earth.geodesy import offset
from farglide.earth.state import Place
from farglide.errors import InputError
from farglide.search.afloat import (
    LEEWAY_RATIO,
    SurfaceWind,
    drift_m,
    drifted,
    in_water,
    shore_m,
    stranding,
)

from .test_points import points

MIDDLE = Place(lat_deg=10.0, lon_deg=20.0, amsl_m=0.0)
LAKE = Outline(
    points=tuple(
        (one.lat_deg, one.lon_deg)
        for one in (
            offset(MIDDLE, e, n) for e, n in ((-2e3, -2e3), (2e3, -2e3), (2e3, 2e3), (-2e3, 2e3))
        )
    )
)
WEST = SurfaceWind(from_deg=270.0, mps=8.0)


def test_an_hour_at_8_metres_a_second() -> None:
    """By hand: 3 % of 8 m/s for an hour is 0.86 km."""
    assert drift_m(8.0, 3600.0) / 1000.0 == pytest.approx(0.86, abs=0.005)


def test_the_leeway_lies_among_published_ones() -> None:
    """Source: Allen and Fitzgerald 1997, ADA338829, abstract: 5.5 m boat 3.65 %, swamped 1.73 %,
    life rafts 1.95, 0.79, 2.82 and 1.13 %."""
    published = (3.65, 1.73, 1.95, 0.79, 2.82, 1.13)
    assert min(published) < 100.0 * LEEWAY_RATIO < max(published)


def test_where_and_when_it_strands() -> None:
    """2 km to the east shore at 0.24 m/s: 8333 s; at 4 % 6250 s, at 2 % 12 500 s."""
    found = stranding(LAKE, MIDDLE, WEST)
    assert found is not None
    assert found.drift_m == pytest.approx(2000.0, rel=0.003)
    assert (found.soonest_s, found.likely_s, found.latest_s) == pytest.approx(
        (6250.0, 8333.0, 12_500.0), rel=0.003
    )
    shore = offset(MIDDLE, 2000.0, 0.0)
    assert found.place.lon_deg == pytest.approx(shore.lon_deg, abs=1e-4)
    assert found.place.lat_deg == pytest.approx(10.0, abs=1e-4)


def test_on_land_or_without_wind() -> None:
    assert stranding(LAKE, offset(MIDDLE, 3000.0, 0.0), WEST) is None
    still = stranding(LAKE, MIDDLE, SurfaceWind(from_deg=0.0, mps=0.0))
    assert still is not None
    assert math.isinf(still.likely_s)


def test_points_afloat_go_ashore_and_no_farther() -> None:
    places = [offset(MIDDLE, east_m, 0.0) for east_m in (0.0, 1500.0, 3000.0)]
    lying = points(
        3,
        lat_deg=np.array([one.lat_deg for one in places]),
        lon_deg=np.array([one.lon_deg for one in places]),
    )
    lake = [Barrier(name="Lake", kind="water", outline=LAKE)]
    assert in_water(lying, lake).tolist() == [True, True, False]
    later = drifted(lying, lake, WEST, 3600.0)
    wanted = [offset(MIDDLE, east_m, 0.0).lon_deg for east_m in (864.0, 2020.0, 3000.0)]
    assert later.lon_deg == pytest.approx(wanted, abs=1e-4)
    assert in_water(later, lake).tolist() == [True, False, False]
    wood = [Barrier(name="Wood", kind="closed forest", outline=LAKE)]
    assert (drifted(lying, wood, WEST, 3600.0).lon_deg == lying.lon_deg).all()


def test_no_shore_downwind_of_land() -> None:
    away = shore_m(LAKE, np.array([10.0]), np.array([20.1]), WEST)
    assert away.tolist() == [0.0]


def test_refusals() -> None:
    with pytest.raises(InputError, match="wind over the water is -1 m/s"):
        drift_m(-1.0, 1.0)
    with pytest.raises(InputError, match="seconds afloat is -1 s"):
        drift_m(1.0, -1.0)
    with pytest.raises(InputError, match=r"leeway is 0\.3; allowed: 0 to 0.2"):
        drift_m(1.0, 1.0, 0.3)
    with pytest.raises(InputError, match="direction of the wind is 361°"):
        SurfaceWind(from_deg=361.0, mps=1.0)
    with pytest.raises(InputError, match="wind over the water is 61 m/s"):
        SurfaceWind(from_deg=0.0, mps=61.0)
