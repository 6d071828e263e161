"""Passage: single glides along the edge of the reach end where, and when, they are said to."""

from typing import Final

import numpy as np
import pytest

from farglide.chances.case import with_plain
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.earth.geodesy import EastNorth
from farglide.glider.polar import speed_to_fly, steady_glide
from farglide.kernel import door
from farglide.plan.home.homeward import homeward
from farglide.sim.core.release import begin_glide, field_offset
from farglide.sim.core.step import Offset, apart_m
from farglide.sim.core.tracks import Point
from farglide.sim.fly.glide import Craft, Turn, Way
from farglide.sim.fly.passage import (
    Passage,
    aim,
    descent_s,
    fly_way,
    quickest_way,
    spare_way,
)
from farglide.sim.reach.doors import Reaches
from farglide.sim.reach.reach import FREE, Descent, Prices, sum_reach
from farglide.sim.reach.rose import support_between
from farglide.sim.reach.support import FactorRange, glide_air, tabulate
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie

ask_glide_air = door(glide_air)

HOME, TANSY, BRACKMOOR, CORRAND = range(4)
RELEASE_S: Final = 76.0 * 60.0
PRICES: Final = np.array(
    [0.5, 1.0, 2.0, 3.0, 4.5, 6.5, 9.0, 12.0, 16.0, 20.0, 25.0, 30.0, 32.0, 34.0, 36.0, 40.0, 48.0,
     60.0, 90.0, 150.0, 400.0, 2000.0]
)  # fmt: skip


@pytest.fixture(scope="module")
def reaches(low_demo: Ensemble) -> Reaches:
    prices, reach = Prices(PRICES, 1), low_demo.reach
    priced = sum_reach(low_demo.air.scene, reach.support, low_demo.draws, prices)
    return Reaches(reach.reaches.free, priced, PRICES)


def begun(ensemble: Ensemble) -> Point:
    """Return the level glider released at T+76."""
    j = round(RELEASE_S / ensemble.climbs.tracks.step_s)
    tracks = ensemble.climbs.tracks
    place = (tracks.amsl_m[0, j], tracks.north_rad[0, j], tracks.east_rad[0, j])
    return begin_glide(ensemble.air.scene, ensemble.released, 0, Point(RELEASE_S, *place))


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
    # computed once by an independent script: 15.9, 19.7, 22.7, 24.0 km from T+76, +-2 %
    [(HOME, 15.9), (TANSY, 19.7), (BRACKMOOR, 22.7), (CORRAND, 24.0)],
)
def test_spare_height_and_the_way_there(low_demo: Ensemble, field: int, spare_km: float) -> None:
    ensemble, begin = low_demo, begun(low_demo)
    ground = float(ensemble.goals.ground_amsl_m[field])
    descent = Descent(begin.amsl_m, float(ensemble.goals.arrival_amsl_m[field]))
    away = to_field(ensemble, begin.north_rad, begin.east_rad, field)
    spare, way = spare_way(ensemble.reach.reaches.free, ground, descent, away)
    assert (spare - ground) / 1000.0 == pytest.approx(spare_km, rel=0.02)
    flown = fly_way(
        ensemble.air.scene,
        Craft(ensemble.craft.polar, ensemble.craft.limits, 1.0),
        way,
        begin,
        spare,
    )
    assert flown.amsl_m[-1] == pytest.approx(spare)
    assert miss_m(ensemble, flown, field) < 150.0
    # thirty metres higher it is out of reach
    higher = Descent(begin.amsl_m, spare + 30.0)
    assert aim(ensemble.reach.reaches.free, higher, away).margin_m < 0.0
    if field == HOME:  # most spare arrival T+102.4, +-1 min
        assert flown.after_s[-1] / 60.0 == pytest.approx(102.4, abs=1.0)


