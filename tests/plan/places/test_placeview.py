"""Place view: all that is known of the places of a flight."""

import math
from dataclasses import replace

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.atlas.barriers import Landmark
from farglide.atlas.cells import BESIDE_ROAD_M, CLEAR_OF_BARRIER_M, STEEPEST_DEG
from farglide.atlas.fields import Field
from farglide.atlas.outline import contains, edge_distance_m, line_distance_m
from farglide.atlas.terrain import Terrain
from farglide.chances.case import with_plain
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.chances.heights import chances_by, chances_of_heights, rules_like
from farglide.earth.geodesy import geodesic
from farglide.earth.state import Place
from farglide.errors import InputError
from farglide.flightfile.flightfile import FlightFile
from farglide.gather.gather import gather_terrain
from farglide.outlook.places import Outlandings
from farglide.plan.places.placeview import outlandings, see_places
from farglide.rig.gear import goals_of
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie

ROAD = Landmark(
    name="Moor road",
    kind="road",
    points=((-46.66, 108.47), (-46.70, 108.47), (-46.76, 108.45), (-46.80, 108.40)),
)


def test_no_field_is_refused(demo_flight: FlightFile, demo_sounding: Sounding) -> None:
    bare = replace(demo_flight, sortie=replace(demo_flight.sortie, fields=()))
    with pytest.raises(InputError, match="one or more, home first"):
        see_places(bare, Pack(sounding=demo_sounding))


@pytest.mark.slow
def test_the_places_of_the_demo_over_unknown_ground(
    demo_flight: FlightFile, demo_sounding: Sounding
) -> None:
    sortie = replace(demo_flight.sortie, links=())
    view = see_places(replace(demo_flight, sortie=sortie), Pack(sounding=demo_sounding))
    assert view.release_planned
    assert view.drift[0] == pytest.approx((-46.5, 108.0))
    assert view.drift[-1] == pytest.approx((view.release.lat_deg, view.release.lon_deg), abs=0.01)
    assert [one.field for one in view.fields] == list(sortie.fields)
    assert all(math.isnan(one.slope_deg) and math.isnan(one.ground_amsl_m) for one in view.fields)
    assert {one.inside for one in view.fields} == {""}
    assert view.ground == ""
    assert view.places.barriers == sortie.barriers
    assert {way.barrier for way in view.ways} == {"Gollan Wood"}


@pytest.fixture(scope="module")
def two_fields(demo_flight: FlightFile) -> Sortie:
    sortie = demo_flight.sortie
    return replace(sortie, fields=sortie.fields[:2], landmarks=(ROAD,))


@pytest.fixture(scope="module")
def ensemble(two_fields: Sortie, demo_sounding: Sounding) -> Ensemble:
    return drawn_ensemble(two_fields, demo_sounding, Grain(n_draws=200))


@pytest.fixture(scope="module")
def terrain(demo_flight: FlightFile) -> Terrain:
    found = gather_terrain(demo_flight.sortie)
    assert found is not None
    return found


@pytest.fixture(scope="module")
def found(ensemble: Ensemble, terrain: Terrain, demo_sounding: Sounding) -> Outlandings:
    case = with_plain(ensemble, terrain)
    return outlandings(case, chances_of_heights(ensemble))


def test_the_minute_is_the_worst_of_the_gap(found: Outlandings) -> None:
    """Independent figures: with these two, no field is open from T+43 to T+49."""
    assert 42.0 < found.after_launch_s / 60.0 < 50.0
    assert found.any_open_ratio < 0.5


def test_two_places_that_can_be_reached(found: Outlandings, ensemble: Ensemble) -> None:
    assert len(found.places) == 2
    chances = chances_of_heights(ensemble)
    rules = rules_like(chances, np.flatnonzero(chances.amsl_m == found.amsl_m))
    for one in found.places:
        assert one.open_ratio >= ensemble.sortie.wish.open_ratio
        field = Field(name="there", lat_deg=one.lat_deg, lon_deg=one.lon_deg, amsl_m=one.amsl_m)
        chance = chances_by(ensemble, rules, goals_of(ensemble.sortie, (field,))).open_ratio[0, 0]
        assert chance == pytest.approx(one.open_ratio, abs=1e-9)
    a, b = (Place(lat_deg=p.lat_deg, lon_deg=p.lon_deg, amsl_m=0.0) for p in found.places)
    assert geodesic(a, b).distance_m > 1980.0


def test_they_lie_beside_the_road_on_open_flat_ground(
    found: Outlandings, ensemble: Ensemble
) -> None:
    wood = ensemble.sortie.barriers[0].outline
    best = found.places[0]
    assert BESIDE_ROAD_M[0] <= best.road_m < 500.0
    for one in found.places:
        at = np.array([one.lat_deg]), np.array([one.lon_deg])
        assert one.road_m == pytest.approx(line_distance_m(ROAD.points, *at)[0])
        assert not contains(wood, *at)[0]
        assert edge_distance_m(wood, *at)[0] > CLEAR_OF_BARRIER_M
        assert 0.0 <= one.slope_deg < STEEPEST_DEG
        assert 0.0 < one.score_ratio <= 1.0
    assert best.score_ratio >= found.places[1].score_ratio * found.places[1].open_ratio


def test_what_is_not_known_is_told(
    ensemble: Ensemble, demo_sounding: Sounding, found: Outlandings
) -> None:
    assert (found.knows_ground, found.knows_roads, found.n_stands) == (True, True, 3)
    flat = outlandings(with_plain(ensemble), chances_of_heights(ensemble))
    assert (flat.knows_ground, flat.places, flat.n_stands) == (False, (), 0)


def test_slope_alone_without_roads_and_stands(
    two_fields: Sortie, demo_sounding: Sounding, terrain: Terrain
) -> None:
    bare = replace(two_fields, landmarks=(), stands=())
    ensemble = drawn_ensemble(bare, demo_sounding, Grain(n_draws=50))
    # Over a coarser step of height: only the worst one has to be among them.
    coarse = chances_of_heights(ensemble, 2500.0)
    found = outlandings(with_plain(ensemble, terrain), coarse)
    assert (found.knows_roads, found.n_stands) == (False, 0)
    for one in found.places:
        assert one.road_m == np.inf
        assert one.score_ratio == pytest.approx(1.0 - one.slope_deg / STEEPEST_DEG)
