"""A clock is doubted where it cannot be that of its place, and nowhere else."""

import pytest

from farglide.sortie.clockdoubt import clock_doubt


@pytest.mark.parametrize(
    ("offset_h", "lat_deg", "lon_deg", "asks"),
    [
        (5.0, 52.45, 63.9, ""),
        (0.0, -46.5, 108.0, ""),  # UTC is taken by anybody
        (-5.0, 52.45, 63.9, "Check the sign of the offset, the zone, and the longitude."),
        (5.0, -10.0, -75.0, "Check the sign of the offset, the zone, and the longitude."),
        (7.0, 108.0, -46.5, "Are latitude and longitude swapped (lat_deg, lon_deg)?"),
    ],
)
def test_a_clock_is_compared_with_the_sun(
    offset_h: float, lat_deg: float, lon_deg: float, asks: str
) -> None:
    told = clock_doubt(offset_h, lat_deg, lon_deg)
    assert told.endswith(asks)
    assert bool(told) is bool(asks)
