"""Passage: single glides on a straight track end where, and when, they are said to."""

from collections.abc import Callable
from dataclasses import replace
from typing import Final

import numpy as np
import pytest

from farglide.arrays import FloatArray
from farglide.chances.case import with_plain
from farglide.chances.ensemble import Ensemble, drawn_ensemble, plain_ensemble
from farglide.earth.geodesy import EastNorth
from farglide.glider.polar import steady_glide
from farglide.kernel import door
from farglide.plan.home.homeward import homeward
from farglide.sim.core.release import begin_glide, field_offset
from farglide.sim.core.step import Offset, apart_m
from farglide.sim.core.tracks import Point
from farglide.sim.fly.glide import Way
from farglide.sim.fly.passage import (
    Passage,
    fly_way,
    from_launch_m,
    held_amsl_m,
    quickest_way,
    spare_amsl_m,
)
from farglide.sim.reach.drawnglider import DrawnGlider, glide_air
from farglide.sim.reach.reach import FREE, Descent, sum_reach
from farglide.sim.reach.rose import farthest_m
from farglide.sim.reach.straight import made_good
from farglide.sim.reach.support import FactorRange, tabulate
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie

ask_glide_air = door(glide_air)

HOME, TANSY, BRACKMOOR, CORRAND = range(4)
Blown = Callable[[Ensemble, FloatArray, FloatArray], Ensemble]
RELEASE_S: Final = 76.0 * 60.0
PRICES: Final = (
    0.5, 1.0, 2.0, 3.0, 4.5, 6.5, 9.0, 12.0, 16.0, 20.0, 25.0, 30.0, 32.0, 34.0, 36.0, 40.0, 48.0,
     60.0, 90.0, 150.0, 400.0, 2000.0,
)  # fmt: skip


@pytest.fixture(scope="module")
def fine(demo: tuple[Sortie, Pack]) -> Ensemble:
    """Return the demo in simplified laws, at fine prices of time."""
    sortie, pack = demo
    low = replace(sortie, launch=replace(sortie.launch, amsl_m=0.0))
    asked = Grain(slowing=False, slab=1, prices_mps=PRICES)
    return plain_ensemble(low, pack.sounding, asked)


def plane_of(ensemble: Ensemble) -> DrawnGlider:
    return DrawnGlider(ensemble.craft.polar, ensemble.craft.limits, 1.0)


def way_to(ensemble: Ensemble, field: int, price_mps: float = 0.0) -> Way:
    return Way(*field_offset(ensemble.goals, field), price_mps)


def best_path_from(ensemble: Ensemble, begin: Point, field: int) -> tuple[float, float]:
    """Return how far the best path of all gets from there toward a field, and how far that is."""
    craft, goals = ensemble.craft, ensemble.goals
    support = tabulate(ensemble.air.scene.layers, craft.polar, craft.limits, FactorRange(1.0, 1.0))
    free = sum_reach(ensemble.air.scene, support, ensemble.draws, FREE)
    away = to_field(ensemble, begin.north_rad, begin.east_rad, field)
    down = Descent(begin.amsl_m, float(goals.arrival_amsl_m[field]))
    return farthest_m(free, down, away), float(np.hypot(*away))


def begun(ensemble: Ensemble, release_s: float = RELEASE_S) -> Point:
    """Return the level glider released at a time."""
    j = round(release_s / ensemble.climbs.tracks.step_s)
    tracks = ensemble.climbs.tracks
    place = (tracks.amsl_m[0, j], tracks.north_rad[0, j], tracks.east_rad[0, j])
    return begin_glide(ensemble.air.scene, ensemble.released, 0, Point(release_s, *place))


def to_field(ensemble: Ensemble, north_rad: float, east_rad: float, field: int) -> EastNorth:
    there = field_offset(ensemble.goals, field)
    return apart_m(ensemble.air.scene.frame, Offset(north_rad, east_rad), there)


