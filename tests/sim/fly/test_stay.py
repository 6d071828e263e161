"""Stay: ways down over one place: their times, how far they get, and flights that fly the same."""

from typing import Final

import numpy as np
import pytest

from farglide.arrays import FloatArray
from farglide.chances.ensemble import Ensemble
from farglide.errors import InputError
from farglide.glider.polar import speed_to_fly, steady_glide
from farglide.kernel import door
from farglide.sim.core.losses import Fleet
from farglide.sim.core.scene import Scene
from farglide.sim.fly.flight import fly
from farglide.sim.fly.homing import Goal
from farglide.sim.fly.orders import Gear, Orders, gliding
from farglide.sim.fly.over import Turn
from farglide.sim.fly.stay import Flyer, Stay, stay_over
from farglide.sim.reach.drawnglider import DrawnGlider, glide_air
from farglide.sim.reach.reach import Descent
from farglide.sim.reach.speeds import speeds_of

ask_glide_air = door(glide_air)
GROUND_M: Final = 240.0
FIRM: Final = Turn(sink_eas_mps=4.5)


def flyer_of(ensemble: Ensemble, scene: Scene | None = None) -> Flyer:
    own = DrawnGlider(ensemble.craft.polar, ensemble.craft.limits, 1.0)
    return Flyer(own, speeds_of(scene or ensemble.air.scene, own, np.zeros(1)))


def windy(scene: Scene, u_mps: FloatArray | float, v_mps: FloatArray | float = 0.0) -> Scene:
    """Return a scene with other winds, in all layers the same or one for each."""
    layers = scene.layers
    u, v = np.zeros_like(layers.u_mps) + u_mps, np.zeros_like(layers.v_mps) + v_mps
    return scene._replace(layers=layers._replace(u_mps=u, v_mps=v))


def down(ensemble: Ensemble, scene: Scene, from_agl_m: float, turn: Turn) -> Stay:
    descent = Descent(GROUND_M + from_agl_m, GROUND_M)
    return stay_over(scene, flyer_of(ensemble, scene), descent, turn)


def middles_m(scene: Scene) -> FloatArray:
    layers = scene.layers
    middles: FloatArray = layers.base_amsl_m + layers.step_m * (np.arange(len(layers.p_pa)) + 0.5)
    return middles


# --- still air -----------------------------------------------------------------------------------


def test_still_air_takes_the_independent_times(low_demo: Ensemble) -> None:
    # computed by tests/by_hand, from 15.9 km over home in still air: 140 min at best
    # glide, whose EAS aloft is the slowest allowed, 10.33; 39 min in the firm spiral
    calm = windy(low_demo.air.scene, 0.0)
    for turn, minutes in ((Turn(), 140.0), (FIRM, 39.0)):
        stay = down(low_demo, calm, 15_900.0, turn)
        assert stay.seconds / 60.0 == pytest.approx(minutes, abs=1.0)
        assert stay.farthest_m == 0.0
        assert stay.comes_back
        assert stay.between_m(stay.legs_ratio > 0.0) is None


def test_ways_down_add_up_and_turns_cost(low_demo: Ensemble) -> None:
    scene, flyer = low_demo.air.scene, flyer_of(low_demo)
    for turn in (Turn(12.0), FIRM):
        whole = stay_over(scene, flyer, Descent(16_123.0, GROUND_M), turn)
        parts = [
            stay_over(scene, flyer, Descent(*heights), turn).seconds
            for heights in ((16_123.0, 9_050.0), (9_050.0, GROUND_M))
        ]
        assert sum(parts) == pytest.approx(whole.seconds, rel=1e-9)
    calm = windy(scene, 0.0)
    banked = down(low_demo, calm, 16_000.0, Turn(12.0, 1.3)).seconds
    assert banked < down(low_demo, calm, 16_000.0, Turn(12.0)).seconds
    # constant EAS: time = height over sink, summed over sqrt(sigma): 7804.0 m for 10 km, 13 749 m
    # for 30 km (standard atmosphere, computed), when no drag grows with height
    polar = low_demo.craft.polar._replace(reynolds_exponent=0.0)
    ground_air = ask_glide_air(scene.layers, 0)._replace(rho_kgpm3=1.225, tas_per_eas=1.0)
    sink = steady_glide(polar, 12.0, ground_air).sink_mps
    own = flyer._replace(craft=DrawnGlider(polar, low_demo.craft.limits, 1.0))
    for top_m, integral_m in ((10_000.0, 7_804.0), (30_000.0, 13_749.2)):
        seconds = stay_over(calm, own, Descent(top_m, 0.0), Turn(12.0)).seconds
        # the layers' gravity falls with height, which makes the sink up to 0.5 % less
        assert seconds * sink == pytest.approx(integral_m, rel=0.004)


def test_a_height_below_the_air_is_refused(low_demo: Ensemble) -> None:
    with pytest.raises(InputError, match="to_amsl_m is -900 m"):
        stay_over(low_demo.air.scene, flyer_of(low_demo), Descent(5000.0, -900.0), Turn())


# --- in a jet ------------------------------------------------------------------------------------


