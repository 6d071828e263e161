"""Observed: what nobody can have seen is refused."""

from collections.abc import Callable
from typing import Any

import pytest

from farglide.earth.state import Place
from farglide.errors import InputError
from farglide.track.filter.observed import Aimed, Graded, High, Placed, SunSeen

STAND = Place(lat_deg=45.0, lon_deg=8.0, amsl_m=300.0)


@pytest.mark.parametrize(
    ("make", "match"),
    [
        (lambda: Placed(lat_deg=95.0, lon_deg=8.0), "lat_deg is 95"),
        (lambda: Placed(lat_deg=45.0, lon_deg=8.0, sd_m=0.0), "error of a place is 0"),
        (lambda: Placed(lat_deg=45.0, lon_deg=8.0, amsl_m=2e5), "height is 2"),
        (lambda: Placed(lat_deg=45.0, lon_deg=8.0, amsl_sd_m=-1.0), "error of a height is -1"),
        (lambda: High(amsl_m=-900.0), "height is -900"),
        (lambda: High(amsl_m=900.0, sd_m=0.0), "error of a height is 0"),
        (lambda: Aimed(stand=STAND, azimuth_deg=400.0), "azimuth is 400"),
        (lambda: Aimed(stand=STAND, azimuth_deg=4.0, elevation_deg=95.0), "elevation is 95"),
        (lambda: Aimed(stand=STAND, azimuth_deg=4.0, sd_deg=90.0), "error of a bearing is 90"),
        (lambda: SunSeen(clock_h=13.0), "clock position is 13"),
        (lambda: SunSeen(clock_h=3.0, sd_deg=0.0), "error of a clock position is 0"),
        (lambda: Graded(grade=6, stand=0), "picture grade is 6"),
    ],
)
def test_refusals(make: Callable[[], Any], match: str) -> None:
    with pytest.raises(InputError, match=match):
        make()


def test_what_can_be_seen_is_taken() -> None:
    assert Placed(lat_deg=45.0, lon_deg=8.0).amsl_m is None
    assert Aimed(stand=STAND, azimuth_deg=360.0, elevation_deg=-5.0).sd_deg == 5.0