def miss_m(ensemble: Ensemble, flown: Passage, field: int) -> float:
    """Return how far from the field a passage ends."""
    return float(
        np.hypot(*to_field(ensemble, float(flown.north_rad[-1]), float(flown.east_rad[-1]), field))
    )


# --- most spare height ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("field", "spare_km"),
    # computed by tests/by_hand: 15.9, 19.7, 22.7, 24.0 km from T+76, +-2 %
    [(HOME, 15.9), (TANSY, 19.7), (BRACKMOOR, 22.7), (CORRAND, 24.0)],
)
def test_spare_height_and_the_way_there(fine: Ensemble, field: int, spare_km: float) -> None:
    ensemble, begin = fine, begun(fine)
    ground = float(ensemble.goals.ground_amsl_m[field])
    descent = Descent(begin.amsl_m, float(ensemble.goals.arrival_amsl_m[field]))
    away, reaches = to_field(ensemble, begin.north_rad, begin.east_rad, field), fine.reach.reaches
    top_m = held_amsl_m(ensemble.air.scene, reaches, 1.0, Descent(begin.amsl_m, ground))
    spare = spare_amsl_m(reaches, descent, top_m, away)
    assert (spare - ground) / 1000.0 == pytest.approx(spare_km, rel=0.02)
    way = way_to(ensemble, field)
    flown = fly_way(ensemble.air.scene, plane_of(ensemble), way, begin, spare)
    assert flown.amsl_m[-1] == pytest.approx(spare)
    # the table's bearings and layers: 0.2 % of the way
    assert miss_m(ensemble, flown, field) < max(0.002 * np.hypot(*away), 60.0)
    # thirty metres higher it is out of reach
    higher = Descent(begin.amsl_m, spare + 30.0)
    assert made_good(reaches.free, higher, away).inside_m < 0.0
    if field == HOME:  # most spare arrival T+102.4, +-1 min
        assert flown.after_s[-1] / 60.0 == pytest.approx(102.4, abs=1.0)


def test_from_just_in_reach_nothing_is_spare(fine: Ensemble) -> None:
    reaches, descent = fine.reach.reaches, Descent(20_000.0, 540.0)
    made = made_good(reaches.free, descent, EastNorth(-0.8, 0.6))
    assert made.ahead_m > 0.0
    away = EastNorth(-0.8 * (made.ahead_m - 1.0), 0.6 * (made.ahead_m - 1.0))
    assert 0.0 <= made_good(reaches.free, descent, away).inside_m < 5.0
    assert 540.0 <= spare_amsl_m(reaches, descent, 20_000.0, away) < 555.0


def test_a_place_that_cannot_be_held_gives_no_spare_height(
    low_demo: Ensemble, blown_by: Blown
) -> None:
    """Over a jet too strong to stay in, height over the field is not spare."""
    layers = low_demo.air.scene.layers
    east = layers.u_mps.copy()
    east[0, 10:120] = 80.0  # 1 to 12 km: faster than the glider by a third and more
    reaches = blown_by(low_demo, east, layers.v_mps).reach.reaches
    scene = low_demo.air.scene._replace(layers=layers._replace(u_mps=east))
    away, high = EastNorth(40_000.0, 0.0), Descent(25_000.0, 15_000.0)
    assert made_good(reaches.free, high, away).inside_m > 0.0  # got to at 15 km ...
    top_m = held_amsl_m(scene, reaches, 1.0, Descent(25_000.0, 240.0))
    # ... but from there it would be blown off: the jet's lower edge is the most
    assert top_m == pytest.approx(1000.0, abs=1.0)
    spare = spare_amsl_m(reaches, Descent(25_000.0, 540.0), top_m, EastNorth(200_000.0, 0.0))
    assert 540.0 <= spare <= top_m


