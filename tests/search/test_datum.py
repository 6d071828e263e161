"""The glide that was left: radius, areas, outline, and what is refused."""

import math

import numpy as np
import pytest

from farglide.atlas.outline import Outline, area_m2, contains
from farglide.earth.state import Place
from farglide.errors import InputError
from farglide.search.datum import LastSeen, glide_outline, glide_radius_m, sector_area_m2

HERE = Place(lat_deg=-46.5, lon_deg=108.0, amsl_m=360.0)


def test_a_last_picture_120_m_up() -> None:
    """By hand: 120 m at 9 reach 1.08 km: 3.7 km2, a sector of 60 degrees 0.61 km2."""
    radius_m = glide_radius_m(120.0, 9.0)
    assert radius_m == pytest.approx(1080.0)
    assert sector_area_m2(radius_m) / 1e6 == pytest.approx(3.66, abs=0.01)
    assert sector_area_m2(radius_m, 60.0) / 1e6 == pytest.approx(0.61, abs=0.005)


@pytest.mark.parametrize("heading_deg", [None, 320.0])
def test_the_outline_holds_the_area(heading_deg: float | None) -> None:
    ring = glide_outline(HERE, 1080.0, heading_deg)
    wanted = sector_area_m2(1080.0, 360.0 if heading_deg is None else 60.0)
    assert Outline(points=ring).points == ring  # it turns left
    assert area_m2(Outline(points=ring)) == pytest.approx(wanted, rel=0.005)


def test_the_sector_lies_ahead() -> None:
    ring = Outline(points=glide_outline(HERE, 1000.0, 90.0))
    lat, lon = np.full(2, -46.5), np.array([108.005, 107.995])
    assert contains(ring, lat, lon).tolist() == [True, False]


def test_refusals() -> None:
    with pytest.raises(InputError, match="height above the ground is -1 m"):
        glide_radius_m(-1.0, 9.0)
    with pytest.raises(InputError, match="glide ratio is 0"):
        glide_radius_m(1.0, 0.0)
    with pytest.raises(InputError, match="radius is -1 m"):
        sector_area_m2(-1.0)
    with pytest.raises(InputError, match="width of a sector is 361°"):
        sector_area_m2(1.0, 361.0)
    with pytest.raises(InputError, match="t_s of the last place is nan"):
        LastSeen(place=HERE, t_s=math.nan)
    with pytest.raises(InputError, match=r"heading is 400°; allowed: 0 to 360°\. True"):
        LastSeen(place=HERE, t_s=0.0, heading_deg=400.0)
    with pytest.raises(InputError, match="spread_m is -1 m"):
        LastSeen(place=HERE, t_s=0.0, spread_m=-1.0)
