"""Over: circles and legs into the wind against a flight in small steps, and faster winds faced."""

from typing import Final, NamedTuple

import numpy as np
import pytest

from farglide.chances.ensemble import Ensemble
from farglide.glider.polar import GlideAir, _steady, steady_glide
from farglide.glider.wing import Polar
from farglide.kernel import door
from farglide.sim.fly.over import Held, LayerGlider, Turn, circle_of, held_in, leg_ratio
from farglide.sim.reach.drawnglider import glide_air

ask_glide_air, ask_steady = door(glide_air), door(_steady)
ask_held, ask_circle, ask_leg_ratio = door(held_in), door(circle_of), door(leg_ratio)
TOP_MPS: Final = 32.0
GENTLE: Final = Turn(11.0, 1.155, 0.0)
FIRM: Final = Turn(0.0, 1.0, 4.5)


@pytest.fixture(scope="module")
def glider(low_demo: Ensemble) -> LayerGlider:
    """Return the demo's glider at 10 km."""
    layers = low_demo.air.scene.layers
    k = int((10_000.0 - layers.base_amsl_m) / layers.step_m)
    return LayerGlider(low_demo.craft.polar, ask_glide_air(layers, k), 1.0)


def held(glider: LayerGlider, turn: Turn, wind_mps: float, top_mps: float = TOP_MPS) -> Held:
    return Held(*ask_held(glider, ask_circle(glider, turn), wind_mps, top_mps))


class Flown(NamedTuple):
    """Where a glider comes to that flies turns and legs in small steps."""

    off_m: float  # farthest from its place at the end of a cycle
    sink_mps: float


def leg_eas_mps(glider: LayerGlider, sink_mps: float, low_mps: float) -> float:
    """Return the fastest straight EAS that sinks no faster than that, one of many."""
    tried = np.linspace(low_mps, TOP_MPS, 20_001)
    sinks = [steady_glide(glider.polar, float(eas), glider.air).sink_mps for eas in tried[::20]]
    coarse = int(np.searchsorted(sinks, sink_mps)) * 20
    near = tried[max(coarse - 20, 0) : coarse + 1]
    slow = [
        e for e in near if steady_glide(glider.polar, float(e), glider.air).sink_mps <= sink_mps
    ]
    return float(slow[-1])


def flown_cycles(glider: LayerGlider, turn: tuple[float, float, float], wind_mps: float) -> Flown:
    """Return how a glider comes down that turns through real circles, then flies straight upwind.

    `turn`: level speed, sink and EAS of the turn. Every cycle loses about 100 m; headings and
    places go on in steps of 0.02 s. A leg lasts until it is level with its place again.
    """
    level, sink, eas = turn
    leg = steady_glide(glider.polar, leg_eas_mps(glider, sink, eas), glider.air)
    x = y = heading = t = lost = off = 0.0
    dt, turning_s = 0.02, 14.0
    for _ in range(8):
        share = wind_mps / leg.level_mps
        n_turns = max(round((1.0 - share) * 100.0 / sink / turning_s), 1)
        for _ in range(round(n_turns * turning_s / dt)):
            middle = heading + np.pi * dt / turning_s
            x += (level * np.cos(middle) + wind_mps) * dt
            y += level * np.sin(middle) * dt
            heading += 2.0 * np.pi * dt / turning_s
            t, lost = t + dt, lost + sink * dt
        while x > 0.0:
            x -= (leg.level_mps - wind_mps) * dt
            t, lost = t + dt, lost + leg.sink_mps * dt
        off = max(off, float(np.hypot(x, y)))
    return Flown(off, lost / t)


@pytest.mark.parametrize("wind_mps", [4.0, 9.0, 14.0])
def test_circles_and_legs_in_small_steps_stay_and_sink_as_told(
    glider: LayerGlider, wind_mps: float
) -> None:
    level, sink = ask_steady(glider.polar, 11.0, glider.air, 1.0, 1.155)
    flown = flown_cycles(glider, (level, sink, 11.0), wind_mps)
    assert flown.off_m < 2.0
    told = held(glider, GENTLE, wind_mps)
    assert told.set_back_mps == 0.0
    assert told.sink_mps == pytest.approx(flown.sink_mps, rel=2e-3)
    assert told.sink_mps == pytest.approx(sink)