def test_the_straight_way_gets_nowhere_farther_than_the_best_path(fine: Ensemble) -> None:
    for minutes, field in ((70.0, HOME), (76.0, HOME), (76.0, TANSY)):
        begin = begun(fine, 60.0 * minutes)
        most_m, away_m = best_path_from(fine, begin, field)
        away = to_field(fine, begin.north_rad, begin.east_rad, field)
        down = Descent(begin.amsl_m, float(fine.goals.arrival_amsl_m[field]))
        made = made_good(fine.reach.reaches.free, down, away)
        assert away_m == pytest.approx(made.away_m)
        # in the demo's winds it costs two in a thousand to three in a hundred
        assert 0.97 * most_m < made.ahead_m < 0.9995 * most_m


# --- quickest ------------------------------------------------------------------------------------


def test_quickest_flight_home(fine: Ensemble) -> None:
    # 300 m over home at T+98.4, +-1 min
    ensemble, begin, reaches = fine, begun(fine), fine.reach.reaches
    arrival = float(ensemble.goals.arrival_amsl_m[HOME])
    away = to_field(ensemble, begin.north_rad, begin.east_rad, HOME)
    seconds, row = quickest_way(reaches, Descent(begin.amsl_m, arrival), away)
    assert (begin.t_s + seconds) / 60.0 == pytest.approx(98.4, abs=1.0)
    plane, scene = plane_of(ensemble), ensemble.air.scene
    price_mps = float(reaches.price_mps[row])
    flown = fly_way(scene, plane, way_to(ensemble, HOME, price_mps), begin, arrival)
    # one step of the prices to and fro: it comes too far or too short by some of the way
    assert abs(flown.short_m[-1]) < 0.1 * np.hypot(*away)
    assert flown.after_s[-1] - flown.after_s[0] == pytest.approx(seconds, rel=0.1)
    # no slower price gets there sooner
    for price in (4.5, 12.0, 20.0):
        later = fly_way(scene, plane, way_to(ensemble, HOME, price), begin, arrival)
        assert later.after_s[-1] > flown.after_s[-1]


@pytest.mark.parametrize("field", [HOME, TANSY, BRACKMOOR, CORRAND])
def test_quickest_time_is_between_the_dive_and_the_flattest(fine: Ensemble, field: int) -> None:
    ensemble, begin = fine, begun(fine)
    arrival = float(ensemble.goals.arrival_amsl_m[field])
    away = to_field(ensemble, begin.north_rad, begin.east_rad, field)
    seconds, _ = quickest_way(ensemble.reach.reaches, Descent(begin.amsl_m, arrival), away)
    plane, scene = plane_of(ensemble), ensemble.air.scene
    dive = fly_way(scene, plane, way_to(ensemble, field, 1e5), begin, arrival)
    flattest = fly_way(scene, plane, way_to(ensemble, field), begin, arrival)
    least_s = float(dive.after_s[-1] - dive.after_s[0])
    # The highest price, 2 000 m/s, leaves out the 50 km of a dive's way: 25 s.
    assert least_s - 30.0 <= seconds < float(flattest.after_s[-1] - flattest.after_s[0])


@pytest.mark.slow
def test_stated_and_flown_times_agree_for_every_field(demo: tuple[Sortie, Pack]) -> None:
    """What a plan says about the quickest flight is what the flight it draws takes."""
    sortie, pack = demo
    asked = Grain(n_draws=50, seed=1)
    middle = with_plain(drawn_ensemble(sortie, pack.sounding, asked)).plain
    for field in range(4):
        found = homeward(middle, 150, field)
        assert found is not None
        flown_s = float(found.quickest.after_s[-1])
        assert found.over_field_s == pytest.approx(flown_s, abs=60.0)


# --- the flight itself ---------------------------------------------------------------------------


