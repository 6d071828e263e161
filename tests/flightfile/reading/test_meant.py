"""What a person probably meant by a value that is no number."""

import pytest

from farglide.flightfile.reading.meant import as_path, bare_number, plain, tidy


@pytest.mark.parametrize(
    ("value", "key", "meant"),
    [
        ("25°01S", "lat_deg", "-25.016667"),
        ("25° 1' 12\" S", "lat_deg", "-25.02"),
        ("W 071 30.6", "lon_deg", "-71.51"),
        ("−33,5", "lat_deg", "-33.5"),
        ("47 N 5 S", "lat_deg", "1.0 (one decimal number)"),
        ("47 75 N", "lat_deg", "1.0 (one decimal number)"),
        ([0.5], "flown_ratio", "0.5"),
        ([1, 2], "flown_ratio", "1.0"),
        ("36 km/h", "top_eas_mps", "10"),
        ("10 kt", "top_eas_mps", "5.14444"),
        ("1.7 kg", "neck_lift_g", "1700"),
        ("heavy", "mass_g", "1.0"),
    ],
)
def test_the_number_that_was_meant(value: object, key: str, meant: str) -> None:
    assert bare_number(value, key) == meant


def test_any_value_becomes_one_short_line() -> None:
    assert tidy(True) == "true"
    assert tidy("a\nb") == '"a b"'
    assert len(tidy("x" * 100)) == 40
    assert tidy(10**5000) == "a number of thousands of digits"
    assert plain(1e6) == "1000000"
    assert plain(1e300) == "1e+300"


def test_a_path_takes_the_strokes_of_every_computer() -> None:
    assert as_path(r"a\b\c.csv") == "a/b/c.csv"
