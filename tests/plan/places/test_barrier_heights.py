"""Barrier heights: independent figures, a slow twin, flights flown from them, and plain cases."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from ambiance import Atmosphere
from numpy.typing import NDArray

from farglide.air.sounding import Sounding
from farglide.atlas.barriers import Barrier
from farglide.atlas.outline import Outline, contains
from farglide.chances.case import Case, median_place, with_plain
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.earth.geodesy import geodesic
from farglide.earth.state import Place, wrapped_lon_deg
from farglide.outlook.barriers import BarrierWay, Needed, Station
from farglide.outlook.outlook import Outlook
from farglide.plan.home.glides import fitted
from farglide.plan.places.barrier_heights import (
    _stretches_m,
    barrier_ways,
    needed_heights,
    reach_ratio,
)
from farglide.sim.core.release import field_offset
from farglide.sim.core.step import Offset, apart_m
from farglide.sim.core.tracks import Point, Trails
from farglide.sim.fly.glide import Way
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Sortie

from .conftest import place

HOME, TANSY, BRACKMOOR, CORRAND = range(4)
FAR_EDGE_KM, MIDWAY_KM = (28.0, -23.5), (24.1, -20.2)
FloatArray = NDArray[np.float64]


KNOTS = np.array(
    [
        (0, 330, 3), (1, 325, 5), (3, 318, 9), (5, 312, 14), (8, 306, 25), (10, 303, 36),
        (12, 305, 28), (15, 310, 11), (18, 318, 5), (21, 345, 3), (24, 100, 6), (27, 112, 9),
        (30, 118, 12), (34, 120, 14),
    ],
    dtype=np.float64,
)  # fmt: skip


def at_of(station: Station) -> Place:
    return Place(lat_deg=station.lat_deg, lon_deg=station.lon_deg, amsl_m=250.0)


@pytest.fixture(scope="module")
def ways(case: Case) -> dict[str, BarrierWay]:
    """Return the ways home from the release of the scenario, 76 minutes up, by their end."""
    found = barrier_ways(case, "the release", place(43.2, -36.6))
    return {way.ahead: way for way in found}


def test_the_ways_home_over_the_wood(ways: dict[str, BarrierWay], sortie: Sortie) -> None:
    assert set(ways) == {"Harrowend strip", "Tansy Lea"}
    wood = sortie.barriers[0].outline
    for way in ways.values():
        assert (way.barrier, way.kind) == ("Gollan Wood", "closed forest")
        assert way.start == "the release"
        assert way.behind == "Brackmoor"
        edge, midway, far = way.stations
        at = [np.array(one) for one in (midway.lat_deg, midway.lon_deg)]
        assert contains(wood, *at)
        assert edge.beyond_edge_m == 0.0
        assert far.beyond_edge_m == pytest.approx(2.0 * midway.beyond_edge_m, abs=1.0)
        needed = [one.ahead.amsl_m for one in way.stations]
        assert needed == sorted(needed, reverse=True)  # less is needed the nearer it comes
        back = [one.behind.amsl_m for one in way.stations if one.behind is not None]
        assert len(back) == 3
        assert back == sorted(back)
    home = ways["Harrowend strip"]
    # The edge of the scenario's own figures.
    assert geodesic(at_of(home.stations[0]), place(*FAR_EDGE_KM)).distance_m < 1500.0
    assert home.stations[0].ahead.error_free_amsl_m == pytest.approx(16_000.0, rel=0.03)


def test_the_time_to_decide_ends_where_the_field_behind_shuts(
    ways: dict[str, BarrierWay], ensemble: Ensemble, plain: Ensemble, sortie: Sortie
) -> None:
    """Begun higher, for home, Brackmoor stays open for longer than begun for Tansy Lea."""
    near, far = ways["Tansy Lea"], ways["Harrowend strip"]
    assert 60.0 < near.decision_s < far.decision_s < 3600.0
    alone = replace(sortie, fields=sortie.fields[:2])
    shorter = replace(
        ensemble,
        sortie=alone,
        goals=ensemble.goals._replace(**{k: v[:2] for k, v in ensemble.goals._asdict().items()}),
    )
    lone = replace(plain, sortie=alone, goals=shorter.goals)
    for way in barrier_ways(Case(drawn=shorter, plain=lone), "the release", place(43.2, -36.6)):
        assert way.behind == ""
        assert way.stations[0].behind is None
        assert math.isnan(way.decision_s)


def test_from_a_field_on_the_near_side(case: Case, sortie: Sortie) -> None:
    """From Brackmoor itself the nearest to turn back to is Brackmoor."""
    field = sortie.fields[BRACKMOOR]
    here = Place(lat_deg=field.lat_deg, lon_deg=field.lon_deg, amsl_m=0.0)
    found = barrier_ways(case, field.name, here)
    assert [way.ahead for way in found] == ["Harrowend strip", "Tansy Lea"]
    assert {way.behind for way in found} == {"Brackmoor"}
    for way in found:
        assert way.stations[0].beyond_edge_m == 0.0
        assert way.stations[2].beyond_edge_m > 5000.0


def test_from_inside_the_wood_the_edge_is_met_at_once(case: Case, ensemble: Ensemble) -> None:
    found = barrier_ways(case, "the burst", place(*MIDWAY_KM))
    assert {way.ahead for way in found} == {one.name for one in ensemble.sortie.fields}
    for way in found:
        assert way.behind == ""
        assert geodesic(at_of(way.stations[0]), place(*MIDWAY_KM)).distance_m < 1.0


def test_a_field_inside_a_barrier_is_not_beyond_it(case: Case, ensemble: Ensemble) -> None:
    box = Outline(points=((-46.62, 108.23), (-46.62, 108.26), (-46.59, 108.26), (-46.59, 108.23)))
    around = Barrier(name="Park", kind="town", outline=box)
    inside = replace(ensemble, sortie=replace(ensemble.sortie, barriers=(around,)))
    found = barrier_ways(replace(case, drawn=inside), "the release", place(43.2, -36.6))
    assert "Tansy Lea" not in {way.ahead for way in found}


def test_over_the_180th_meridian_heights_are_the_same(
    sortie: Sortie, demo_sounding: Sounding, plain: Ensemble
) -> None:
    """The demo moved east so that the wood lies across the meridian; without errors, all alike."""
    turn_deg = 71.7

    def moved(lon_deg: float) -> float:
        return wrapped_lon_deg(lon_deg + turn_deg)

    wood = sortie.barriers[0]
    points = tuple((lat_deg, moved(lon_deg)) for lat_deg, lon_deg in wood.outline.points)
    there = replace(
        sortie,
        launch=replace(sortie.launch, lon_deg=moved(sortie.launch.lon_deg)),
        fields=tuple(replace(one, lon_deg=moved(one.lon_deg)) for one in sortie.fields),
        barriers=(replace(wood, outline=Outline(points=points)),),
    )
    winds = replace(demo_sounding, lon_deg=moved(demo_sounding.lon_deg))
    ensemble = with_plain(drawn_ensemble(there, winds, Grain(n_draws=50))).plain
    here = place(43.2, -36.6)
    east = Place(lat_deg=here.lat_deg, lon_deg=moved(here.lon_deg), amsl_m=0.0)
    found = barrier_ways(Case(drawn=ensemble, plain=ensemble), "the release", east)
    wanted = barrier_ways(Case(drawn=plain, plain=plain), "the release", here)
    assert [way.ahead for way in found] == [way.ahead for way in wanted]
    for way, other in zip(found, wanted, strict=True):
        for one, two in zip(way.stations, other.stations, strict=True):
            assert one.ahead.amsl_m == pytest.approx(two.ahead.amsl_m, abs=25.0)
            assert one.beyond_edge_m == pytest.approx(two.beyond_edge_m, abs=1.0)


def test_nothing_is_asked_without_barriers(case: Case, ensemble: Ensemble) -> None:
    bare = replace(ensemble, sortie=replace(ensemble.sortie, barriers=()))
    assert barrier_ways(replace(case, drawn=bare), "the release", place(43.2, -36.6)) == ()


def test_the_wood_on_the_way_home_is_told_as_farglide_fields_tells_it(
    demo: Outlook, sortie: Sortie, demo_sounding: Sounding
) -> None:
    """From the same place and with the same draws; only the clock of the climb is coarser."""
    (way,) = demo.barriers
    assert demo.release is not None
    ensemble = drawn_ensemble(sortie, demo_sounding, Grain(n_draws=100))
    there = median_place(ensemble, demo.release.release_by_after_launch_s)
    (other,) = barrier_ways(with_plain(ensemble), "there", there, (0,))
    assert (way.barrier, way.ahead, way.behind) == (other.barrier, other.ahead, other.behind)
    for one, same in zip(way.stations, other.stations, strict=True):
        assert one.ahead.amsl_m == pytest.approx(same.ahead.amsl_m, abs=60.0)
        assert one.ahead.error_free_amsl_m == pytest.approx(same.ahead.error_free_amsl_m, abs=60.0)
    (strip,) = demo.side.barriers
    assert strip.commit_amsl_m == way.stations[0].ahead.amsl_m
    assert 20e3 < strip.to_along_m < strip.from_along_m < 45e3


@pytest.mark.parametrize(
    ("at_km", "field", "wanted_m"),
    [
        (FAR_EDGE_KM, TANSY, 4400.0),
        (FAR_EDGE_KM, HOME, 16_000.0),
        (MIDWAY_KM, TANSY, 2800.0),
        (MIDWAY_KM, BRACKMOOR, 1300.0),
    ],
)
def test_error_free_heights_meet_independent_figures(
    case: Case, at_km: tuple[float, float], field: int, wanted_m: float
) -> None:
    """Figures of a small independent program on a sphere: 2 % or 100 m, whichever is more."""
    found = needed_heights(case, place(*at_km))[field]
    assert found.error_free_amsl_m == pytest.approx(wanted_m, abs=max(100.0, 0.02 * wanted_m))
    assert found.amsl_m > found.error_free_amsl_m  # doubt costs height


def twin_margin_m(offset_m: tuple[float, float], arrival_m: float, from_m: float) -> float:
    """Return how far inside the reach from a height an offset lies: the sum of layers, written out.

    On the straight track there. Layers of 50 m, 300 speeds; the sink is less by what slowing down
    gives back.
    """
    heights = np.arange(arrival_m + 25.0, 24_000.0, 50.0)
    air = Atmosphere(heights)
    rho, ratio = air.density, np.sqrt(1.225 / air.density)
    slowing = np.gradient(ratio, heights)
    away_m = float(np.hypot(*offset_m))
    east, north = np.array(offset_m) / away_m
    eas = np.linspace(9.2, 32.0, 300)[:, None]
    total = 0.0
    u, v = (
        np.interp(heights, 1000.0 * KNOTS[:, 0], part)
        for part in (
            -KNOTS[:, 2] * np.sin(np.radians(KNOTS[:, 1])),
            -KNOTS[:, 2] * np.cos(np.radians(KNOTS[:, 1])),
        )
    )
    for k, height in enumerate(heights):
        tas = eas[:, 0] * ratio[k]
        tas = tas[tas <= 0.55 * air.speed_of_sound[k]]
        pressure = 0.5 * rho[k] * tas**2 * 0.15
        reynolds = rho[k] * tas * 0.17 / air.dynamic_viscosity[k]
        narrower = 6_371_009.0 / (6_371_009.0 + height)
        weight = 0.68 * 9.80665 * narrower**2
        lift = weight / pressure
        keep = (lift <= 0.8 * 0.85) & (lift >= 0.06)
        tas, pressure, lift, reynolds = tas[keep], pressure[keep], lift[keep], reynolds[keep]
        flat_drag = 0.034 * np.maximum(1.0, 2e5 / reynolds) ** 0.4
        slope = np.zeros_like(tas)
        for _ in range(20):  # the steeper, the less has to be lifted
            drag = flat_drag + (lift * np.cos(slope)) ** 2 / (np.pi * 5.2 * 0.78)
            slope = np.arcsin(np.minimum(drag / lift, 1.0))
        rise = tas / ratio[k] * slowing[k] * tas * 0.68 / weight
        sink = tas * np.sin(slope) / (1.0 + rise)
        wind, across = u[k] * east + v[k] * north, v[k] * east - u[k] * north
        ground = np.sqrt(np.maximum((tas * np.cos(slope)) ** 2 - across**2, 0.0)) + wind
        best = narrower * float((ground / sink).max())
        total += best * min(50.0, max(from_m - height + 25.0, 0.0))
    return total - away_m


@pytest.mark.parametrize("at_km", [FAR_EDGE_KM, MIDWAY_KM, (35.0, -30.0)])
@pytest.mark.parametrize("field", [HOME, TANSY, BRACKMOOR])
def test_error_free_heights_are_those_of_a_slow_twin(
    case: Case, plain: Ensemble, at_km: tuple[float, float], field: int
) -> None:
    """In metres of way, for in the jet a glider makes only 300 m of it in a kilometre of height."""
    here, goals = place(*at_km), plain.goals
    launch = plain.sortie.launch
    begin = Offset(
        float(np.radians(here.lat_deg - launch.lat_deg)),
        float(np.radians(here.lon_deg - launch.lon_deg)),
    )
    offset_m = apart_m(plain.air.scene.frame, begin, field_offset(goals, field))
    found_m = needed_heights(case, here)[field].error_free_amsl_m
    margin_m = twin_margin_m(offset_m, float(goals.arrival_amsl_m[field]), found_m)
    # Heights are asked every 25 m, which is up to 170 m of way above the jet.
    assert -100.0 < margin_m < 200.0


def test_a_glider_begun_at_the_height_arrives_and_a_lower_one_does_not(
    case: Case, plain: Ensemble
) -> None:
    """Fly both, layer by layer, straight to the field."""
    here, goals = place(*FAR_EDGE_KM), plain.goals
    needed_m = needed_heights(case, here)[TANSY].error_free_amsl_m
    begin = Offset(float(np.radians(here.lat_deg + 46.5)), float(np.radians(here.lon_deg - 108.0)))
    goal = field_offset(goals, TANSY)
    arrival_m = float(goals.arrival_amsl_m[TANSY])
    missed = []
    for height_m in (needed_m, needed_m - 1000.0):
        flown = fitted(plain, Way(*goal, 0.0), Point(0.0, height_m, *begin), arrival_m)
        end = Offset(float(flown.north_rad[-1]), float(flown.east_rad[-1]))
        missed.append(float(np.hypot(*apart_m(plain.air.scene.frame, end, goal))))
    assert missed[0] < 300.0
    assert missed[1] > 1000.0


def test_the_odds_at_the_height_are_those_wanted_and_below_it_less(
    case: Case, ensemble: Ensemble
) -> None:
    here = place(*FAR_EDGE_KM)
    needed_m = needed_heights(case, here)[TANSY].amsl_m
    north, east = np.radians(here.lat_deg + 46.5), np.radians(here.lon_deg - 108.0)
    heights = np.array([needed_m - 50.0, needed_m])
    share = reach_ratio(ensemble, Trails(heights, np.full(2, north), np.full(2, east)))[:, TANSY]
    assert share[0] < 0.9 <= share[1]


def test_a_field_never_open_has_no_height(case: Case) -> None:
    found = needed_heights(case, place(900.0, 0.0))[HOME]
    assert math.isnan(found.amsl_m)
    assert math.isnan(found.error_free_amsl_m)
    assert found.open_amsl_m == found.shut_amsl_m == ()


def test_a_jet_faster_than_the_glider_shuts_a_field_in_between(
    sortie: Sortie, demo_sounding: Sounding
) -> None:
    """At 14 m/s EAS, 24 at 10 km, the jet of 36 m/s carries it off: open below and far above."""
    slow = replace(sortie, glider=replace(sortie.glider, top_eas_mps=14.0))
    ensemble = drawn_ensemble(slow, demo_sounding, Grain(n_draws=50))
    found = needed_heights(with_plain(ensemble), place(20.0, -13.0))[TANSY]
    assert len(found.open_amsl_m) == 2
    (low_m, shut_m), (again_m, top_m) = found.open_amsl_m
    assert found.shut_amsl_m == ((shut_m, again_m),)
    assert low_m == found.amsl_m < 1500.0
    assert 4000.0 < shut_m < 12_000.0 < again_m < 25_000.0
    assert math.isinf(top_m)


@pytest.mark.parametrize(
    ("is_open", "wanted"),
    [
        ("0000", ()),
        ("1111", ((0.0, math.inf),)),
        ("0110", ((100.0, 300.0),)),
        ("1001", ((0.0, 100.0), (300.0, math.inf))),
        ("1011", ((0.0, math.inf),)),  # a gap of 100 m is left out
    ],
)
def test_stretches_of_height(is_open: str, wanted: tuple[tuple[float, float], ...]) -> None:
    heights = 100.0 * np.arange(4.0)
    needed = Needed(
        open_amsl_m=_stretches_m(heights, np.array([one == "1" for one in is_open])),
        error_free_amsl_m=math.nan,
    )
    assert needed.open_amsl_m == wanted
    shut = [b[0] - a[1] for a, b in pairwise(wanted)]
    assert [high - low for low, high in needed.shut_amsl_m if high < math.inf] == shut