def test_rows_keep_the_caps_and_fall_steadily(low_demo: Ensemble) -> None:
    ensemble, begin = low_demo, begun(low_demo)
    layers = ensemble.air.scene.layers
    for price in (0.0, 20.0, 400.0):
        way = way_to(ensemble, HOME, price)
        flown = fly_way(ensemble.air.scene, plane_of(ensemble), way, begin, 540.0)
        assert (np.diff(flown.amsl_m) < 0.0).all()
        assert (np.diff(flown.after_s) > 0.0).all()
        k = ((flown.amsl_m - 1e-6 - layers.base_amsl_m) / layers.step_m).astype(int)
        by_mach = ensemble.craft.limits.top_mach * layers.sound_mps[k] / layers.tas_per_eas[k]
        assert (
            flown.eas_mps <= np.minimum(ensemble.craft.limits.top_eas_mps, by_mach) + 1e-9
        ).all()
        assert (flown.eas_mps >= 10.33).all()
        assert flown.amsl_m[0] == begin.amsl_m
        assert flown.amsl_m[-1] == pytest.approx(540.0)


def test_a_layer_is_flown_at_its_speed_and_keeps_the_track(low_demo: Ensemble) -> None:
    """Against the best of many speeds: what crabbing leaves of them, and the wind along."""
    ensemble, begin = low_demo, begun(low_demo)
    layers, frame = ensemble.air.scene.layers, ensemble.air.scene.frame
    way = Way(0.02, -0.035, 0.0)  # far beyond home
    flown = fly_way(ensemble.air.scene, plane_of(ensemble), way, begin, 540.0)
    row = int(np.argmin(np.abs(flown.amsl_m - 10_100.0)))
    k = int((flown.amsl_m[row] - 1.0 - layers.base_amsl_m) / 100.0)
    air = ask_glide_air(layers, k)
    here, there = (
        Offset(float(flown.north_rad[j]), float(flown.east_rad[j])) for j in (row, row + 1)
    )
    ahead = apart_m(frame, here, Offset(way.north_rad, way.east_rad))
    unit = np.array(ahead) / np.hypot(*ahead)
    wind = np.array([layers.u_mps[0, k], layers.v_mps[0, k]])
    along, across = float(wind @ unit), float(wind @ [-unit[1], unit[0]])
    assert abs(across) < 10.0 < -along  # the jet stands on the nose
    best = (-np.inf, 0.0, 0.0, 0.0)
    for eas_mps in np.linspace(10.4, 32.0, 2000):
        level, sink = steady_glide(ensemble.craft.polar, float(eas_mps), air)
        made = float(np.sqrt(max(level**2 - across**2, 0.0)) + along)
        best = max(best, (made / sink, float(eas_mps), made, sink))
    assert flown.eas_mps[row] == pytest.approx(best[1], abs=0.02)
    dt = (flown.amsl_m[row] - flown.amsl_m[row + 1]) / best[3]
    assert flown.after_s[row + 1] - flown.after_s[row] == pytest.approx(dt, rel=2e-3)
    east, north = apart_m(frame, here, there)
    ground = float(layers.shortening_ratio[k]) * dt
    assert east == pytest.approx(best[2] * unit[0] * ground, rel=5e-3)
    assert north == pytest.approx(best[2] * unit[1] * ground, rel=5e-3)


def test_quickest_of_a_launch_shifted_home_is_shorter(fine: Ensemble) -> None:
    begin = begun(fine)
    east, north = to_field(fine, begin.north_rad, begin.east_rad, HOME)
    descent = Descent(begin.amsl_m, 540.0)
    times = [
        quickest_way(fine.reach.reaches, descent, EastNorth(share * east, share * north)).seconds
        for share in (0.5, 0.8, 1.0, 1.1)
    ]
    assert times == sorted(times)
    assert times[0] < 0.9 * times[2]


