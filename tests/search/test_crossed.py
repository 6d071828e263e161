"""Barriers between a stand and a place: named, in order, entered or crossed."""

from farglide.atlas.barriers import Barrier
from farglide.atlas.outline import Outline
from farglide.earth.state import Place
from farglide.search.crossed import Crossed, crossed


def band(name: str, kind: str, west: float, east: float) -> Barrier:
    ring = ((-1.0, west), (-1.0, east), (1.0, east), (1.0, west))
    return Barrier(name=name, kind=kind, outline=Outline(points=ring))


def at(lon_deg: float) -> Place:
    return Place(lat_deg=0.0, lon_deg=lon_deg, amsl_m=0.0)


RIVER = band("River", "water", 0.2, 0.21)
LAND = band("Other land", "border", 0.4, 2.0)
WOOD = band("Wood", "closed forest", -0.5, 0.1)


def test_named_in_the_order_in_which_they_are_met() -> None:
    found = crossed([LAND, RIVER, WOOD], at(0.0), at(0.5))
    assert [(one.name, one.kind, round(one.after_m / 1000.0)) for one in found] == [
        ("Wood", "closed forest", 0), ("River", "water", 22), ("Other land", "border", 45),
    ]  # fmt: skip
    assert [one.ends_inside for one in found] == [False, False, True]


def test_none_where_the_way_is_free() -> None:
    assert crossed([LAND, RIVER], at(0.0), at(0.1)) == ()


def test_a_way_that_never_leaves() -> None:
    assert crossed([WOOD], at(0.0), at(0.05)) == (Crossed("Wood", "closed forest", 0.0, True),)
