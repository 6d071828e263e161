"""Ground: an even spot moves to the nearest ground to launch from, by hand-laid cases."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.atlas.barriers import Barrier, Landmark
from farglide.atlas.outline import Outline
from farglide.atlas.terrain import flat
from farglide.earth.geodesy import geodesic, offset
from farglide.earth.state import Place
from farglide.season.ground import AROUND_M, Needs, launchable

from .made import world

SORTIE = replace(world().flight.sortie, barriers=(), landmarks=())
NEAR = Place(lat_deg=-46.4, lon_deg=108.3, amsl_m=0.0)


def square(half_m: float, east_m: float = 0.0) -> Outline:
    corners = [(half_m, half_m), (half_m, -half_m), (-half_m, -half_m), (-half_m, half_m)]
    at = [offset(NEAR, east_m + east, north) for east, north in corners]
    return Outline(points=tuple((one.lat_deg, one.lon_deg) for one in at))


def line(kind: str, east_m: float) -> Landmark:
    ends = [offset(NEAR, east_m, north) for north in (-9000.0, 9000.0)]
    return Landmark(name=kind, kind=kind, points=tuple((p.lat_deg, p.lon_deg) for p in ends))


def test_where_nothing_is_known_the_spot_stays() -> None:
    found = launchable(SORTIE, None, NEAR, Needs())
    assert found is not None
    assert geodesic(NEAR, found).distance_m < 1.0


def test_off_a_lake_it_moves_to_its_shore_and_out_of_a_wide_one_not() -> None:
    lake = Barrier(name="Lake", kind="water", outline=square(700.0))
    found = launchable(replace(SORTIE, barriers=(lake,)), None, NEAR, Needs())
    assert found is not None
    # 700 m to the shore and 200 m from it: the next square of 400 m is the third
    assert geodesic(NEAR, found).distance_m == pytest.approx(1200.0, abs=2.0)
    wide = Barrier(name="Lake", kind="water", outline=square(2600.0))
    assert launchable(replace(SORTIE, barriers=(wide,)), None, NEAR, Needs()) is None


def test_beside_the_known_road_never_on_it_nor_far_off() -> None:
    sortie = replace(SORTIE, landmarks=(line("road", 1000.0),))
    found = launchable(sortie, None, NEAR, Needs(walk_m=500.0))
    assert found is not None
    assert geodesic(NEAR, found).distance_m == pytest.approx(800.0, abs=2.0)  # 200 m from the road
    far = replace(SORTIE, landmarks=(line("road", 4000.0),))
    assert launchable(far, None, NEAR, Needs(walk_m=500.0)) is None
    assert launchable(far, None, NEAR, Needs(walk_m=5000.0)) is not None
    wires = replace(SORTIE, landmarks=(line("wires", 0.0),))
    under = launchable(wires, None, NEAR, Needs())
    assert under is not None
    assert geodesic(NEAR, under).distance_m == pytest.approx(400.0, abs=2.0)


def test_steep_ground_and_the_sea_are_none() -> None:
    sea = flat(0.0)
    assert launchable(SORTIE, sea, NEAR, Needs()) is None
    level = flat(120.0)
    assert launchable(SORTIE, level, NEAR, Needs()) is not None
    made = world().terrain
    assert made is not None
    home = SORTIE.fields[0]
    ramp_m = np.cumsum(np.full_like(made.heights_amsl_m, 21.0), axis=0)  # over 185 m: 6.5 degrees
    cliff = replace(made, heights_amsl_m=ramp_m)
    there = Place(lat_deg=home.lat_deg, lon_deg=home.lon_deg, amsl_m=0.0)
    assert launchable(SORTIE, cliff, there, Needs()) is None
    assert AROUND_M == 2000.0
