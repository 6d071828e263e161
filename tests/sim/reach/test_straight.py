"""Straight: what a straight track makes good, against sums in plain numpy over every layer."""

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Final

import numpy as np
import pytest

from farglide.arrays import FloatArray
from farglide.chances.ensemble import Ensemble, with_air
from farglide.compute import on_threads
from farglide.earth.geodesy import EastNorth
from farglide.errors import InputError
from farglide.glider.polar import _slowest_eas, steady_glide
from farglide.kernel import door
from farglide.sim.core.workers import Stretch
from farglide.sim.reach.bearings import EAST, N_BEARING, NORTH
from farglide.sim.reach.drawnglider import glide_air
from farglide.sim.reach.glides import Slabs, glides_of
from farglide.sim.reach.reach import Descent
from farglide.sim.reach.speeds import CRAB_RATIO
from farglide.sim.reach.straight import (
    LEAST_SINK_RATIO,
    Straight,
    made_good,
)
from farglide.sim.reach.support import FactorRange

ask_air = door(glide_air)
N_LAYERS: Final = 300
Blown = Callable[[Ensemble, FloatArray, FloatArray], Ensemble]


def brute(ensemble: Ensemble, i: int, row: int) -> FloatArray:
    """Return draw i's metres up to each edge at one price, by the speeds the crew flies."""
    scene, draws, reaches = ensemble.air.scene, ensemble.draws, ensemble.reach.reaches
    layers, total = scene.layers, np.zeros((N_LAYERS + 1, N_BEARING))
    for k in range(N_LAYERS):
        u = layers.u_mps[0, k] + float(draws.swarm.home_east_mps[i, k])
        v = layers.v_mps[0, k] + float(draws.swarm.home_north_mps[i, k])
        up = float(draws.swarm.rise_mps[i, k])
        air, ground = ask_air(layers, k), float(layers.shortening_ratio[k])
        price = reaches.speeds.price_mps[row] / ground
        for b in range(N_BEARING):
            along, across = u * EAST[b] + v * NORTH[b], v * EAST[b] - u * NORTH[b]
            factor, eas = float(draws.glide_factor[i]), float(reaches.speeds.eas_mps[row, k, b])
            eas = max(eas, float(_slowest_eas(ensemble.craft.polar)))  # as singles it is less
            level, sink = steady_glide(ensemble.craft.polar, eas, air, factor)
            top = float(reaches.speeds.fastest_mps[k])
            while CRAB_RATIO * level < abs(across) and eas < top:  # flown faster
                eas = min(1.0001 * eas, top)
                level, sink = steady_glide(ensemble.craft.polar, eas, air, factor)
            assert abs(across) < level
            net = max(sink - up, LEAST_SINK_RATIO * sink)
            made = (math.sqrt(level**2 - across**2) + along - price) / net
            total[k + 1, b] = total[k, b] + made * layers.step_m * ground
    return total


@pytest.mark.slow
@pytest.mark.parametrize("i", [0, 7, 23])
def test_every_bearing_and_height_against_brute_force(drawn_demo: Ensemble, i: int) -> None:
    free = drawn_demo.reach.reaches.free
    expected = brute(drawn_demo, i, 0)[::2]
    assert free.step_m == 200.0
    most = np.abs(expected).max(axis=1, keepdims=True)
    assert (np.abs(free.made_m[i, : len(expected)] - expected) <= 0.5 + 2e-4 * most).all()


@pytest.mark.slow
@pytest.mark.parametrize("row", [1, 4])
def test_priced_against_brute_force(smooth_demo: Ensemble, row: int) -> None:
    priced, i = smooth_demo.reach.reaches.priced, 11
    n = len(smooth_demo.draws.glide_factor)
    expected, free = brute(smooth_demo, i, row)[::5], brute(smooth_demo, i, 0)[::5]
    found = priced.made_m[(row - 1) * n + i, : len(expected)]
    # layers taken by fives, all at the speed of the middle one: 0.1 % of the way that counts no
    # time and 100 m over all bearings, at worst 300 m more
    most, off = free.max(axis=1, keepdims=True), found - expected
    assert (np.sqrt(np.mean(off**2, axis=1)) <= 100.0 + 1e-3 * most[:, 0]).all()
    assert (np.abs(off) <= 400.0 + 1e-3 * most).all()


@pytest.mark.slow
def test_slabs_do_not_chase_errors_that_change_from_layer_to_layer(drawn_demo: Ensemble) -> None:
    """The mean wind of five layers, not that of the middle one, which is off by 1 % and more.

    Over 14 draws and ways to 380 km: 300 m over all bearings, and 700 m for 99 in 100 of them.
    """
    priced, over = drawn_demo.reach.reaches.priced, []
    for i in range(0, 40, 3):
        expected, free = brute(drawn_demo, i, 1)[::5], brute(drawn_demo, i, 0)[::5]
        off = priced.made_m[i, : len(expected)] - expected
        most = free.max(axis=1, keepdims=True)
        assert (np.sqrt(np.mean(off**2, axis=1)) <= 300.0 + 1e-3 * most[:, 0]).all(), i
        over.append((np.abs(off) - 1e-3 * most).ravel())
    assert np.quantile(np.concatenate(over), 0.99) <= 700.0


