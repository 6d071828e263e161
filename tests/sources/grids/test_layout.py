"""Layouts: where headers of both editions put the points."""

import struct
from dataclasses import replace

import pytest
from tests.sources.grids.encode import Even, Lambert

from farglide.sources.grids.layout import (
    Counts,
    Ends,
    EvenLayout,
    LambertLayout,
    OtherLayout,
    even_layout,
    layout_1,
    layout_2,
)
from farglide.sources.grids.octets import Octets


def section_3(grid: Even | Lambert) -> Octets:
    body = grid.body()
    return Octets(struct.pack(">IB", len(body) + 5, 3) + body)


def even(grid: Even, edition: int) -> EvenLayout:
    found = layout_2(section_3(grid)) if edition == 2 else layout_1(Octets(grid.section_1(())))
    assert isinstance(found, EvenLayout), found
    return found


@pytest.mark.parametrize("edition", [1, 2])
@pytest.mark.parametrize(("lats", "scanning"), [((50.0, 40.0), 0x00), ((40.0, 50.0), 0x40)])
def test_rows_from_the_north_and_from_the_south(
    edition: int, lats: tuple[float, float], scanning: int
) -> None:
    found = even(Even(lats_deg=lats, scanning=scanning), edition)
    assert found.lat_deg.tolist() == [50.0, 45.0, 40.0]
    assert (found.west_deg, found.lon_step_deg) == (10.0, 5.0)
    assert not found.goes_round


@pytest.mark.parametrize("edition", [1, 2])
@pytest.mark.parametrize("negative", [False, True])
@pytest.mark.parametrize(
    ("lons", "n"),
    [((170.0, 190.0), 5), ((-10.0, 10.0), 5), ((0.0, 355.0), 72), ((180.0, 175.0), 72)],
)
def test_longitudes_of_both_conventions(
    edition: int, negative: bool, lons: tuple[float, float], n: int
) -> None:
    found = even(Even(lons_deg=lons, shape=(3, n), negative=negative), edition)
    assert found.lon_step_deg == pytest.approx(5.0)
    assert (found.west_deg - lons[0]) % 360.0 == pytest.approx(0.0)
    assert found.goes_round == (n == 72)


def test_a_circle_whose_last_column_is_its_first_goes_by_the_step_it_tells() -> None:
    found = even_layout(Counts(73, 3, 0), Ends(50.0, 0.0, 40.0, 360.0), 5.0)
    assert isinstance(found, EvenLayout)
    assert found.lon_step_deg == 5.0
    assert found.n_round == 72


@pytest.mark.parametrize("scanning", [0x80, 0x20, 0x10, 0xC0])
def test_other_orders_of_points_are_named(scanning: int) -> None:
    found = layout_2(section_3(Even(scanning=scanning)))
    assert isinstance(found, OtherLayout)
    assert f"scanning mode {scanning:#04x}" in found.name


@pytest.mark.parametrize(
    ("octets", "angles", "name"),
    [
        ((1, 3, 0), (50.0, 0.0, 40.0, 10.0), "a line of 1 times 3 points"),
        ((3, 3, 0), (40.0, 0.0, 50.0, 10.0), "latitudes do not follow"),
        ((3, 3, 0), (50.0, 0.0, 40.0, 0.0), "latitudes do not follow"),
        ((99, 3, 0), (50.0, 0.0, 40.0, 10.0), "over more than the circle"),
    ],
)
def test_layouts_that_cannot_be(
    octets: tuple[int, int, int], angles: tuple[float, float, float, float], name: str
) -> None:
    found = even_layout(Counts(*octets), Ends(*angles), 5.0 if octets[0] == 99 else None)
    assert isinstance(found, OtherLayout)
    assert name in found.name


@pytest.mark.parametrize(
    ("kind", "name"),
    [(1, "rotated latitude/longitude"), (40, "Gaussian"), (10, "Mercator"), (77, "number 77")],
)
def test_other_grids_of_edition_2_are_named(kind: int, name: str) -> None:
    data = bytearray(section_3(Even()).data)
    data[12:14] = kind.to_bytes(2, "big")
    assert layout_2(Octets(bytes(data))) == OtherLayout(name=name)


