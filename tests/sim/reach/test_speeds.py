"""Speeds: the best on a straight track of 2 000, by brute force, and how a track is kept."""

import numpy as np
import pytest

from farglide.chances.ensemble import Ensemble
from farglide.compute import on_threads
from farglide.glider.polar import EasBand, steady_glide
from farglide.kernel import door
from farglide.sim.reach.bearings import EAST, N_BEARING, NORTH, line_to
from farglide.sim.reach.drawnglider import DrawnGlider, glide_air, speed_band
from farglide.sim.reach.speeds import CRAB_RATIO, kept_track, price_row, speed_on, speeds_of

ask_air, ask_band = door(glide_air), door(speed_band)
ask_kept, ask_row = door(kept_track), door(price_row)
ask_speed, ask_line = door(speed_on), door(line_to)
PRICES = np.array([0.0, 8.0, 60.0])


def plane(ensemble: Ensemble) -> DrawnGlider:
    return DrawnGlider(ensemble.craft.polar, ensemble.craft.limits, 1.0)


@pytest.mark.parametrize("k", [10, 60, 98, 150, 250])
@pytest.mark.parametrize("row", [0, 1, 2])
def test_each_makes_as_much_of_a_metre_of_height_as_the_best(
    calm_demo: Ensemble, k: int, row: int
) -> None:
    layers, craft = calm_demo.air.scene.layers, plane(calm_demo)
    speeds = speeds_of(calm_demo.air.scene, craft, PRICES)
    air, band = ask_air(layers, k), ask_band(craft.polar, craft.limits, layers, k)
    eas = np.linspace(band.slowest_mps, band.fastest_mps, 2000)
    glides = [steady_glide(craft.polar, float(one), air) for one in eas]
    level, sink = np.array(glides).T
    u, v = layers.u_mps[0, k], layers.v_mps[0, k]
    price = PRICES[row] / layers.shortening_ratio[k]
    for b in range(N_BEARING):
        along, across = u * EAST[b] + v * NORTH[b], v * EAST[b] - u * NORTH[b]
        left = level**2 - across**2
        made = (np.sqrt(np.maximum(left, 0.0)) + along - price) / sink
        made[left <= 0.0] = -1e9
        flown = np.interp(speeds.eas_mps[row, k, b], eas, made)
        assert flown == pytest.approx(made.max(), abs=2e-4 * (level / sink).max())


def test_the_speeds_are_those_of_the_wind_that_is_known_and_threads_change_no_bit(
    drawn_demo: Ensemble, calm_demo: Ensemble
) -> None:
    """The same for all draws, whatever their errors: nobody knows those."""
    told = drawn_demo.reach.reaches
    again = speeds_of(calm_demo.air.scene, told.craft, told.speeds.price_mps, on_threads(2))
    assert np.array_equal(again.eas_mps, told.speeds.eas_mps)
    assert np.array_equal(again.fastest_mps, told.speeds.fastest_mps)


def test_a_held_speed_is_flown_on_every_bearing(calm_demo: Ensemble) -> None:
    craft = plane(calm_demo)
    held = craft._replace(limits=craft.limits._replace(held_eas_mps=14.0))
    speeds = speeds_of(calm_demo.air.scene, held, PRICES)
    assert speeds.eas_mps[:, :200] == pytest.approx(14.0)
    assert speeds.fastest_mps[:200] == pytest.approx(14.0)


def test_between_bearings_it_changes_evenly(calm_demo: Ensemble) -> None:
    speeds = speeds_of(calm_demo.air.scene, plane(calm_demo), PRICES)
    at = [ask_speed(speeds, 0, 98, ask_line(np.cos(a), np.sin(a))) for a in (0.1, 0.15, 0.19)]
    first, following = speeds.eas_mps[0, 98, :2]
    step = 2.0 * np.pi / N_BEARING
    expected = [first + (following - first) * a / step for a in (0.1, 0.15, 0.19)]
    assert at == pytest.approx(expected, rel=1e-5)


@pytest.mark.parametrize(("price_mps", "row"), [(0.0, 0), (3.9, 0), (4.1, 1), (30.0, 1), (1e4, 2)])
def test_the_nearest_price_is_taken(calm_demo: Ensemble, price_mps: float, row: int) -> None:
    speeds = speeds_of(calm_demo.air.scene, plane(calm_demo), PRICES)
    assert ask_row(speeds, price_mps) == row


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_a_stronger_cross_wind_is_flown_faster_then_not_held(
    calm_demo: Ensemble, sign: float
) -> None:
    craft, layers = plane(calm_demo), calm_demo.air.scene.layers
    air, band = ask_air(layers, 98), EasBand(12.0, 32.0)

    def kept(across_mps: float) -> tuple[float, ...]:
        return tuple(ask_kept(craft.polar, air, 1.0, sign * across_mps, band))

    slow, fast = (steady_glide(craft.polar, eas, air) for eas in (12.0, 32.0))
    assert kept(0.9 * slow.level_mps) == pytest.approx((*slow, 12.0, 0.0))
    level, _, eas, aside = kept(1.3 * slow.level_mps)
    assert aside == 0.0
    assert 1.3 * slow.level_mps / level == pytest.approx(CRAB_RATIO, rel=1e-3)
    assert 12.0 < eas < 32.0
    level, sink, eas, aside = kept(1.2 * fast.level_mps)
    assert (level, sink, eas) == pytest.approx((*fast, 32.0))
    assert aside == pytest.approx(sign * 0.2 * fast.level_mps)
