"""Lost heights: below which height over a field a stand loses a link."""

import math
from dataclasses import replace

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.atlas.terrain import flat
from farglide.chances.case import with_plain
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.earth.geodesy import destination, geodesic
from farglide.earth.state import Place
from farglide.errors import InputError
from farglide.flightfile.flightfile import FlightFile
from farglide.gather.gather import gather_terrain
from farglide.plan.links.overland import _towards_db, lost_agl_m, road_points, walked
from farglide.rig.links import gear_of
from farglide.sortie.grain import Grain

HOME, KNAP, GAP = range(3)
KNAP = 1


@pytest.mark.parametrize(
    ("stand", "field", "expected_m", "within_m"),
    [
        # computed by tests/by_hand on the formula of the ground: 391 m and 6 m; the
        # posts of 185 m cut the ridge a little
        (KNAP, 0, 391.0, 8.0),
        (GAP, 0, 6.0, 3.0),
        (KNAP, 1, 0.0, 3.0),
        (KNAP, 2, 0.0, 3.0),
    ],
)
def test_over_the_demo_s_ground_the_picture_is_lost_where_it_should(
    demo_flight: FlightFile, stand: int, field: int, expected_m: float, within_m: float
) -> None:
    sortie = demo_flight.sortie
    place = sortie.fields[field]
    over = Place(lat_deg=place.lat_deg, lon_deg=place.lon_deg, amsl_m=place.amsl_m)
    found = lost_agl_m(gear_of(sortie.links[0]), sortie.stands[stand], over, gather_terrain(sortie))
    assert found == pytest.approx(expected_m, abs=within_m)


def test_a_stand_stated_below_the_ground_is_lifted_out_of_it(demo_flight: FlightFile) -> None:
    """As for the margins: on a hill, maps and posts easily differ by 20 m."""
    sortie, terrain = demo_flight.sortie, gather_terrain(demo_flight.sortie)
    gap, far = sortie.stands[2], sortie.fields[3]
    over = Place(lat_deg=far.lat_deg, lon_deg=far.lon_deg, amsl_m=far.amsl_m)
    stated = lost_agl_m(gear_of(sortie.links[0]), gap, over, terrain)
    low = lost_agl_m(gear_of(sortie.links[0]), replace(gap, amsl_m=480.0), over, terrain)
    assert stated == low
    assert low == pytest.approx(3.0, abs=2.0)


def test_a_link_too_weak_is_lost_everywhere(demo_flight: FlightFile) -> None:
    spec = demo_flight.sortie.links[0]
    weak = gear_of(replace(spec, power_w=1e-4))
    field, stand = demo_flight.sortie.fields[3], demo_flight.sortie.stands[0]
    place = Place(lat_deg=field.lat_deg, lon_deg=field.lon_deg, amsl_m=field.amsl_m)
    assert lost_agl_m(weak, stand, place) is None


def test_a_way_over_unknown_ground_is_refused(demo_flight: FlightFile) -> None:
    near = flat(240.0)
    bare = replace(near, heights_amsl_m=np.full_like(near.heights_amsl_m, np.nan))
    start, end = (
        Place(lat_deg=one.lat_deg, lon_deg=one.lon_deg, amsl_m=one.amsl_m)
        for one in demo_flight.sortie.stands[:2]
    )
    with pytest.raises(InputError, match="files cover the fields and stands") as caught:
        walked(bare, start, end)
    assert caught.value.name == "terrain"
    found = walked(near, start, end)
    assert set(found.ground_amsl_m) == {240.0}
    # 18.0 km east and 15.1 km south, as the scenario has it
    assert float(found.distance_m[-1]) == pytest.approx(23.5e3, abs=100.0)


@pytest.fixture(scope="module")
def plain(demo_flight: FlightFile, demo_sounding: Sounding) -> Ensemble:
    asked = Grain(n_draws=50, prices_mps=(8.0,), slab=5)
    return with_plain(drawn_ensemble(demo_flight.sortie, demo_sounding, asked)).plain


