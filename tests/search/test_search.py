"""A search as a whole: the demo's glider, what was looked at, bearings in turn, water, lateness."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.atlas.barriers import Barrier, Landmark
from farglide.atlas.outline import Outline, area_m2
from farglide.atlas.terrain import Terrain
from farglide.chances.ensemble import Ensemble
from farglide.chances.falls import HANDS_OFF
from farglide.earth.geodesy import geodesic, offset
from farglide.earth.state import Place
from farglide.errors import InputError
from farglide.outlook.search import SearchOutlook
from farglide.search.asked import Asked, Looked
from farglide.search.bearings import Bearing
from farglide.search.cover import cover_named
from farglide.search.datum import LastSeen
from farglide.search.detection import best_effort_s
from farglide.search.heard import LastHeard
from farglide.search.order import Party
from farglide.search.search import search
from farglide.search.stories import USUAL

from .conftest import at_height


@pytest.fixture
def asked(last: LastSeen) -> Asked:
    """Return a party a kilometre off that sets out at once."""
    start = offset(last.place, 1000.0, 0.0)
    party = Party(place=replace(start, amsl_m=0.0), t_s=last.t_s + 300.0)
    return Asked(last=last, party=party, weights=USUAL, elsewhere=cover_named("grass"))


def chances(outlook: SearchOutlook) -> dict[str, float]:
    return {one.name: one.chance_ratio for one in outlook.segments}


def test_chances_are_whole_and_rings_hold_the_areas(ensemble: Ensemble, asked: Asked) -> None:
    found = search(ensemble, None, asked)
    assert sum(chances(found).values()) + found.elsewhere_ratio == pytest.approx(1.0)
    assert sum(one.chance_ratio for one in found.stories) == pytest.approx(1.0)
    assert [one.chance_ratio for one in found.stories] == sorted(
        (one.chance_ratio for one in found.stories), reverse=True
    )
    for one in found.segments:
        rings = [Outline(points=ring) for ring in one.rings if len(set(ring)) == len(ring)]
        if len(rings) == len(one.rings) == 1:
            assert area_m2(rings[0]) == pytest.approx(one.area_m2, rel=0.01), one.name
        assert one.before_ratio == pytest.approx(one.chance_ratio)
    assert found.datum.agl_m == pytest.approx(120.0)
    assert found.datum.radius_50_m < found.datum.radius_90_m
    assert found.document()["segments"][0]["name"] == "A"


def test_the_first_look_is_near_the_last_place(ensemble: Ensemble, asked: Asked) -> None:
    early_t_s = ensemble.sortie.launch.t_s + 600.0  # two hours and a half before dusk
    last, party = replace(asked.last, t_s=early_t_s), replace(asked.party, t_s=early_t_s)
    found = search(ensemble, None, replace(asked, last=last, party=party))
    first = next(one for one in found.segments if one.name == found.steps[0].segment)
    at = Place(lat_deg=first.lat_deg, lon_deg=first.lon_deg, amsl_m=0.0)
    assert geodesic(asked.last.place, at).distance_m < 500.0
    poc = np.array([one.chance_ratio for one in found.segments])
    rate = np.array([120.0 / one.area_m2 for one in found.segments])  # two, 60 m, 1 m/s
    end_t_s = found.steps[-1].begin_t_s + found.steps[-1].look_s
    best = best_effort_s(poc, rate, end_t_s - early_t_s)
    bound = float((poc * (1.0 - np.exp(-rate * best))).sum())  # without any way
    assert 0.75 * bound < found.steps[-1].found_ratio < bound


def test_a_look_in_vain_lowers_its_segment_and_lifts_all_others(
    ensemble: Ensemble, asked: Asked
) -> None:
    before = search(ensemble, None, asked)
    after = search(ensemble, None, replace(asked, looked=(Looked(segment="A", seconds=3600.0),)))
    a, b = chances(before), chances(after)
    area_m2 = before.segments[0].area_m2
    missed = np.exp(-60.0 * 1.0 * 2 * 3600.0 / area_m2)
    left = 1.0 - a["A"] * (1.0 - missed)
    assert b["A"] == pytest.approx(a["A"] * missed / left)
    assert all(b[name] == pytest.approx(a[name] / left) for name in a if name != "A")
    assert after.segments[0].looked_s == 3600.0
    assert after.steps[0].segment != before.steps[0].segment


def test_looks_keep_their_place_when_a_bearing_comes(ensemble: Ensemble, asked: Asked) -> None:
    """A stays the ground that it was, though segments are made anew and called A1, B1."""
    stand = offset(asked.last.place, 4000.0, 0.0)
    bearing = Bearing(stand=stand, name="Gap", azimuth_deg=270.0)
    told = replace(asked, bearings=(bearing,))
    before = search(ensemble, None, told)
    assert before.segments[0].name == "A1"
    after = search(ensemble, None, replace(told, looked=(Looked(segment="A", seconds=1e4),)))
    plain = search(ensemble, None, asked).segments[0]
    middle = Place(lat_deg=plain.lat_deg, lon_deg=plain.lon_deg, amsl_m=0.0)
    moved = {
        one.name: (one.chance_ratio, geodesic(
            middle, Place(lat_deg=one.lat_deg, lon_deg=one.lon_deg, amsl_m=0.0)).distance_m)
        for one in after.segments
    }  # fmt: skip
    lowered = [name for name, old in chances(before).items() if moved[name][0] < 0.5 * old]
    assert lowered
    assert max(moved[name][1] for name in lowered) < 800.0


def test_segments_stay_while_it_drifts_and_the_party_waits(
    ensemble: Ensemble, terrain: Terrain, asked: Asked
) -> None:
    ring = [
        offset(asked.last.place, *one) for one in ((-900.0, -900.0), (900.0, -900.0), (0.0, 900.0))
    ]
    outline = Outline(points=tuple((one.lat_deg, one.lon_deg) for one in ring))
    lake = Barrier(name="Lake", kind="water", outline=outline)
    wet = replace(ensemble, sortie=replace(ensemble.sortie, barriers=(lake,)))
    stand = Place(lat_deg=-46.589, lon_deg=108.165, amsl_m=520.0)
    late = replace(
        asked, party=replace(asked.party, t_s=asked.party.t_s + 3000.0),
        heard=(LastHeard(stand=stand, name="Gap", amsl_m=350.0),),
    )  # fmt: skip
    before, after = search(wet, terrain, asked), search(wet, terrain, late)
    assert [(one.name, one.rings) for one in before.segments] == [
        (one.name, one.rings) for one in after.segments
    ]
    assert chances(before) != chances(after)


def test_a_bearing_narrows_it_down(ensemble: Ensemble, asked: Asked) -> None:
    wide = replace(asked, last=at_height(asked.last, 10_000.0))
    stand = offset(asked.last.place, -30_000.0, 0.0)
    bearing = Bearing(stand=stand, name="Gap", azimuth_deg=90.0)
    plain = search(ensemble, None, wide)
    told = search(ensemble, None, replace(wide, bearings=(bearing,)))
    assert told.datum.radius_90_m < plain.datum.radius_90_m
    assert any("Bearings are taken as known to 5 degrees" in one for one in told.notes)
    assert any("too wide to walk" in one for one in plain.notes)


def test_two_bearings_meet_and_tell_when_they_contradict(ensemble: Ensemble, asked: Asked) -> None:
    last = asked.last.place
    stands = [offset(last, -5000.0, 0.0), offset(last, 0.0, -5000.0)]
    good = [Bearing(stand=stands[0], name="A", azimuth_deg=90.0),
            Bearing(stand=stands[1], name="B", azimuth_deg=0.0)]  # fmt: skip
    found = search(ensemble, None, replace(asked, bearings=tuple(good)))
    (met,) = found.met
    assert met.stands == ("A", "B")
    assert met.angle_deg == pytest.approx(90.0, abs=0.1)
    assert (met.lat_deg, met.lon_deg) == pytest.approx((last.lat_deg, last.lon_deg), abs=1e-3)
    away = [replace(one, azimuth_deg=one.azimuth_deg + 25.0, sd_deg=0.5) for one in good]
    told = search(ensemble, None, replace(asked, bearings=tuple(away)))
    assert any("contradict the last place or each other" in one for one in told.notes)


def test_a_bearing_the_other_way_round_is_named(ensemble: Ensemble, asked: Asked) -> None:
    stand = offset(asked.last.place, -5000.0, 0.0)
    wrong = Bearing(stand=stand, name="Gap", azimuth_deg=270.0)
    found = search(ensemble, None, replace(asked, bearings=(wrong,)))
    assert any("The bearing from Gap contradicts all else" in one for one in found.notes)
    right = search(ensemble, None, replace(asked, bearings=(replace(wrong, azimuth_deg=90.0),)))
    assert not any("contradicts all else" in one for one in right.notes)


def test_last_heard_from_a_stand(ensemble: Ensemble, terrain: Terrain, asked: Asked) -> None:
    """Heard down to 300 m above sea level from beside it: not where the ridge hides that."""
    mast = replace(ensemble.sortie.stands[0], amsl_m=0.0)
    stand = Place(lat_deg=mast.lat_deg, lon_deg=mast.lon_deg, amsl_m=520.0)
    high = replace(asked, last=at_height(asked.last, 6000.0))
    heard = replace(high, heard=(LastHeard(stand=stand, name=mast.name, amsl_m=300.0),))
    plain, told = search(ensemble, terrain, high), search(ensemble, terrain, heard)
    assert told.datum.radius_90_m != plain.datum.radius_90_m
    flat = search(ensemble, None, heard)
    assert any("the height last heard says nothing" in one for one in flat.notes)


def test_water_roads_and_borders(ensemble: Ensemble, asked: Asked) -> None:
    last = asked.last.place

    def ring(west: float, east: float) -> Outline:
        corners = [(west, -3000.0), (east, -3000.0), (east, 3000.0), (west, 3000.0)]
        at = [offset(last, *one) for one in corners]
        return Outline(points=tuple((one.lat_deg, one.lon_deg) for one in at))

    barriers = (
        Barrier(name="Lake", kind="water", outline=ring(-3000.0, 100.0)),
        Barrier(name="Line", kind="border", outline=ring(600.0, 700.0)),
    )
    road = Landmark(name="Lane", kind="road", points=ring(300.0, 350.0).points[:2])
    sortie = replace(ensemble.sortie, barriers=barriers, landmarks=(road,))
    found = search(replace(ensemble, sortie=sortie), None, asked)
    (lake,) = found.afloat
    assert lake.water == "Lake"
    assert 0.1 < lake.chance_ratio < 0.9
    assert lake.soonest_t_s < lake.likely_t_s < lake.latest_t_s
    assert "Line" in [one.name for one in found.crossed]
    assert not any("No road is stated" in one for one in found.notes)
    wet = {one.name for one in found.segments if not one.is_walked}
    assert wet
    assert not wet & {one.segment for one in found.steps}


def test_dusk_ends_the_search(ensemble: Ensemble, asked: Asked) -> None:
    """Civil dusk of the demo is at T+208: a quarter of an hour before, one is back."""
    launch_t_s = ensemble.sortie.launch.t_s
    found = search(ensemble, None, asked)
    assert found.stop.turn_t_s == pytest.approx(launch_t_s + (208 - 15) * 60.0, abs=120.0)
    assert found.stop.why == "dusk"
    late = replace(asked, party=replace(asked.party, t_s=launch_t_s + 200 * 60.0))
    told = search(ensemble, None, late)
    assert told.stop.is_late
    assert told.steps == ()


def test_unmeasured_stories_are_told(ensemble: Ensemble, asked: Asked) -> None:
    glider = replace(ensemble.sortie.glider, hands_off_sink_eas_mps=None)
    few = replace(ensemble, sortie=replace(ensemble.sortie, glider=glider))
    found = search(few, None, asked)
    assert HANDS_OFF not in [one.name for one in found.stories]
    assert any("No sink without hands was measured" in one for one in found.notes)


def test_a_segment_that_is_not_there_is_refused(ensemble: Ensemble, asked: Asked) -> None:
    for name, words in (("ZZ", "of these: A, B"), ("A3", "none with so many bearings")):
        with pytest.raises(InputError, match=f"segment is {name}; allowed: .*{words}"):
            search(ensemble, None, replace(asked, looked=(Looked(segment=name, seconds=60.0),)))