def test_best_glide_down_from_the_spare_height(low_demo: Ensemble) -> None:
    # 15.9 km over home: 140 min more at best glide; its EAS aloft is the slowest allowed, 10.33
    seconds = descent_s(
        low_demo.air.scene,
        Craft(low_demo.craft.polar, low_demo.craft.limits, 1.0),
        Descent(15_900.0 + 240.0, 240.0),
        Turn(),
    )
    assert seconds / 60.0 == pytest.approx(140.0, abs=1.0)


def test_from_just_in_reach_nothing_is_spare(low_demo: Ensemble) -> None:
    reach, descent = low_demo.reach.reaches.free, Descent(20_000.0, 540.0)
    margin_m, east, north = aim(reach, descent, EastNorth(0.0, 0.0))
    assert margin_m > 0.0
    away = EastNorth((margin_m - 1.0) * east, (margin_m - 1.0) * north)
    assert 0.0 <= aim(reach, descent, away).margin_m < 60.0
    spare, _ = spare_way(reach, 240.0, descent, away)
    assert 540.0 <= spare < 600.0


def test_a_place_that_cannot_be_held_gives_no_spare_height(low_demo: Ensemble) -> None:
    """Over a jet too strong to stay in, height over the field is not spare."""
    ensemble = low_demo
    layers = ensemble.air.scene.layers
    east = layers.u_mps.copy()
    east[0, 10:120] = 80.0  # 1 to 12 km: faster than the glider by a third and more
    scene = ensemble.air.scene._replace(layers=layers._replace(u_mps=east))
    free = sum_reach(scene, ensemble.reach.support, ensemble.draws, FREE)
    over, away = EastNorth(0.0, 0.0), EastNorth(40_000.0, 0.0)
    assert aim(free, Descent(25_000.0, 15_000.0), away).margin_m > 0.0  # got to at 15 km ...
    spare, _ = spare_way(free, 240.0, Descent(25_000.0, 540.0), away)
    # ... but from there it would be blown off for good; lower down the last kilometre wins it back
    heights = (spare, spare + 30.0, 15_000.0)
    held = [aim(free, Descent(z, 240.0), over).margin_m >= 0.0 for z in heights]
    assert held == [True, False, False]
    assert 1_000.0 < spare < 12_000.0


# --- quickest ------------------------------------------------------------------------------------


def test_quickest_flight_home(low_demo: Ensemble, reaches: Reaches) -> None:
    # 300 m over home at T+98.4, +-1 min
    ensemble, begin = low_demo, begun(low_demo)
    arrival = float(ensemble.goals.arrival_amsl_m[HOME])
    away = to_field(ensemble, begin.north_rad, begin.east_rad, HOME)
    seconds, way = quickest_way(reaches, Descent(begin.amsl_m, arrival), away)
    assert (begin.t_s + seconds) / 60.0 == pytest.approx(98.4, abs=1.0)
    flown = fly_way(
        ensemble.air.scene,
        Craft(ensemble.craft.polar, ensemble.craft.limits, 1.0),
        way,
        begin,
        arrival,
    )
    assert miss_m(ensemble, flown, HOME) < 1_000.0
    assert flown.after_s[-1] - flown.after_s[0] == pytest.approx(seconds, rel=0.02)
    # no slower price gets there sooner
    for price in (4.5, 12.0, 20.0):
        slower = Way(way.east, way.north, price)
        later = fly_way(
            ensemble.air.scene,
            Craft(ensemble.craft.polar, ensemble.craft.limits, 1.0),
            slower,
            begin,
            arrival,
        )
        assert later.after_s[-1] > flown.after_s[-1]


@pytest.mark.parametrize("field", [HOME, TANSY, BRACKMOOR, CORRAND])
def test_quickest_time_is_between_the_dive_and_the_flattest(
    low_demo: Ensemble, reaches: Reaches, field: int
) -> None:
    ensemble, begin = low_demo, begun(low_demo)
    arrival = float(ensemble.goals.arrival_amsl_m[field])
    away = to_field(ensemble, begin.north_rad, begin.east_rad, field)
    seconds, _ = quickest_way(reaches, Descent(begin.amsl_m, arrival), away)
    plane = Craft(ensemble.craft.polar, ensemble.craft.limits, 1.0)
    dive = fly_way(ensemble.air.scene, plane, Way(1.0, 0.0, 1e5), begin, arrival)
    flattest = fly_way(ensemble.air.scene, plane, Way(1.0, 0.0, 0.0), begin, arrival)
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
        way = Way(-0.8, 0.6, price)
        flown = fly_way(
            ensemble.air.scene,
            Craft(ensemble.craft.polar, ensemble.craft.limits, 1.0),
            way,
            begin,
            540.0,
        )
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