def test_the_car_goes_evenly_from_the_launch_to_the_stand(plain: Ensemble) -> None:
    stand, launch = plain.sortie.stands[KNAP], plain.sortie.launch
    points = road_points(plain, stand, 1200.0, 2280.0, None)
    assert [p.after_launch_s for p in points[:3]] == [1200.0, 1320.0, 1440.0]
    assert points[-1].after_launch_s < 1200.0 + 2280.0
    start = Place(lat_deg=launch.lat_deg, lon_deg=launch.lon_deg, amsl_m=0.0)
    ways = [
        geodesic(start, Place(lat_deg=p.lat_deg, lon_deg=p.lon_deg, amsl_m=0.0)).distance_m
        for p in points
    ]
    assert ways[0] < 1.0
    whole = geodesic(start, Place(lat_deg=stand.lat_deg, lon_deg=stand.lon_deg, amsl_m=0.0))
    for way, point in zip(ways, points, strict=True):
        share = (point.after_launch_s - 1200.0) / 2280.0
        assert way == pytest.approx(share * whole.distance_m, abs=1.0)


def test_without_an_aim_sixteen_decibels_of_the_picture_are_missing(plain: Ensemble) -> None:
    stand = plain.sortie.stands[KNAP]
    (found, *_) = road_points(plain, stand, 1800.0, 2280.0, None)
    weak = replace(plain.sortie.links[0], receiver_gain_dbi=2.0)
    same = replace(plain, sortie=replace(plain.sortie, links=(weak, *plain.sortie.links[1:])))
    (bare, *_) = road_points(same, stand, 1800.0, 2280.0, None)
    assert dict(found.margin_db) == dict(bare.margin_db)
    # 18 dBi on the stand, 2 on the roof; the command has 9 and 2
    beam = replace(plain.sortie.links[0], purpose="command", sender_gain_dbi=2.0)
    both = replace(plain, sortie=replace(plain.sortie, links=(beam,)))
    (aimed, *_) = road_points(both, stand, 1800.0, 2280.0, None)
    assert dict(aimed.margin_db)["picture"] == pytest.approx(
        dict(found.margin_db)["picture"] + 16.0, abs=1e-9
    )


def test_ground_in_the_way_takes_from_it(plain: Ensemble, demo_flight: FlightFile) -> None:
    """A low balloon behind the ridge, seen from the far side of it."""
    stand, ground = plain.sortie.stands[KNAP], gather_terrain(demo_flight.sortie)
    # a car that is past the ridge while the balloon is 1 km high
    over, flat = (road_points(plain, stand, 0.0, 300.0, where)[-1] for where in (ground, None))
    assert dict(over.margin_db)["picture"] < dict(flat.margin_db)["picture"] - 3.0


def test_without_a_drive_or_after_the_burst_there_is_nothing_to_tell(plain: Ensemble) -> None:
    stand = plain.sortie.stands[0]
    assert road_points(plain, stand, 0.0, 0.0, None) == ()
    assert road_points(plain, stand, 30_000.0, 600.0, None) == ()


@pytest.mark.parametrize("elevation_deg", [5.0, 30.0, 60.0, 75.0])
def test_under_the_balloon_the_roof_hears_little(elevation_deg: float, plain: Ensemble) -> None:
    """A half-wave dipole: cos(pi/2 cos a) / sin a at an angle a from its wire (Balanis 4.6)."""
    car = Place(lat_deg=-46.5, lon_deg=108.0, amsl_m=0.0)
    away_m = 10e3 / math.tan(math.radians(elevation_deg))
    there = destination(car, 90.0, away_m)
    angle = math.radians(90.0 - elevation_deg)
    field = math.cos(0.5 * math.pi * math.cos(angle)) / math.sin(angle)
    for spec in plain.sortie.links:  # of the demo, the same in every direction aboard
        found = _towards_db(spec, car, replace(there, amsl_m=10e3))
        assert found == pytest.approx(20.0 * math.log10(field), abs=0.3)
