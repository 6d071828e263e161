"""Fields: what a usable set is."""

import math

import pytest

from farglide.atlas.fields import Field, check_fields
from farglide.errors import ContradictionError, InputError

HOME = Field(name="Harrowend strip", lat_deg=-46.5, lon_deg=108.0, amsl_m=240.0)
OTHER = Field(name="Tansy Lea", lat_deg=-46.606, lon_deg=108.246, amsl_m=255.0)


def test_a_good_set_passes_and_order_does_not_matter() -> None:
    fields = [HOME, OTHER]
    check_fields(fields)
    check_fields(fields[::-1])
    assert fields == [HOME, OTHER]  # nothing is changed


def test_no_field_is_refused() -> None:
    with pytest.raises(InputError, match="one or more, home first"):
        check_fields([])


def test_the_same_name_twice_is_refused() -> None:
    twin = Field(name=" harrowend STRIP", lat_deg=-46.7, lon_deg=108.1, amsl_m=200.0)
    with pytest.raises(ContradictionError, match="rename one"):
        check_fields([HOME, OTHER, twin])


def test_the_same_place_twice_is_refused() -> None:
    copy = Field(name="Brackmoor", lat_deg=-46.5, lon_deg=108.000001, amsl_m=265.0)
    with pytest.raises(ContradictionError, match="'Harrowend strip' and 'Brackmoor'"):
        check_fields([HOME, copy])
    east = Field(name="East", lat_deg=10.0, lon_deg=180.0, amsl_m=0.0)
    west = Field(name="West", lat_deg=10.0, lon_deg=-180.0, amsl_m=0.0)
    with pytest.raises(ContradictionError, match="same place"):
        check_fields([east, west])


def test_a_hundred_metres_apart_are_two_places() -> None:
    near = Field(name="Far end", lat_deg=-46.501, lon_deg=108.0, amsl_m=240.0)
    check_fields([HOME, near])


@pytest.mark.parametrize(
    ("lat_deg", "lon_deg", "amsl_m", "message"),
    [
        (-91.0, 108.0, 240.0, "lat_deg"),
        (math.nan, 108.0, 240.0, "lat_deg"),
        (-46.5, 468.0, 240.0, "lon_deg"),
        (0.0, 0.0, 240.0, "No place was given"),
        (-46.5, 108.0, 24_000.0, r"Feet x 0\.3048"),
        (-46.5, 108.0, math.nan, "amsl_m"),
    ],
)
def test_impossible_places_are_refused(
    lat_deg: float, lon_deg: float, amsl_m: float, message: str
) -> None:
    with pytest.raises(InputError, match=message):
        Field(name="Brackmoor", lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=amsl_m)


def test_a_nameless_field_is_refused() -> None:
    with pytest.raises(InputError, match="field name"):
        Field(name="  ", lat_deg=-46.5, lon_deg=108.0, amsl_m=240.0)