def test_other_grids_of_edition_1_are_named() -> None:
    data = bytearray(Even().section_1(()))
    data[5] = 10
    assert layout_1(Octets(bytes(data))) == OtherLayout(name="rotated latitude/longitude")
    data[5:8] = b"\0\xff\xff"
    assert layout_1(Octets(bytes(data))) == OtherLayout(name="rows of different lengths")


def test_rows_of_different_lengths_are_named() -> None:
    data = bytearray(section_3(Even()).data)
    data[30:34] = b"\xff" * 4
    assert layout_2(Octets(bytes(data))) == OtherLayout(name="rows of different lengths")
    data[10] = 2
    assert layout_2(Octets(bytes(data))) == OtherLayout(name="rows of different lengths")


def test_a_basic_angle_is_the_unit_of_angles() -> None:
    data = bytearray(section_3(Even()).data)
    data[38:46] = struct.pack(">II", 1, 1_000_000)
    assert layout_2(Octets(bytes(data))) == layout_2(section_3(Even()))


def test_a_lambert_map_of_edition_2() -> None:
    found = layout_2(section_3(Lambert()))
    assert isinstance(found, LambertLayout)
    assert (found.n_rows, found.n_columns) == (9, 12)
    assert (found.first_lat_deg, found.first_lon_deg, found.lon_up_deg) == (30.0, 255.0, 265.0)
    assert found.parallels_deg == (25.0, 25.0)
    assert found.radius_m == (6_371_229.0, 6_371_229.0)
    assert found.x_step_m == 100_000.0
    assert found.along_grid
    assert not found.first_is_top


def test_a_lambert_map_of_edition_1() -> None:
    # Grid 211 of NCEP: 93 x 65, 12.19 N 133.459 W, 81.271 km, true at 25 N, upright at 95 W
    # (NCEP ON388 table B, from memory; the open file of this map in edition 2 has the same).
    body = bytes([0, 255, 3]) + struct.pack(">HH", 93, 65)
    body += (12_190).to_bytes(3, "big") + (0x800000 | 133_459).to_bytes(3, "big") + b"\x08"
    body += (0x800000 | 95_000).to_bytes(3, "big") + (81_271).to_bytes(3, "big") * 2
    body += b"\0\x40" + (25_000).to_bytes(3, "big") * 2
    found = layout_1(Octets((len(body) + 3).to_bytes(3, "big") + body))
    assert isinstance(found, LambertLayout)
    assert (found.n_rows, found.n_columns, found.along_grid) == (65, 93, True)
    assert (found.first_lat_deg, found.first_lon_deg) == (12.19, -133.459)
    assert (found.lon_up_deg, found.x_step_m) == (-95.0, 81_271.0)
    assert found.radius_m == (6_367_470.0, 6_367_470.0)
    turned = replace(found, along_grid=False)
    assert turned != found


@pytest.mark.parametrize(
    ("octets", "radius_m"),
    [
        (bytes([1, 1]) + (63_712_000).to_bytes(4, "big") + bytes(10), (6_371_200.0,) * 2),
        (bytes([0]) + bytes(15), (6_367_470.0,) * 2),
        (
            bytes([7]) + bytes(5) + b"\0" + (6_378_137).to_bytes(4, "big")
            + b"\0" + (6_356_752).to_bytes(4, "big"),
            (6_378_137.0, 6_356_752.0),
        ),
    ],
)  # fmt: skip
def test_the_shape_of_the_earth(octets: bytes, radius_m: tuple[float, float]) -> None:
    data = bytearray(section_3(Lambert()).data)
    data[14:30] = octets
    found = layout_2(Octets(bytes(data)))
    assert isinstance(found, LambertLayout)
    assert found.radius_m == radius_m


def test_a_lambert_map_in_another_order_is_named() -> None:
    data = bytearray(section_3(Lambert()).data)
    data[64] = 0x80
    found = layout_2(Octets(bytes(data)))
    assert isinstance(found, OtherLayout)
    assert "scanning mode 0x80" in found.name
