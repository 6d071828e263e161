"""Segments: all likely cells once, of one cover, on one side of a road, of like size."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.atlas.barriers import Barrier, Landmark
from farglide.atlas.fields import Field
from farglide.atlas.outline import Outline
from farglide.earth.state import Place
from farglide.search.cover import FOREST, cover_named
from farglide.search.grid import Grid, degrees
from farglide.search.pieces import Ground, Piece
from farglide.search.segments import name_of, pieces_of, with_chances

HERE = Place(lat_deg=-46.5, lon_deg=108.0, amsl_m=0.0)
GRASS = cover_named("grass")


def grid(n: int = 40, step_m: float = 50.0) -> Grid:
    """Return a normal cloud of 400 m about the middle of n by n cells."""
    at = step_m * (np.arange(n) + 0.5 - n / 2)
    east, north = np.meshgrid(at, at)
    poc = np.exp(-0.5 * (east**2 + north**2) / 400.0**2)
    return Grid(HERE, step_m, -n / 2 * step_m, -n / 2 * step_m, 0.9 * poc / poc.sum())


def line(*corners: tuple[float, float]) -> tuple[tuple[float, float], ...]:
    lat, lon = degrees(HERE, *(np.array(one, np.float64) for one in zip(*corners, strict=True)))
    return tuple(zip(lat.tolist(), lon.tolist(), strict=True))


def cells_of(pieces: tuple[Piece, ...]) -> list[tuple[int, int]]:
    return [cell for one in pieces for cell in one.cells]


def test_likely_cells_are_in_one_segment_each() -> None:
    laid = grid()
    pieces = pieces_of(laid, Ground(elsewhere=GRASS))
    cells = cells_of(pieces)
    assert len(cells) == len(set(cells))
    assert 0.97 * 0.9 <= sum(one.poc for one in pieces) < 0.9
    assert [one.name for one in pieces] == [name_of(k) for k in range(len(pieces))]
    assert pieces[0].poc == max(one.poc for one in pieces)


def test_segments_are_of_like_size() -> None:
    """Two people, 60 m, 1 m/s, 40 min: 0.288 km2; none smaller than a third but where cut off."""
    pieces = pieces_of(grid(), Ground(elsewhere=GRASS))
    areas = np.array([one.area_m2 for one in pieces]) / 0.288e6
    assert np.median(areas) == pytest.approx(1.0, abs=0.2)
    assert (areas > 0.3).mean() > 0.9
    assert areas.max() < 1.7


def test_a_road_is_never_inside_a_segment() -> None:
    road = Landmark(name="Lane", kind="road", points=line((-2000.0, 13.0), (2000.0, 13.0)))
    laid = grid()
    pieces = pieces_of(laid, Ground(elsewhere=GRASS, landmarks=[road]))
    row = int((13.0 - laid.south_m) / laid.step_m - 0.5)
    for one in pieces:
        sides = {cell[0] > row for cell in one.cells}
        assert len(sides) == 1, one.name
    nearest = min(one.road_m for one in pieces)
    assert nearest < 50.0
    assert {one.road for one in pieces} == {"Lane"}
    assert pieces[0].hazards == ()


def test_wires_and_owners_are_told_where_they_are() -> None:
    wires = Landmark(name="Line", kind="wires", points=line((-500.0, 0.0), (-500.0, 10.0)))
    lat, lon = degrees(HERE, np.array([600.0]), np.array([600.0]))
    field = Field(name="Meadow", lat_deg=float(lat[0]), lon_deg=float(lon[0]), amsl_m=0.0)
    said = replace(field, name="Hay", owner="yes", outline=Outline(
        points=line((550.0, 550.0), (650.0, 550.0), (650.0, 650.0), (550.0, 650.0))
    ))  # fmt: skip
    pieces = pieces_of(grid(), Ground(elsewhere=GRASS, landmarks=[wires], fields=[field, said]))
    warned = [one for one in pieces if one.hazards]
    assert 0 < len(warned) < len(pieces)
    (owned,) = [one for one in pieces if one.owners]
    assert owned.owners == ("Meadow: the owner has said nothing", "Hay: yes")


def test_a_wood_is_a_segment_of_its_own() -> None:
    ring = Outline(points=line((100.0, -500.0), (700.0, -500.0), (700.0, 500.0), (100.0, 500.0)))
    wood = Barrier(name="Wood", kind="closed forest", outline=ring)
    lake = Barrier(
        name="Lake", kind="water",
        outline=Outline(points=line((-700.0, -300.0), (-200.0, -300.0), (-200.0, 300.0))),
    )  # fmt: skip
    pieces = pieces_of(grid(), Ground(elsewhere=GRASS, barriers=[wood, lake]))
    covers = {one.cover.name for one in pieces}
    assert covers == {"grass", FOREST, "water"}
    forest_m2 = sum(one.area_m2 for one in pieces if one.cover.name == FOREST)
    assert forest_m2 == pytest.approx(600_000.0, rel=0.05)
    assert pieces[-1].cover.is_walked is False  # named last: nobody looks there


def test_chances_move_and_places_stay() -> None:
    laid = grid()
    pieces = pieces_of(laid, Ground(elsewhere=GRASS))
    half = with_chances(pieces, laid._replace(poc=0.5 * laid.poc))
    assert [one.poc for one in half] == pytest.approx([0.5 * one.poc for one in pieces])
    assert [one.cells for one in half] == [one.cells for one in pieces]


def test_wide_cells_are_segments_of_some_cells_at_most_sixty() -> None:
    pieces = pieces_of(grid(step_m=50.0)._replace(step_m=3000.0), Ground(elsewhere=GRASS))
    assert 20 <= len(pieces) <= 70