def test_a_layer_is_flown_at_its_speed_to_fly(low_demo: Ensemble) -> None:
    ensemble, begin = low_demo, begun(low_demo)
    way = Way(-1.0, 0.0, 0.0)
    flown = fly_way(
        ensemble.air.scene,
        Craft(ensemble.craft.polar, ensemble.craft.limits, 1.0),
        way,
        begin,
        540.0,
    )
    row = int(np.argmin(np.abs(flown.amsl_m - 10_100.0)))
    k = int((flown.amsl_m[row] - 1.0 - ensemble.air.scene.layers.base_amsl_m) / 100.0)
    air = ask_glide_air(ensemble.air.scene.layers, k)
    u = float(ensemble.air.scene.layers.u_mps[0, k])
    expected = speed_to_fly(ensemble.craft.polar, air, 32.0, tail_mps=-u)
    assert flown.eas_mps[row] == pytest.approx(expected, abs=0.01)
    # time and way of the row: height over sink, and (V_h + w) dt / s
    glide = steady_glide(ensemble.craft.polar, expected, air)
    dt = (flown.amsl_m[row] - flown.amsl_m[row + 1]) / glide.sink_mps
    assert flown.after_s[row + 1] - flown.after_s[row] == pytest.approx(dt, rel=1e-4)
    here = Offset(float(flown.north_rad[row]), float(flown.east_rad[row]))
    there = Offset(float(flown.north_rad[row + 1]), float(flown.east_rad[row + 1]))
    east, north = apart_m(ensemble.air.scene.frame, here, there)
    ground = float(ensemble.air.scene.layers.shortening_ratio[k]) * dt
    assert east == pytest.approx((u - glide.level_mps) * ground, rel=1e-3)
    assert north == pytest.approx(float(ensemble.air.scene.layers.v_mps[0, k]) * ground, rel=1e-3)


def test_descent_adds_up_and_turns_cost(low_demo: Ensemble) -> None:
    scene = low_demo.air.scene
    plane = Craft(low_demo.craft.polar, low_demo.craft.limits, 1.0)
    whole = descent_s(scene, plane, Descent(16_123.0, 240.0), Turn(12.0))
    parts = [
        descent_s(scene, plane, Descent(*heights), Turn(12.0))
        for heights in ((16_123.0, 9_050.0), (9_050.0, 240.0))
    ]
    assert sum(parts) == pytest.approx(whole, rel=1e-9)
    assert descent_s(scene, plane, Descent(16_123.0, 240.0), Turn(12.0, 1.3)) < whole
    # constant EAS: time = height over sink, summed over sqrt(sigma): 7804.0 m for 10 km, 13 749 m
    # for 30 km (standard atmosphere, computed), when no drag grows with height
    polar = low_demo.craft.polar._replace(reynolds_exponent=0.0)
    ground_air = ask_glide_air(scene.layers, 0)._replace(rho_kgpm3=1.225, tas_per_eas=1.0)
    sink = steady_glide(polar, 12.0, ground_air).sink_mps
    for top_m, integral_m in ((10_000.0, 7_804.0), (30_000.0, 13_749.2)):
        craft = Craft(polar, low_demo.craft.limits, 1.0)
        seconds = descent_s(scene, craft, Descent(top_m, 0.0), Turn(12.0))
        # the layers' gravity falls with height, which makes the sink up to 0.5 % less
        assert seconds * sink == pytest.approx(integral_m, rel=0.004)


