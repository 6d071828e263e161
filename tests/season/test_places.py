"""Places: the spots compared, what bars them, and the anchors their flights are made from."""

from dataclasses import replace

import pytest

from farglide.atlas.barriers import Barrier
from farglide.atlas.outline import Outline
from farglide.earth.geodesy import geodesic
from farglide.errors import InputError
from farglide.outlook.launch import OWNER_REFUSED, TOO_FAR
from farglide.rig.drives import home_place
from farglide.season.places import ANCHOR_M, Lattice, anchors_of, compared_spots
from farglide.sortie.launch_place import LaunchPlace

from .made import world

SORTIE = replace(world().flight.sortie, barriers=())


def test_named_spots_come_first_then_even_ones_without_home_itself() -> None:
    spots = compared_spots(SORTIE, None, Lattice(25e3, 80e3))
    assert spots[0].kind == "launch"
    assert {one.kind for one in spots[1 + len(SORTIE.launch_places) :]} == {"free"}
    # 37 points of the lattice of whole numbers lie within the square root of 10 (Gauss's circle)
    assert sum(one.kind == "free" for one in spots) == 37 - 1
    home = home_place(SORTIE)
    for one in spots:
        away = geodesic(home, one.place).distance_m
        assert one.kind != "free" or one.name.startswith(f"{away / 1000.0:.0f} km at ")
    assert len(compared_spots(SORTIE, None, None)) == 1 + len(SORTIE.launch_places)


def test_what_bars_a_named_spot_is_told_and_even_ones_are_left_out() -> None:
    home = home_place(SORTIE)
    box = Outline(
        points=tuple(
            (home.lat_deg + a, home.lon_deg + b)
            for a, b in ((0.1, -0.5), (0.1, 0.5), (0.5, 0.5), (0.5, -0.5))
        )
    )
    place = LaunchPlace(
        name="Quarry", lat_deg=home.lat_deg + 0.2, lon_deg=home.lon_deg, amsl_m=200.0
    )
    refused = replace(place, name="Farm", lat_deg=home.lat_deg - 0.1, owner="refused")
    wood = Barrier(name="Wood", kind="closed forest", outline=box)
    sortie = replace(SORTIE, barriers=(wood,), launch_places=(place, refused))
    spots = compared_spots(sortie, None, Lattice(25e3, 60e3))
    told = {one.name: one.barred for one in spots}
    assert (told["Quarry"], told["Farm"]) == ("Wood", OWNER_REFUSED)
    even = [one for one in spots if one.kind == "free"]
    assert all(not one.barred for one in even)
    assert len(even) < len(compared_spots(SORTIE, None, Lattice(25e3, 60e3))) - 1
    near = replace(sortie, launch=replace(sortie.launch, may_drive_s=1.0))
    assert {one.barred for one in compared_spots(near, None, None)[1:2]} == {"Wood"}
    far = replace(near, barriers=())
    assert compared_spots(far, None, None)[1].barred == TOO_FAR


def test_anchors_are_near_their_spots_and_hold_each_once() -> None:
    spots = compared_spots(SORTIE, None, Lattice(25e3, 80e3))
    (alone,) = anchors_of(SORTIE, spots, are_winds_around=False)
    assert alone.spots == tuple(range(len(spots)))
    anchors = anchors_of(SORTIE, spots, are_winds_around=True)
    assert sorted(k for one in anchors for k in one.spots) == list(range(len(spots)))
    for one in anchors:
        for k in one.spots:
            assert geodesic(one.place, spots[k].place).distance_m < 0.75 * ANCHOR_M


def test_too_many_spots_are_refused() -> None:
    with pytest.raises(InputError, match="up to 400"):
        compared_spots(SORTIE, None, Lattice(5e3, 200e3))
