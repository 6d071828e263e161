"""Unsteered: what comes down by itself, and how long doors stay in reach after a burst."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from farglide import fall
from farglide.air.sounding import Sounding
from farglide.chances.case import with_plain
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.earth.geodesy import geodesic
from farglide.earth.state import Place
from farglide.fall import StoryKind
from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.faults import Unsteered
from farglide.plan.faults.unsteered import door_life_s, seconds_left, unsteered
from farglide.sortie.grain import Grain
from farglide.sortie.known import Known
from farglide.sortie.spec import Sortie

RELEASE_S = 76 * 60.0


@pytest.fixture(scope="module")
def sortie(demo_flight: FlightFile) -> Sortie:
    return demo_flight.sortie


@pytest.fixture(scope="module")
def ensemble(sortie: Sortie, demo_sounding: Sounding) -> Ensemble:
    asked = Grain(n_draws=100, clock_s=60.0, prices_mps=(8.0,), slab=5)
    return drawn_ensemble(sortie, demo_sounding, asked)


@pytest.fixture(scope="module")
def plain(ensemble: Ensemble, demo_sounding: Sounding) -> Ensemble:
    fine = replace(ensemble, grain=replace(ensemble.grain, clock_s=10.0))
    return with_plain(fine).plain


@pytest.fixture(scope="module")
def told(ensemble: Ensemble) -> dict[str, Unsteered]:
    return {one.what: one for one in unsteered(ensemble, round(RELEASE_S / 60.0))}


def with_area(ensemble: Ensemble, area_m2: float) -> Ensemble:
    train = replace(ensemble.sortie.train, remains_drag_area_m2=Known(value=area_m2))
    return replace(ensemble, sortie=replace(ensemble.sortie, train=train))


# --- after a burst -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("area_m2", "home_s", "tansy_s"),
    # computed by tests/by_hand for a burst at 27 475 m over the demo's track
    [(0.12, 116.0, None), (0.2, 146.0, 260.0), (0.3, 180.0, None)],
)
def test_seconds_left_after_a_burst_on_high(
    plain: Ensemble,
    area_m2: float,
    home_s: float,
    tansy_s: float | None,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    # It keeps one drag area at every height. Real falls are slower aloft, and leave half as
    # much time again.
    moment = int(np.nanargmin(np.abs(plain.climbs.tracks.amsl_m[0] - 27_475.0)))
    real = {s.field: s for s in seconds_left(with_area(plain, area_m2), moment)}
    assert real["Harrowend strip"].seconds_s == pytest.approx(1.5 * home_s, rel=0.1)
    monkeypatch.setattr(fall, "THIN_EXPONENT", 0.0)
    found = {s.field: s for s in seconds_left(with_area(plain, area_m2), moment)}
    home = found["Harrowend strip"]
    assert home.burst_amsl_m == pytest.approx(27_475.0, abs=100.0)
    assert home.seconds_s == pytest.approx(home_s, rel=0.15)
    if tansy_s is not None:
        assert found["Tansy Lea"].seconds_s == pytest.approx(tansy_s, rel=0.15)


def test_heavier_drag_leaves_more_time_and_nearer_fields_stay_longer(plain: Ensemble) -> None:
    moment = round(80 * 60.0 / plain.climbs.tracks.step_s)
    lists = [seconds_left(with_area(plain, area), moment) for area in (0.1, 0.2, 0.4)]
    for less, more in pairwise(lists):
        for a, b in zip(less, more, strict=True):
            assert a.field == b.field
            assert b.seconds_s > a.seconds_s
    # the drift has carried it past home and Tansy Lea toward Brackmoor and Corrand
    assert [s.seconds_s for s in lists[1][:3]] == sorted(s.seconds_s for s in lists[1][:3])


def test_a_field_out_of_reach_at_the_burst_is_not_told(plain: Ensemble) -> None:
    # home is shut from T+28.5 to T+62.5
    moment = round(45 * 60.0 / plain.climbs.tracks.step_s)
    assert "Harrowend strip" not in {s.field for s in seconds_left(plain, moment)}


def test_seconds_are_counted_in_steps_of_two(plain: Ensemble) -> None:
    moment = round(70 * 60.0 / plain.climbs.tracks.step_s)
    (home,) = (s for s in seconds_left(plain, moment) if s.field == "Harrowend strip")
    assert 10.0 < home.seconds_s < 400.0
    assert home.seconds_s % 2.0 == 0.0


# --- what comes down by itself -------------------------------------------------------------------


def test_every_way_down_that_was_timed_is_told(told: dict[str, Unsteered]) -> None:
    assert set(told) == {
        "freed balloon and line, after its own burst",
        "glider, hands off",
        "glider in a firm spiral",
        "glider in a spin",
        "all tangled after a burst",
    }


def test_the_faster_it_sinks_the_less_it_drifts(told: dict[str, Unsteered]) -> None:
    ways = [told[w] for w in ("glider, hands off", "glider in a firm spiral", "glider in a spin")]
    for slow, fast in pairwise(ways):
        assert slow.drift_m > 2.0 * fast.drift_m
        assert slow.down_after_launch_s.p50 > fast.down_after_launch_s.p50
        assert slow.from_amsl_m == fast.from_amsl_m
        assert slow.radius_m > fast.radius_m
    # from 26 km 131, 41, 17 km by tests/by_hand; the release at T+76 is 1 to 3 km higher
    assert [w.drift_m / 1e3 for w in ways] == pytest.approx([131.0, 41.0, 17.0], rel=0.12)


def test_times_and_places_fit_together(ensemble: Ensemble, told: dict[str, Unsteered]) -> None:
    launch = ensemble.sortie.launch
    for one in told.values():
        assert one.down_after_launch_s.p10 <= one.down_after_launch_s.p50
        assert one.down_after_launch_s.p50 <= one.down_after_launch_s.p90
        assert one.down_after_launch_s.p10 > one.from_after_launch_s - 1500.0
        here = Place(lat_deg=launch.lat_deg, lon_deg=launch.lon_deg, amsl_m=0.0)
        there = Place(lat_deg=one.lat_deg, lon_deg=one.lon_deg, amsl_m=0.0)
        # the wind blows one way at nearly all heights: it ends beyond where it began
        assert geodesic(here, there).distance_m > one.drift_m
        assert one.radius_m > 500.0
    assert told["glider in a spin"].from_after_launch_s == RELEASE_S


def test_the_freed_balloon_climbs_faster_and_bursts_as_high(
    ensemble: Ensemble, told: dict[str, Unsteered]
) -> None:
    freed = told["freed balloon and line, after its own burst"]
    # it bursts where it displaces the same volume: the height is that of the burst with the glider
    assert freed.from_amsl_m == pytest.approx(
        float(np.nanmedian(ensemble.climbs.burst.amsl_m)), abs=400.0
    )
    assert (
        RELEASE_S < freed.from_after_launch_s < np.nanmedian(ensemble.climbs.burst.after_launch_s)
    )
    tangled = told["all tangled after a burst"]
    assert tangled.from_after_launch_s == pytest.approx(
        float(np.median(ensemble.climbs.burst.after_launch_s)), abs=1.0
    )
    # without the glider it weighs less on the same drag area, and so sinks for longer
    slower = freed.down_after_launch_s.p50 - freed.from_after_launch_s
    assert slower > tangled.down_after_launch_s.p50 - tangled.from_after_launch_s


def test_only_what_is_known_is_told(ensemble: Ensemble) -> None:
    glider = replace(
        ensemble.sortie.glider,
        hands_off_sink_eas_mps=None,
        spiral_sink_eas_mps=None,
        spin_sink_eas_mps=None,
    )
    train = replace(ensemble.sortie.train, canopy_m=0.6)
    other = replace(ensemble, sortie=replace(ensemble.sortie, glider=glider, train=train))
    found = {one.what: one for one in unsteered(other, 76)}
    assert set(found) == {
        "freed balloon and line, after its own burst",
        "all tangled after a burst",
        "all under the parachute",
    }
    canopy, tangled = found["all under the parachute"], found["all tangled after a burst"]
    assert canopy.from_amsl_m == tangled.from_amsl_m
    # 0.82 kg on 0.226 m2 sink more slowly than 1.82 kg on 0.2 m2
    assert canopy.down_after_launch_s.p50 > tangled.down_after_launch_s.p50


# --- after a release that nobody steers ----------------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "home_min", "tansy_min", "home_with_packs_min"),
    # computed by tests/by_hand for a release at T+76, the climb begun at sea level
    [
        (StoryKind.CIRCLE, 16.2, 27.7, 12.3),
        (StoryKind.SPIRAL, 5.2, 9.5, 4.5),
        (StoryKind.SPIN, 2.3, 4.2, 2.2),
    ],
)
def test_door_life_by_story(
    low_plain: Ensemble,
    kind: StoryKind,
    home_min: float,
    tansy_min: float,
    home_with_packs_min: float,
) -> None:
    moment = round(RELEASE_S / low_plain.climbs.tracks.step_s)
    never = low_plain.reach.haste._replace(end_s=np.full(1, 1e9))
    endless = replace(low_plain, reach=replace(low_plain.reach, haste=never))
    by_height = [door_life_s(endless, moment, field, kind) for field in (0, 1)]
    assert [s / 60.0 for s in by_height if s] == pytest.approx([home_min, tansy_min], abs=0.2)
    in_time = door_life_s(low_plain, moment, 0, kind)
    assert in_time is not None
    assert in_time / 60.0 == pytest.approx(home_with_packs_min, abs=0.3)


@pytest.fixture(scope="module")
def low_plain(sortie: Sortie, demo_sounding: Sounding) -> Ensemble:
    low = replace(sortie, launch=replace(sortie.launch, amsl_m=0.0))
    asked = Grain(n_draws=50, prices_mps=(8.0,), slab=5)
    return with_plain(drawn_ensemble(low, demo_sounding, asked)).plain


def test_no_door_life_without_a_hands_off_flight(plain: Ensemble) -> None:
    glider = replace(plain.sortie.glider, hands_off_sink_eas_mps=None)
    other = replace(plain, sortie=replace(plain.sortie, glider=glider))
    assert door_life_s(other, 400, 0) is None
    assert door_life_s(other, 400, 0, StoryKind.SPIN) is not None
    # at 8 to 20 km home is shut from the first
    shut = round(45.0 * 60.0 / plain.climbs.tracks.step_s)
    assert door_life_s(plain, shut, 0) == 0.0
