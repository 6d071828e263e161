"""Fields: what a usable set is."""

import math

import pytest

from farglide.atlas.fields import Field, check_fields
from farglide.atlas.outline import Outline
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
    with pytest.raises(ContradictionError, match="Rename one"):
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


STRIP = Outline(
    points=((-46.498, 107.999), (-46.498, 108.001), (-46.502, 108.001), (-46.502, 107.999))
)


def with_outline(lat_deg: float, length_m: float | None) -> Field:
    return Field(
        name="Strip",
        lat_deg=lat_deg,
        lon_deg=108.0,
        amsl_m=240.0,
        outline=STRIP,
        length_m=length_m,
        direction_deg=360.0,
        obstacles="hedge at the south end",
        owner="agreed by letter",
        last_light="20:10",
    )


def test_a_field_may_have_an_outline_and_a_direction() -> None:
    field = with_outline(-46.5, 340.0)
    assert field.outline == STRIP
    assert HOME.outline is None
    assert HOME.length_m is None
    assert with_outline(-46.5025, None).owner == "agreed by letter"  # 56 m beside it


def test_a_field_away_from_its_outline_is_refused() -> None:
    with pytest.raises(ContradictionError, match=r"lies 44\d m outside its own outline"):
        with_outline(-46.506, None)


def test_a_length_that_does_not_fit_is_refused() -> None:
    with pytest.raises(ContradictionError, match=r"only 4[67]\d m across"):
        with_outline(-46.5, 500.0)


@pytest.mark.parametrize(
    ("length_m", "direction_deg", "message"),
    [
        (math.nan, 0.0, "length_m"),
        (-340.0, 0.0, "5 to 10000 m"),
        (340.0, 361.0, "true, not magnetic"),
        (340.0, -1.0, "direction_deg is -1°"),
    ],
)
def test_impossible_lengths_and_directions_are_refused(
    length_m: float, direction_deg: float, message: str
) -> None:
    with pytest.raises(InputError, match=message):
        Field(
            name="Strip",
            lat_deg=-46.5,
            lon_deg=108.0,
            amsl_m=240.0,
            length_m=length_m,
            direction_deg=direction_deg,
        )
