"""Lost heights: below which height over a field a stand loses a link."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.atlas.terrain import flat
from farglide.earth.state import Place
from farglide.errors import InputError
from farglide.flightfile.flightfile import FlightFile
from farglide.gather.gather import gather_terrain
from farglide.plan.links.lostheights import lost_agl_m, walked
from farglide.rig.links import gear_of

HOME, KNAP, GAP = range(3)


@pytest.mark.parametrize(
    ("stand", "field", "expected_m", "within_m"),
    [
        # computed once by an independent script on the formula of the ground: 391 m and 6 m; the
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