def gentle_in_jet(ensemble: Ensemble, scene: Scene, from_agl_m: float) -> tuple[float, float]:
    """Return seconds of a flattest descent that stays, and what circles alone would drift, m.

    One layer after the other, by hand: in each the speed of most ground in still air, or the
    slowest of many that is the wind's.
    """
    layers, seconds, drift = scene.layers, 0.0, np.zeros(2)
    for k, z in enumerate(middles_m(scene)):
        low, high = z - 50.0, z + 50.0
        lost = min(high, GROUND_M + from_agl_m) - max(low, GROUND_M)
        if lost <= 0.0:
            continue
        air, polar = ask_glide_air(layers, k), ensemble.craft.polar
        slow = speed_to_fly(polar, air, 30.0)
        sink = steady_glide(polar, slow, air).sink_mps
        wind = np.array([layers.u_mps[0, k], layers.v_mps[0, k]])
        drift += wind * lost / sink
        for eas in np.arange(slow, 32.0, 0.02):
            glide = steady_glide(polar, float(eas), air)
            if glide.level_mps >= np.hypot(*wind):
                break
        seconds += lost / glide.sink_mps
    return seconds, float(np.hypot(*drift))


def test_where_circles_would_drift_a_hundred_kilometres_it_stays(low_demo: Ensemble) -> None:
    """From 13 km down through the demo's jet, made 38 m/s strong."""
    layers = low_demo.air.scene.layers
    share = 38.0 / float(np.hypot(layers.u_mps[0], layers.v_mps[0])[:150].max())
    scene = windy(low_demo.air.scene, share * layers.u_mps, share * layers.v_mps)
    seconds, drift_m = gentle_in_jet(low_demo, scene, 13_000.0)
    assert 100_000.0 < drift_m < 150_000.0
    stay = down(low_demo, scene, 13_000.0, Turn())
    # between two legs a circle drifts for less than 100 m of height
    assert 50.0 < stay.farthest_m < 250.0
    assert stay.away_m[-1] < 1.0
    assert stay.seconds == pytest.approx(seconds, rel=2e-3)
    assert (stay.set_back_mps == 0.0).all()
    faced = stay.between_m(stay.legs_ratio >= 0.999)
    assert faced is not None
    assert faced[0] == pytest.approx(13_000.0, abs=600.0)
    assert faced[1] == pytest.approx(4_400.0, abs=600.0)


def test_a_jet_too_fast_blows_it_off_and_below_it_flies_back(low_demo: Ensemble) -> None:
    """75 m/s between 9 and 10 km, still air around, against the sum by hand."""
    scene, polar = low_demo.air.scene, low_demo.craft.polar
    z = middles_m(scene)
    jet = windy(scene, np.where((z > 9_000.0) & (z < 10_000.0), 75.0, 0.0))
    off_m = seconds = 0.0
    for k in np.flatnonzero((z > 9_000.0) & (z < 10_000.0)):
        glide = steady_glide(polar, 32.0, ask_glide_air(scene.layers, int(k)))
        seconds += 100.0 / glide.sink_mps
        off_m += (75.0 - glide.level_mps) * 100.0 / glide.sink_mps
    stay = down(low_demo, jet, 13_000.0, FIRM)
    assert stay.farthest_m == pytest.approx(off_m, rel=0.01)
    assert 800.0 < off_m < 1500.0
    assert stay.between_m(stay.set_back_mps > 0.0) is not None
    beaten = np.interp([10_000.0, 9_000.0], stay.amsl_m[::-1], stay.after_s[::-1])
    assert np.diff(beaten)[0] == pytest.approx(seconds, rel=0.01)
    assert stay.comes_back
    assert stay.away_m[-1] == 0.0
    # back over its place it turns again, lower by what the way back took
    back = stay.amsl_m[np.flatnonzero(stay.away_m > 1.0)[-1]]
    assert 8_500.0 < back < 9_000.0


def test_what_is_not_won_back_is_told(low_demo: Ensemble) -> None:
    jet = windy(low_demo.air.scene, 60.0)
    stay = down(low_demo, jet, 5_000.0, Turn())
    assert not stay.comes_back
    assert stay.away_m[-1] == pytest.approx(stay.farthest_m)
    assert stay.farthest_m > 5_000.0


def test_the_flown_flight_comes_down_the_same_way(drawn_demo: Ensemble) -> None:
    """Fifty gliders let go 15 km over home in the demo's jet: all land on the field."""
    ensemble, drawn = drawn_demo, drawn_demo.draws
    goals, scene, n = ensemble.goals, ensemble.air.scene, len(drawn.glide_factor)
    goal = Goal(
        north_rad=float(goals.north_rad[0]),
        east_rad=float(goals.east_rad[0]),
        ground_amsl_m=GROUND_M,
        circle_load=1.155,
        circle_eas_mps=11.0,
    )
    orders = Orders(0.0, goal, ensemble.craft.best_eas_mps, 0.2)
    fleet = Fleet(ensemble.craft.polar, ensemble.craft.drop, drawn.glide_factor, drawn.drop_drag)
    flyer = flyer_of(ensemble)
    gear = Gear(ensemble.climbs.balloon, fleet, flyer.speeds, drawn.reaction_s)
    high = np.tile([0.0, 15_000.0 + GROUND_M, goal.north_rad, goal.east_rad], (n, 1))
    ends = fly(scene, drawn.swarm, gear, orders, gliding(high))
    frame = scene.frame
    north = (ends.north_rad - goal.north_rad) * frame.meridian_m
    east = (ends.east_rad - goal.east_rad) * frame.normal_m * frame.cosine
    assert np.hypot(north, east).max() < 500.0
    assert np.median(np.hypot(north, east)) < 1.0
    assert (ends.over_field_amsl_m > 500.0).all()
    alone = stay_over(scene, flyer, Descent(15_000.0 + GROUND_M, GROUND_M), Turn(11.0, 1.155))
    # each in its own wind and with its own glide
    assert np.median(ends.landed_s) == pytest.approx(alone.seconds, rel=0.05)