def test_between_the_edges_it_is_good_to_metres(smooth_demo: Ensemble) -> None:
    """The table keeps every other edge: what lies between, against the sum of every layer."""
    free, worst = smooth_demo.reach.reaches.free, 0.0
    expected = brute(smooth_demo, 3, 0)
    for edge in range(50, N_LAYERS, 7):
        amsl_m = free.base_amsl_m + 100.0 * edge
        for b in range(0, N_BEARING, 5):
            down = Descent(amsl_m, free.base_amsl_m)
            made = made_good(free, down, EastNorth(float(EAST[b]), float(NORTH[b])), 3)
            worst = max(worst, abs(made.ahead_m - float(expected[edge, b])))
    assert worst < 40.0


def test_ways_between_heights_add_up_and_back_is_the_opposite(calm_demo: Ensemble) -> None:
    free, high, middle, low = calm_demo.reach.reaches.free, 27_350.0, 9_120.0, 540.0
    for degrees in (0.0, 77.7, 201.0, 355.0):
        angle = math.radians(degrees)
        way = EastNorth(1e4 * math.cos(angle), 1e4 * math.sin(angle))
        whole, upper, lower = (
            made_good(free, Descent(*two), way)
            for two in ((high, low), (high, middle), (middle, low))
        )
        assert upper.ahead_m + lower.ahead_m == pytest.approx(whole.ahead_m, abs=1.0)
        back = made_good(free, Descent(high, low), EastNorth(-way.east_m, -way.north_m))
        assert back.ahead_m == pytest.approx(whole.back_m, abs=0.1)
        assert whole.away_m == pytest.approx(1e4)
        assert whole.inside_m == min(whole.ahead_m - whole.away_m, whole.back_m + whole.away_m)
        assert not whole.beaten


def steady_wind(ensemble: Ensemble, blown_by: Blown, east_mps: float) -> Straight:
    layers = ensemble.air.scene.layers
    still = np.zeros_like(layers.u_mps)
    return blown_by(ensemble, still + east_mps, still).reach.reaches.free


def test_the_same_wind_everywhere_is_a_triangle_of_speeds(
    calm_demo: Ensemble, blown_by: Blown
) -> None:
    """Across the wind less is left than in calm air, down it more, up it least."""
    calm, windy = (steady_wind(calm_demo, blown_by, mps).made_m[0, 100] for mps in (0.0, 8.0))
    assert calm == pytest.approx(np.full(N_BEARING, calm.mean()), rel=1e-5)
    assert windy[0] > calm[0] > windy[8] > windy[16]
    assert windy[8] == pytest.approx(windy[24], rel=1e-4)


def test_a_jet_across_marks_the_layers_that_beat_every_speed(
    calm_demo: Ensemble, blown_by: Blown
) -> None:
    layers = calm_demo.air.scene.layers
    east, still = np.zeros_like(layers.u_mps), np.zeros_like(layers.v_mps)
    east[0, 90:110] = 70.0
    free = blown_by(calm_demo, east, still).reach.reaches.free
    base_m = layers.base_amsl_m
    assert free.beaten_amsl_m[0, 8] == pytest.approx([base_m + 9_000.0, base_m + 11_000.0])
    assert free.beaten_amsl_m[0, 0, 0] > free.beaten_amsl_m[0, 0, 1]  # along it: never
    north = EastNorth(0.0, 5e4)
    for heights, beaten in (
        ((25_000.0, 540.0), True), ((10_000.0, 540.0), True), ((25_000.0, 10_500.0), True),
        ((8_900.0, 540.0), False), ((25_000.0, 11_600.0), False),
    ):  # fmt: skip
        assert made_good(free, Descent(*heights), north).beaten is beaten
    assert not made_good(free, Descent(25_000.0, 540.0), EastNorth(5e4, 0.0)).beaten


def test_a_better_glider_gets_farther_on_every_bearing(drawn_demo: Ensemble) -> None:
    factors = drawn_demo.draws.glide_factor
    both = []
    for factor in (factors.min(), factors.max()):
        draws = drawn_demo.draws._replace(glide_factor=np.full_like(factors, factor))
        one = with_air(replace(drawn_demo, draws=draws), drawn_demo.air)
        both.append(one.reach.reaches.free.made_m[:, 10:])
    assert (both[1] > both[0])[both[0] > 0.0].all()


def test_threads_change_no_bit(drawn_demo: Ensemble) -> None:
    one = drawn_demo.reach.reaches
    two = with_air(replace(drawn_demo, workers=on_threads(2)), drawn_demo.air).reach.reaches
    for a, b in zip((*one.free, *one.priced), (*two.free, *two.priced), strict=True):
        assert np.array_equal(a, b)


@pytest.mark.parametrize("factors", [(0.04, 1.0), (1.2, 1.0), (0.5, 4.1), (math.nan, 1.0)])
def test_glide_factors_out_of_range_are_refused(
    calm_demo: Ensemble, factors: tuple[float, float]
) -> None:
    reaches, asked = calm_demo.reach.reaches, FactorRange(*factors)
    with pytest.raises(InputError, match=r"glide factors is .*; allowed: 0\.05 to 4, rising"):
        glides_of(
            calm_demo.air.scene, reaches.craft, reaches.speeds, Slabs(1, 1), Stretch(0, 1), asked
        )


@pytest.mark.parametrize("slab", [0, 2, 4, -1])
def test_even_numbers_of_layers_taken_as_one_are_refused(calm_demo: Ensemble, slab: int) -> None:
    reaches, alone = calm_demo.reach.reaches, FactorRange(1.0, 1.0)
    with pytest.raises(InputError, match=r"layers taken as one is .*odd"):
        glides_of(
            calm_demo.air.scene, reaches.craft, reaches.speeds, Slabs(slab, 1), Stretch(0, 1), alone
        )
