"""Digits in the picture: shown with commas and no sign, read back with the sign that must be."""

import pytest

from farglide.live.rehearse.digits import digits_of, fix_read
from farglide.live.rehearse.sentences import Told
from farglide.track.reports import Fix

LAST = Fix(feed="tracker", lat_deg=-46.49, lon_deg=108.2, t_s=1.8e9, height_m=12_000.0)
SHOWN = "46,5000 108,2045 12340"


def test_a_lost_minus_is_found_again_by_the_last_place() -> None:
    told = Told(t_s=0.0, lat_deg=-46.5, lon_deg=108.2045, amsl_m=12340.4, speed_mps=0.0,
                track_deg=0.0)  # fmt: skip
    assert digits_of(told) == SHOWN
    found = fix_read(SHOWN, 1.8e9 + 60.0, LAST)
    assert found is not None
    assert (found.lat_deg, found.lon_deg, found.height_m) == pytest.approx((-46.5, 108.2045, 12340))


def test_digits_without_a_place_are_none() -> None:
    assert fix_read("12340", 1.8e9, LAST) is None
    assert fix_read("neck 1.4", 1.8e9, LAST) is None


def test_nothing_before_them_is_no_hindrance() -> None:
    found = fix_read("46,5000 S 108,2045 E 12340", 1.8e9, None)
    assert found is not None
    assert found.lat_deg == -46.5