def test_a_share_of_the_airspeed_shortens_the_way(low_demo: Ensemble) -> None:
    """Half of what crabbing leaves along the track, the rest in circles; below 0, backwards."""
    begin, scene, plane = begun(low_demo), low_demo.air.scene, plane_of(low_demo)
    way = way_to(low_demo, CORRAND)
    short_m = [
        float(fly_way(scene, plane, way._replace(share_ratio=share), begin, 540.0).short_m[-1])
        for share in (1.0, 0.5, 0.0, -1.0)
    ]
    assert (np.diff(short_m) > 1000.0).all()
    assert short_m[0] - short_m[1] == pytest.approx(short_m[1] - short_m[2], rel=1e-3)
    assert short_m[0] < 0.0 < short_m[3]


def test_a_lower_top_speed_dives_slower(low_demo: Ensemble) -> None:
    begin, dive = begun(low_demo), way_to(low_demo, HOME, 400.0)
    whole = plane_of(low_demo)
    gentle = whole._replace(limits=whole.limits._replace(top_eas_mps=20.0))
    fast = fly_way(low_demo.air.scene, whole, dive, begin, 540.0)
    slow = fly_way(low_demo.air.scene, gentle, dive, begin, 540.0)
    assert slow.eas_mps.max() <= 20.0
    assert slow.after_s[-1] > 1.2 * fast.after_s[-1] - 0.2 * begin.t_s


def test_set_aside_it_heads_for_its_place_from_where_it_is(
    low_demo: Ensemble, blown_by: Blown
) -> None:
    """Across a jet of 70 m/s between 9 and 11 km it is carried off, and comes over the place."""
    still = np.zeros_like(low_demo.air.scene.layers.u_mps)
    east = still.copy()
    east[0, 90:110] = 70.0
    blown = blown_by(low_demo, east, still)
    begin, way = Point(0.0, 20_000.0, 0.0, 0.0), Way(0.014, 0.0, 0.0)  # 89 km to the north
    flown = fly_way(blown.air.scene, plane_of(blown), way, begin, 540.0)
    at_9_km = int(np.argmin(np.abs(flown.amsl_m - 9_000.0)))
    off = from_launch_m(blown.air.scene, flown.north_rad[at_9_km], flown.east_rad[at_9_km])
    assert off.east_m > 1_000.0
    past = int(np.argmax(flown.short_m <= 0.0))
    assert past > at_9_km
    over = from_launch_m(blown.air.scene, flown.north_rad[past], flown.east_rad[past])
    assert abs(over.east_m) < 400.0


@pytest.mark.parametrize("top_mach", [0.55, 0.25])
def test_a_way_flown_is_as_long_as_the_table_says(
    demo: tuple[Sortie, Pack], top_mach: float
) -> None:
    """Also where the Mach cap leaves no band: 0.25 is 9.3 m/s EAS at 30 km, and 10.33 is needed.

    Whatever is flown there, table and flight must take the same.
    """
    sortie, pack = demo
    capped = replace(sortie, glider=replace(sortie.glider, top_mach=top_mach))
    ensemble = plain_ensemble(capped, pack.sounding, Grain(slab=1, prices_mps=(20.0,)))
    plane = DrawnGlider(ensemble.craft.polar, ensemble.craft.limits, 1.0)
    begin, far = Point(0.0, 30_000.0, 0.0, 0.0), 0.1
    for angle in (0.0, 2.18, 3.49):
        for price_mps, table in zip((0.0, 20.0), ensemble.reach.reaches[:2], strict=True):
            way = Way(far * np.sin(angle), far * np.cos(angle), price_mps)
            flown = fly_way(ensemble.air.scene, plane, way, begin, 22_000.0)
            away = from_launch_m(ensemble.air.scene, way.north_rad, way.east_rad)
            made = made_good(table, Descent(30_000.0, 22_000.0), away)
            seconds = float(flown.after_s[-1])
            gone_m = made.away_m - float(flown.short_m[-1]) - price_mps * seconds
            assert gone_m == pytest.approx(made.ahead_m, rel=1e-3, abs=60.0)
