"""Barrier heights: independent figures, a slow twin, flights flown from them, and plain cases."""

import math
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from farglide.air.column import Sounding
from farglide.atlas.barriers import Barrier
from farglide.atlas.outline import Outline, contains
from farglide.chances.case import Case, median_place, with_plain
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.earth.geodesy import geodesic
from farglide.earth.state import Place, wrapped_lon_deg
from farglide.outlook.barriers import BarrierWay, Station
from farglide.outlook.outlook import Outlook
from farglide.plan.places.barrier_heights import barrier_ways
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Sortie

from .conftest import place

HOME, TANSY, BRACKMOOR, CORRAND = range(4)
FAR_EDGE_KM, MIDWAY_KM = (28.0, -23.5), (24.1, -20.2)
FloatArray = NDArray[np.float64]


def at_of(station: Station) -> Place:
    return Place(lat_deg=station.lat_deg, lon_deg=station.lon_deg, amsl_m=250.0)


@pytest.fixture(scope="module")
def ways(case: Case) -> dict[str, BarrierWay]:
    """Return the ways home from the release of the scenario, 76 minutes up, by their end."""
    found = barrier_ways(case, ("the release", place(43.2, -36.6)))
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
    for way in barrier_ways(Case(drawn=shorter, plain=lone), ("the release", place(43.2, -36.6))):
        assert way.behind == ""
        assert way.stations[0].behind is None
        assert math.isnan(way.decision_s)


def test_from_a_field_on_the_near_side(case: Case, sortie: Sortie) -> None:
    """From Brackmoor itself the nearest to turn back to is Brackmoor."""
    field = sortie.fields[BRACKMOOR]
    here = Place(lat_deg=field.lat_deg, lon_deg=field.lon_deg, amsl_m=0.0)
    found = barrier_ways(case, (field.name, here))
    assert [way.ahead for way in found] == ["Harrowend strip", "Tansy Lea"]
    assert {way.behind for way in found} == {"Brackmoor"}
    for way in found:
        assert way.stations[0].beyond_edge_m == 0.0
        assert way.stations[2].beyond_edge_m > 5000.0


def test_from_inside_the_wood_the_edge_is_met_at_once(case: Case, ensemble: Ensemble) -> None:
    found = barrier_ways(case, ("the burst", place(*MIDWAY_KM)))
    assert {way.ahead for way in found} == {one.name for one in ensemble.sortie.fields}
    for way in found:
        assert way.behind == ""
        assert geodesic(at_of(way.stations[0]), place(*MIDWAY_KM)).distance_m < 1.0


def test_a_field_inside_a_barrier_is_not_beyond_it(case: Case, ensemble: Ensemble) -> None:
    box = Outline(points=((-46.62, 108.23), (-46.62, 108.26), (-46.59, 108.26), (-46.59, 108.23)))
    around = Barrier(name="Park", kind="town", outline=box)
    inside = replace(ensemble, sortie=replace(ensemble.sortie, barriers=(around,)))
    found = barrier_ways(replace(case, drawn=inside), ("the release", place(43.2, -36.6)))
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
    ensemble = with_plain(drawn_ensemble(there, demo_sounding, Grain(n_draws=50))).plain
    here = place(43.2, -36.6)
    east = Place(lat_deg=here.lat_deg, lon_deg=moved(here.lon_deg), amsl_m=0.0)
    found = barrier_ways(Case(drawn=ensemble, plain=ensemble), ("the release", east))
    wanted = barrier_ways(Case(drawn=plain, plain=plain), ("the release", here))
    assert [way.ahead for way in found] == [way.ahead for way in wanted]
    for way, other in zip(found, wanted, strict=True):
        for one, two in zip(way.stations, other.stations, strict=True):
            assert one.ahead.amsl_m == pytest.approx(two.ahead.amsl_m, abs=25.0)
            assert one.beyond_edge_m == pytest.approx(two.beyond_edge_m, abs=1.0)


def test_nothing_is_asked_without_barriers(case: Case, ensemble: Ensemble) -> None:
    bare = replace(ensemble, sortie=replace(ensemble.sortie, barriers=()))
    assert barrier_ways(replace(case, drawn=bare), ("the release", place(43.2, -36.6))) == ()


def test_the_wood_on_the_way_home_is_told_as_farglide_fields_tells_it(
    demo: Outlook, sortie: Sortie, demo_sounding: Sounding
) -> None:
    """From the same place and with the same draws; only the clock of the climb is coarser."""
    (way,) = demo.barriers
    assert demo.release is not None
    ensemble = drawn_ensemble(sortie, demo_sounding, Grain(n_draws=100))
    start = ("there", median_place(ensemble, demo.release.release_by_after_launch_s))
    (other,) = barrier_ways(with_plain(ensemble), start, (0,))
    assert (way.barrier, way.ahead, way.behind) == (other.barrier, other.ahead, other.behind)
    for one, same in zip(way.stations, other.stations, strict=True):
        assert one.ahead.amsl_m == pytest.approx(same.ahead.amsl_m, abs=60.0)
        assert one.ahead.error_free_amsl_m == pytest.approx(same.ahead.error_free_amsl_m, abs=60.0)
    (strip,) = demo.side.barriers
    assert strip.commit_amsl_m == way.stations[0].ahead.amsl_m
    assert 20e3 < strip.to_along_m < strip.from_along_m < 45e3
