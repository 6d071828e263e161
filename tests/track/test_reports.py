"""Reports refuse what no receiver on or above the Earth can say."""

import math

import pytest

from farglide.errors import InputError
from farglide.track.reports import Fix


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("lat_deg", 90.1),
        ("lon_deg", -181.0),
        ("height_m", 100_001.0),
        ("separation_m", 300.0),
        ("speed_mps", -0.1),
        ("track_deg", 360.5),
        ("n_satellites", -1),
        ("lat_deg", math.nan),
        ("height_m", math.inf),
    ],
)
def test_a_fix_outside_its_range_is_refused(name: str, value: float) -> None:
    said = {"feed": "glider", "lat_deg": 45.0, "lon_deg": 12.0} | {name: value}
    with pytest.raises(InputError, match=rf"{name} is .*; allowed: .* look at what is plugged in"):
        Fix(**said)  # type: ignore[arg-type]


def test_what_was_not_said_stays_unsaid() -> None:
    fix = Fix(feed="glider", lat_deg=45.0, lon_deg=12.0)
    assert fix.t_s is fix.height_m is fix.speed_mps is None