def test_the_share_of_legs_is_what_wins_the_drift_back(glider: LayerGlider) -> None:
    for turn in (GENTLE, FIRM):
        circle = ask_circle(glider, turn)
        leg = steady_glide(
            glider.polar, leg_eas_mps(glider, circle.sink_mps, circle.eas_mps), glider.air
        )
        for wind_mps in (0.0, 5.0, 12.0):
            share = ask_leg_ratio(glider, circle, wind_mps, TOP_MPS)
            # what turns drift downwind, legs make upwind
            drift, won = (1.0 - share) * wind_mps, share * (leg.level_mps - wind_mps)
            assert drift == pytest.approx(won, abs=2e-3 * leg.level_mps)
        assert ask_leg_ratio(glider, circle, leg.level_mps * 1.01, TOP_MPS) == 1.0


@pytest.mark.parametrize("wind_mps", [24.0, 30.0, 36.0, 44.0])
def test_a_faster_wind_is_faced_at_the_speed_that_just_holds(
    glider: LayerGlider, wind_mps: float
) -> None:
    many = [
        steady_glide(glider.polar, float(eas), glider.air) for eas in np.linspace(10.4, 32, 4321)
    ]
    just = next(one for one in many if one.level_mps >= wind_mps)
    told = held(glider, GENTLE, wind_mps)
    assert told.set_back_mps == 0.0
    assert told.sink_mps == pytest.approx(just.sink_mps, rel=5e-3)
    # the firm spiral sinks 4.5 m/s EAS, 7.8 there: as fast as facing 38 m/s
    firm = held(glider, FIRM, wind_mps)
    spiral_mps = 4.5 * glider.air.tas_per_eas
    assert firm.sink_mps == pytest.approx(max(just.sink_mps, spiral_mps), rel=5e-3)


def test_beyond_the_fastest_level_speed_it_is_set_back(glider: LayerGlider) -> None:
    # computed by tests/by_hand: at 10 km 48.1 m/s at 32 m/s EAS
    assert held(glider, GENTLE, 48.0).set_back_mps == 0.0
    fastest = steady_glide(glider.polar, TOP_MPS, glider.air)
    # half a layer above 10 km, where the air is thinner by 0.5 %
    assert fastest.level_mps == pytest.approx(48.1 * 1.0027, abs=0.1)
    for turn in (GENTLE, FIRM):
        beaten = held(glider, turn, 55.0)
        assert beaten.set_back_mps == pytest.approx(55.0 - fastest.level_mps)
        assert beaten.sink_mps == pytest.approx(fastest.sink_mps)


def test_with_the_wind_the_sink_grows_without_a_jump(glider: LayerGlider) -> None:
    for turn in (GENTLE, FIRM, Turn(20.0, 1.8, 0.0)):
        sinks = np.array([held(glider, turn, wind / 20.0).sink_mps for wind in range(1200)])
        steps = np.diff(sinks)
        assert steps.min() > -0.01
        # facing more and more steeply: 4 m/s of sink for 1 of wind just before it cannot hold, and
        # the speed is found within a thousandth of the wind
        assert steps[:840].max() < 0.1
        assert steps.max() < 0.2 + 4.0 * 0.001 * 48.0


def test_a_turn_steeper_than_any_straight_glide_has_its_legs_at_the_fastest(
    glider: LayerGlider,
) -> None:
    top_mps = 14.0
    fastest = steady_glide(glider.polar, top_mps, glider.air)
    spiral_mps = 4.5 * glider.air.tas_per_eas
    assert fastest.sink_mps < 0.5 * spiral_mps
    for wind_mps in (0.0, 5.0, 15.0, 30.0):
        share = min(wind_mps / fastest.level_mps, 1.0)
        told = held(glider, FIRM, wind_mps, top_mps)
        mixed = (1.0 - share) * spiral_mps + share * fastest.sink_mps
        assert told.sink_mps == pytest.approx(mixed)
        assert told.set_back_mps == pytest.approx(max(wind_mps - fastest.level_mps, 0.0))
        asked = ask_leg_ratio(glider, ask_circle(glider, FIRM), wind_mps, top_mps)
        assert asked == pytest.approx(share)


def test_where_a_dive_carries_less_a_slower_speed_holds(glider: LayerGlider) -> None:
    """A draggy glider comes most forward below its top speed, where the path is 35 degrees."""
    polar: Polar = glider.polar._replace(zero_lift_drag=0.12)
    draggy, air = glider._replace(polar=polar), GlideAir(*glider.air)
    many = [steady_glide(polar, float(eas), air) for eas in np.linspace(11.0, 32.0, 500)]
    most_mps = max(one.level_mps for one in many)
    assert many[-1].level_mps < 0.5 * most_mps
    told = held(draggy, GENTLE, 0.97 * most_mps)
    just = next(one for one in many if one.level_mps >= 0.97 * most_mps)
    assert told.set_back_mps == 0.0
    assert told.sink_mps == pytest.approx(just.sink_mps, rel=0.01)
    assert held(draggy, GENTLE, 1.2 * most_mps).set_back_mps > 0.0
