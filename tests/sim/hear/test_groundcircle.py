"""GroundCircle: the box round its circle, and what is no circle and no height."""

import math

import pytest

from farglide.earth.geodesy import destination
from farglide.earth.state import Place
from farglide.errors import InputError
from farglide.sim.hear.groundcircle import GroundCircle, Level


@pytest.mark.parametrize("lon_deg", [10.0, 179.9, -179.9])
def test_the_box_of_a_circle_holds_its_circle(lon_deg: float) -> None:
    middle = Place(lat_deg=60.0, lon_deg=lon_deg, amsl_m=0.0)
    box = GroundCircle(middle=middle, radius_m=50_000.0, n_rows=3, n_columns=3).box
    places = [destination(middle, float(azimuth), 50_000.0) for azimuth in range(0, 360, 2)]
    lats = [place.lat_deg for place in places]
    east = [(place.lon_deg - box.west_deg) % 360.0 for place in places]
    assert (max(lats), min(lats)) == pytest.approx((box.north_deg, box.south_deg), abs=1e-3)
    assert (max(east), min(east)) == pytest.approx((box.width_deg, 0.0), abs=1e-3)


def test_what_is_no_height_and_no_circle_is_refused() -> None:
    for wrong, words in (
        ({}, "neither height"),
        ({"amsl_m": 1.0, "agl_m": 1.0}, "both heights"),
        ({"amsl_m": 42_001.0}, "amsl_m is 42001 m; allowed: -500 to 42000 m"),
        ({"amsl_m": math.nan}, "amsl_m is nan m"),
        ({"agl_m": -1.0}, "agl_m is -1 m; allowed: 0 to 33000 m"),
    ):
        with pytest.raises(InputError, match=words):
            Level(**wrong)
    here = Place(lat_deg=46.0, lon_deg=10.0, amsl_m=10.0)
    for kind, words in (
        ({"radius_m": 50.0}, "radius_m is 50 m; allowed: 1000 to 200000 m"),
        ({"n_rows": 0}, "n_rows is 0; allowed: 1 to 4000"),
        ({"n_columns": 4001}, "n_columns is 4001"),
        ({"middle": Place(lat_deg=-84.9, lon_deg=10.0, amsl_m=10.0)}, "area is to 85.4"),
    ):
        whole = {"middle": here, "radius_m": 60_000.0, "n_rows": 5, "n_columns": 5} | kind
        with pytest.raises(InputError, match=words):
            GroundCircle(**whole)