def test_quickest_of_a_launch_shifted_home_is_shorter(low_demo: Ensemble, reaches: Reaches) -> None:
    ensemble, begin = low_demo, begun(low_demo)
    east, north = to_field(ensemble, begin.north_rad, begin.east_rad, HOME)
    descent = Descent(begin.amsl_m, 540.0)
    times = [
        quickest_way(reaches, descent, EastNorth(share * east, share * north))[0]
        for share in (0.5, 0.8, 1.0, 1.1)
    ]
    assert times == sorted(times)
    assert times[0] < 0.9 * times[2]


def test_headings_between_the_directions(low_demo: Ensemble) -> None:
    """A place seen under any angle is met: the edge between the 72 directions is interpolated."""
    ensemble = low_demo
    for degrees in (1.0, 2.5, 33.3, 141.7, 268.9):
        angle = np.radians(degrees)
        away = EastNorth(60_000.0 * np.cos(angle), 60_000.0 * np.sin(angle))
        descent = Descent(25_000.0, 540.0)
        if aim(ensemble.reach.reaches.free, descent, away).margin_m < 0.0:
            continue
        spare, way = spare_way(ensemble.reach.reaches.free, 240.0, descent, away)
        begin = Point(0.0, 25_000.0, 0.0, 0.0)
        flown = fly_way(
            ensemble.air.scene,
            Craft(ensemble.craft.polar, ensemble.craft.limits, 1.0),
            way,
            begin,
            spare,
        )
        here = Offset(float(flown.north_rad[-1]), float(flown.east_rad[-1]))
        end = apart_m(ensemble.air.scene.frame, Offset(0.0, 0.0), here)
        assert np.hypot(end.east_m - away.east_m, end.north_m - away.north_m) < 250.0


def test_a_lower_top_speed_dives_slower(low_demo: Ensemble) -> None:
    begin, dive = begun(low_demo), Way(1.0, 0.0, 400.0)
    whole = Craft(low_demo.craft.polar, low_demo.craft.limits, 1.0)
    gentle = Craft(low_demo.craft.polar, low_demo.craft.limits._replace(top_eas_mps=20.0), 1.0)
    fast = fly_way(low_demo.air.scene, whole, dive, begin, 540.0)
    slow = fly_way(low_demo.air.scene, gentle, dive, begin, 540.0)
    assert slow.eas_mps.max() <= 20.0
    assert slow.after_s[-1] > 1.2 * fast.after_s[-1] - 0.2 * begin.t_s


@pytest.mark.parametrize("top_mach", [0.55, 0.25])
def test_a_way_flown_is_as_long_as_the_reach_along_it(low_demo: Ensemble, top_mach: float) -> None:
    """Also where the Mach cap leaves no band: 0.25 is 9.3 m/s EAS at 30 km, and 10.33 is needed.

    Whatever is flown there, table and flight must take the same.
    """
    ensemble = low_demo
    limits = ensemble.craft.limits._replace(top_mach=top_mach)
    support = tabulate(
        ensemble.air.scene.layers, ensemble.craft.polar, limits, FactorRange(1.0, 1.0)
    )
    draws = ensemble.draws._replace(glide_factor=np.ones(1))
    reach = sum_reach(ensemble.air.scene, support, draws, FREE)
    for j in (0, 25, 40):
        angle = 2.0 * np.pi * j / 72.0
        way = Way(float(np.cos(angle)), float(np.sin(angle)), 0.0)
        begin = Point(0.0, 30_000.0, 0.0, 0.0)
        flown = fly_way(
            ensemble.air.scene, Craft(ensemble.craft.polar, limits, 1.0), way, begin, 22_000.0
        )
        end = Offset(float(flown.north_rad[-1]), float(flown.east_rad[-1]))
        east, north = apart_m(ensemble.air.scene.frame, Offset(0.0, 0.0), end)
        edge = support_between(reach, Descent(30_000.0, 22_000.0))[j]
        assert east * way.east + north * way.north == pytest.approx(edge, rel=5e-4)
