"""Way ahead: fields, barriers, links and the landing on the way that is advised."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.chances.case import Case, case_of
from farglide.chances.chances import chances_in, states_of_climb
from farglide.earth.state import Place
from farglide.flightfile.flightfile import FlightFile
from farglide.gather.gather import gather_terrain
from farglide.live.after.wayahead import landing_at, shut_by, stand_of, way_ahead
from farglide.sim.core.states import states_at
from farglide.sim.core.tracks import Point
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack

T_S = 74.0 * 60.0


@pytest.fixture(scope="module")
def case(demo_flight: FlightFile, demo_sounding: Sounding) -> Case:
    sortie = demo_flight.sortie
    pack = Pack(flight_text="", sounding=demo_sounding, terrain=gather_terrain(sortie))
    return case_of(sortie, pack, Grain(n_draws=50, clock_s=60.0, prices_mps=(8.0,), slab=5))


@pytest.fixture(scope="module")
def at(case: Case) -> Point:
    """Return a glider level where the balloon of the demo is at T+74, 1.2 km lower."""
    tracks = case.plain.climbs.tracks
    clock = tracks.step_s * np.arange(tracks.amsl_m.shape[1])
    z, north, east = (float(np.interp(T_S, clock, one[0])) for one in tracks.places)
    return Point(T_S + 30.0, z - 1200.0, north, east)


def place_of_stand(case: Case, name: str) -> Place:
    stand = next(one for one in case.sortie.stands if one.name == name)
    return Place(lat_deg=stand.lat_deg, lon_deg=stand.lon_deg, amsl_m=0.0)


def test_the_way_home_passes_the_wood_high_enough(case: Case, at: Point) -> None:
    found = way_ahead(case, at, 0, None)
    assert found is not None
    assert found.along.t_s[0] == at.t_s
    assert found.along.open_ratio.shape == (len(found.along.t_s), 4)
    wood = found.barrier
    assert wood is not None
    assert (wood.barrier, wood.ahead, wood.behind) == (
        "Gollan Wood", "Harrowend strip", "Brackmoor"
    )  # fmt: skip
    assert wood.commit_amsl_m is not None
    assert at.amsl_m > wood.edge_amsl_m > wood.commit_amsl_m
    assert wood.edge_after_launch_s > at.t_s
    # from home nobody turns back to Brackmoor: it shuts on the way, at the latest at its end
    assert wood.turn_back_until_after_launch_s is not None
    assert at.t_s < wood.turn_back_until_after_launch_s <= found.along.t_s[-1]


def test_the_last_moment_to_turn_back_is_one_at_which_it_helps(case: Case, at: Point) -> None:
    found = way_ahead(case, at, 0, None)
    assert found is not None
    assert found.barrier is not None
    back_s, (t_s, ratio) = found.barrier.turn_back_until_after_launch_s, found.along
    assert back_s is not None
    k = int(np.searchsorted(t_s, back_s))
    assert t_s[k] == back_s
    assert ratio[k, 2] >= 0.9  # Brackmoor, behind the wood
    if k + 1 < len(t_s):
        assert ratio[k + 1, 2] < 0.9
        assert t_s[k + 1] - back_s < 40.0


@pytest.mark.parametrize(
    ("ratios", "by"),
    [
        ((0.4, 0.4, 0.4), "height"),
        ((0.9, 0.4, 0.4), "packs"),
        ((0.9, 0.9, 0.4), "links"),
        ((0.9, 0.9, 0.5), None),
    ],
)
def test_what_makes_a_chance_too_low_is_told_in_the_order_of_its_steps(
    case: Case, ratios: tuple[float, float, float], by: str | None
) -> None:
    states = states_at(states_of_climb(case.drawn, np.array([1])), np.array([0]))
    some = chances_in(case.drawn, states, case.drawn.goals)
    reach, timely, held = (np.full((1, 4), one) for one in ratios)
    some = replace(some, reach_ratio=reach, timely_ratio=timely, open_ratio=held)
    assert shut_by(case, some, 0) == by


def test_a_way_on_this_side_meets_no_barrier(case: Case, at: Point) -> None:
    found = way_ahead(case, at, 2, None)
    assert found is not None
    assert found.barrier is None


def test_links_are_those_from_where_the_car_is(case: Case, at: Point) -> None:
    car = place_of_stand(case, "Stile Gap")
    found = way_ahead(case, at, 0, car)
    assert found is not None
    assert [one.purpose for one in found.links] == ["command", "picture"]
    assert {one.stand for one in found.links} == {"Stile Gap"}


def test_lost_picture_heights_are_the_independent_ones(case: Case) -> None:
    # Independent: over home 391 m from Wether Knap, 6 m from the ridge of Stile Gap.
    found = landing_at(case, 0)
    lost = dict(found.lost_picture)
    assert lost["Wether Knap"] == pytest.approx(391.0, abs=15.0)
    assert lost["Stile Gap"] == pytest.approx(6.0, abs=5.0)
    assert found.ground_amsl_m == 240.0
    assert 0.0 <= found.wind_from_deg < 360.0
    assert found.wind_mps < 15.0


def test_a_car_on_the_road_is_at_no_stand(case: Case) -> None:
    sortie = case.sortie
    assert stand_of(sortie, None) is None
    stand = place_of_stand(case, "Wether Knap")
    k = stand_of(sortie, stand)
    assert k is not None
    assert sortie.stands[k].name == "Wether Knap"
    road = Place(lat_deg=stand.lat_deg + 0.1, lon_deg=stand.lon_deg, amsl_m=0.0)
    assert stand_of(sortie, road) is None


def test_below_the_field_there_is_no_way(case: Case, at: Point) -> None:
    assert way_ahead(case, at._replace(amsl_m=100.0), 0, None) is None
