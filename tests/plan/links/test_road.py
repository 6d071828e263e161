"""The moving car: what it hears on its way, and that hills and a missing aim count."""

import math
from dataclasses import replace

import pytest

from farglide.air.column import Sounding
from farglide.chances.case import with_plain
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.earth.geodesy import destination, geodesic
from farglide.earth.state import Place
from farglide.flightfile.flightfile import FlightFile
from farglide.gather.gather import gather_terrain
from farglide.plan.links.road import _towards_db, road_points
from farglide.sortie.grain import Grain

KNAP = 1


@pytest.fixture(scope="module")
def plain(demo_flight: FlightFile, demo_sounding: Sounding) -> Ensemble:
    asked = Grain(n_draws=50, prices_mps=(8.0,), slab=5)
    return with_plain(drawn_ensemble(demo_flight.sortie, demo_sounding, asked)).plain


def test_the_car_goes_evenly_from_the_launch_to_the_stand(plain: Ensemble) -> None:
    stand, launch = plain.sortie.stands[KNAP], plain.sortie.launch
    points = road_points(plain, stand, (1200.0, 2280.0), None)
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
    (found, *_) = road_points(plain, stand, (1800.0, 2280.0), None)
    weak = replace(plain.sortie.links[0], receiver_gain_dbi=2.0)
    same = replace(plain, sortie=replace(plain.sortie, links=(weak, *plain.sortie.links[1:])))
    (bare, *_) = road_points(same, stand, (1800.0, 2280.0), None)
    assert dict(found.margin_db) == dict(bare.margin_db)
    # 18 dBi on the stand, 2 on the roof; the command has 9 and 2
    beam = replace(plain.sortie.links[0], purpose="command", sender_gain_dbi=2.0)
    both = replace(plain, sortie=replace(plain.sortie, links=(beam,)))
    (aimed, *_) = road_points(both, stand, (1800.0, 2280.0), None)
    assert dict(aimed.margin_db)["picture"] == pytest.approx(
        dict(found.margin_db)["picture"] + 16.0, abs=1e-9
    )


def test_ground_in_the_way_takes_from_it(plain: Ensemble, demo_flight: FlightFile) -> None:
    """A low balloon behind the ridge, seen from the far side of it."""
    stand, ground = plain.sortie.stands[KNAP], gather_terrain(demo_flight.sortie)
    early = (0.0, 300.0)  # a car that is past the ridge while the balloon is 1 km high
    over, flat = (road_points(plain, stand, early, where)[-1] for where in (ground, None))
    assert dict(over.margin_db)["picture"] < dict(flat.margin_db)["picture"] - 3.0


def test_without_a_drive_or_after_the_burst_there_is_nothing_to_tell(plain: Ensemble) -> None:
    stand = plain.sortie.stands[0]
    assert road_points(plain, stand, (0.0, 0.0), None) == ()
    assert road_points(plain, stand, (30_000.0, 600.0), None) == ()


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
