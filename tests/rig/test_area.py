"""Areas: what they hold, and ground taken as far out as the files go."""

from dataclasses import replace

import pytest

from farglide.atlas.barriers import Barrier, Landmark
from farglide.atlas.outline import Outline
from farglide.flightfile.flightfile import FlightFile
from farglide.gather.gather import gather_terrain
from farglide.rig.area import needed_area, part_way, wide_area
from farglide.sortie.spec import Sortie


def with_far_road(sortie: Sortie, lat_deg: float, lon_deg: float) -> Sortie:
    road = Landmark(name="far", kind="road", points=((-46.6, 108.2), (lat_deg, lon_deg)))
    return replace(sortie, landmarks=(road,))


def test_the_wide_area_holds_barriers_and_roads_near_by(demo_flight: FlightFile) -> None:
    sortie = demo_flight.sortie
    needed = needed_area(sortie)
    assert needed.south_deg == pytest.approx(-46.7997 - 0.1079, abs=1e-3)
    assert wide_area(replace(sortie, barriers=())) == needed
    wide = wide_area(with_far_road(sortie, -47.2, 108.2))
    assert wide.south_deg == pytest.approx(-47.2 - 0.1079, abs=1e-3)
    assert wide.north_deg == needed.north_deg
    assert wide_area(with_far_road(sortie, -48.0, 108.2)) == wide_area(sortie)  # 160 km off
    east = Outline(points=((-46.5, 109.2), (-46.5, 109.3), (-46.4, 109.3)))
    barrier = Barrier(name="Mere", kind="water", outline=east)
    assert wide_area(replace(sortie, barriers=(barrier,))).east_deg > 109.4


def test_part_way_lies_between(demo_flight: FlightFile) -> None:
    needed = needed_area(demo_flight.sortie)
    wide = wide_area(with_far_road(demo_flight.sortie, -47.2, 107.0))
    for share, box in ((0.0, needed), (1.0, wide)):
        found = part_way(needed, wide, share)
        for name in ("south_deg", "west_deg", "north_deg", "east_deg"):
            assert getattr(found, name) == pytest.approx(getattr(box, name), abs=1e-9)
    half = part_way(needed, wide, 0.5)
    assert half.west_deg == pytest.approx(0.5 * (needed.west_deg + wide.west_deg))


def test_ground_is_taken_as_far_out_as_the_files_go(demo_flight: FlightFile) -> None:
    """The demo's file ends at 46.95 S; a road to 46.95 S is read a part of the way."""
    sortie = demo_flight.sortie
    near, far = gather_terrain(sortie), gather_terrain(with_far_road(sortie, -46.95, 108.2))
    assert near is not None
    assert far is not None
    south_deg = [
        one.north_deg - (one.heights_amsl_m.shape[0] - 1) * one.step_lat_deg for one in (near, far)
    ]
    # 12 km beyond the wood's corner; beyond the last field, and a quarter of the way to 46.95.
    assert south_deg[0] == pytest.approx(-46.8318 - 0.1079, abs=0.004)
    assert south_deg[1] == pytest.approx(-46.7997 - 0.1079 - 0.25 * 0.1503, abs=0.004)
    assert south_deg[1] > -46.95
