"""Box: an area that may lie across the 180th meridian."""

import pytest

from farglide.earth.box import Box
from farglide.errors import InputError


@pytest.mark.parametrize(
    ("edges", "reason"),
    [
        ((47.0, 8.0, 46.0, 9.0), "north_deg is 46.0°; .*Swap the two"),
        ((46.0, 9.0, 47.0, 8.0), "width of the area is 359°; .*swapped"),
        ((46.0, 8.0, 47.0, 8.0), "width of the area is 0°"),
        ((-91.0, 8.0, 47.0, 9.0), "lat_deg is -91.0°"),
    ],
)
def test_impossible_areas_are_refused(
    edges: tuple[float, float, float, float], reason: str
) -> None:
    south, west, north, east = edges
    with pytest.raises(InputError, match=reason):
        Box(south_deg=south, west_deg=west, north_deg=north, east_deg=east)


def test_places_are_held_across_the_180th_meridian() -> None:
    box = Box(south_deg=-20.0, west_deg=178.0, north_deg=-10.0, east_deg=-178.0)
    assert box.width_deg == pytest.approx(4.0)
    assert [box.holds(-15.0, lon) for lon in (178.0, 180.0, -179.0, 182.0, -177.9, 177.9)] == [
        True, True, True, True, False, False,
    ]  # fmt: skip
    assert [box.holds(lat, 179.0) for lat in (-20.0, -10.0, -9.9, -20.1)] == [
        True, True, False, False,
    ]  # fmt: skip
