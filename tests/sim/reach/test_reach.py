"""Reach against the largest of 2 000 airspeeds in every layer, and against what a support must be.

The brute force is plain numpy and shares with the package only the layers' numbers and the drag
law, which has tests of its own.
"""

import math
from dataclasses import replace
from typing import Any, Final

import numpy as np
import pytest
from numpy.typing import NDArray

from farglide.air.layerdoubt import correlated
from farglide.air.layers import Layers
from farglide.chances.ensemble import Ensemble
from farglide.compute import on_threads
from farglide.earth.geodesy import EastNorth
from farglide.errors import InputError
from farglide.glider.wing import Polar
from farglide.sim.core.scene import Scene, Swarm
from farglide.sim.reach.drawnglider import Limits
from farglide.sim.reach.reach import FREE, Descent, Prices, Reach, sum_reach
from farglide.sim.reach.rose import directions, farthest_m, rose_of, support_between
from farglide.sim.reach.support import FactorRange, Support, tabulate

FloatArray = NDArray[np.float64]

N_LAYERS: Final = 300  # from the lowest field up to 30 km
N_SPEED: Final = 2000
TOLERANCE: Final = 3e-4  # of the largest support at each height
ANGLE: Final = 2.0 * np.pi * np.arange(72) / 72.0


def steady(
    layers: Layers, polar: Polar, k: int, eas: FloatArray, factor: float
) -> tuple[FloatArray, FloatArray]:
    """Return level speed and sink in layer k: drag = weight x sine x (1 + slowing), solved."""
    q_area = 0.5 * 1.225 * eas**2 * polar.area_m2
    tas = eas * layers.tas_per_eas[k]
    reynolds = layers.rho_kgpm3[k] * tas * polar.chord_m / layers.viscosity_pas[k]
    growth = np.maximum(polar.reference_reynolds / reynolds, 1.0) ** polar.reynolds_exponent
    weight_n = polar.weight_n * layers.gravity_mps2[k] / 9.80665
    a = q_area * polar.zero_lift_drag * growth / (weight_n * factor)
    b = polar.induced_drag * weight_n / (q_area * factor)
    c = 1.0 + layers.slowing_s2pm2[k] * eas**2
    sine = np.minimum((np.sqrt(c**2 + 4.0 * b * (a + b)) - c) / (2.0 * b), 1.0)
    return tas * np.sqrt(1.0 - sine**2), tas * sine


def band(layers: Layers, polar: Polar, limits: Limits, k: int) -> tuple[float, float]:
    """Return the slowest and the fastest EAS of layer k."""
    low = math.sqrt(2.0 * polar.weight_n / (1.225 * polar.area_m2 * polar.lift_max * 0.8))
    by_mach = limits.top_mach * layers.sound_mps[k] / layers.tas_per_eas[k]
    return low, max(min(limits.top_eas_mps, float(by_mach)), low)


def brute(
    scene: Scene, craft: tuple[Polar, Limits, float], swarm: Swarm, i: int, price: float = 0.0
) -> FloatArray:
    """Return draw i's support from the base to each edge, shape (N_LAYERS + 1, 72)."""
    polar, limits, factor = craft
    layers = scene.layers
    total = np.zeros((N_LAYERS + 1, 72))
    for k in range(N_LAYERS):
        eas = np.linspace(*band(layers, polar, limits, k), N_SPEED)
        level, sink = steady(layers, polar, k, eas, factor)
        sink = sink - swarm.rise_mps[i, k]
        east = layers.u_mps[0, k] + swarm.home_east_mps[i, k]
        north = layers.v_mps[0, k] + swarm.home_north_mps[i, k]
        # the wind's metres shrink on the way down to the ground, those of the price do not
        at_height = price / layers.shortening_ratio[k]
        along = east * np.cos(ANGLE) + north * np.sin(ANGLE) - at_height
        # V_h / s + along / s: a straight line in `along` for each speed, the upper envelope of all
        made = (level / sink)[:, None] + along[None, :] * (1.0 / sink)[:, None]
        total[k + 1] = total[k] + made.max(axis=0) * layers.step_m * layers.shortening_ratio[k]
    return total


def support_of(ensemble: Ensemble) -> Support:
    factors, craft = ensemble.draws.glide_factor, ensemble.craft
    between = FactorRange(float(factors.min()), float(factors.max()))
    return tabulate(ensemble.air.scene.layers, craft.polar, craft.limits, between)


def tables(ensemble: Ensemble, scene: Scene, prices: Prices = FREE) -> Reach:
    return sum_reach(scene, support_of(ensemble), ensemble.draws, prices)


def rising(ensemble: Ensemble, sd_mps: float) -> Ensemble:
    """Return the ensemble whose draws have air that rises and sinks."""
    swarm = ensemble.draws.swarm
    shape = (*swarm.rise_mps.shape[::-1], 1)
    normals = np.random.default_rng(5).standard_normal(shape)
    rise_mps = sd_mps * correlated(normals, np.array([1000.0]), 100.0)[:, :, 0].T
    swarm = swarm._replace(rise_mps=np.ascontiguousarray(rise_mps, dtype=np.float32))
    return replace(ensemble, draws=ensemble.draws._replace(swarm=swarm))


def worst_miss(found: NDArray[Any], expected: FloatArray) -> float:
    """Return the largest error as a share of the largest support at the same height."""
    miss = np.abs(found - expected)[1:].max(axis=1)
    return float((miss / np.abs(expected[1:]).max(axis=1)).max())


def in_wind(scene: Scene, east_mps: float, north_mps: float) -> Scene:
    """Return the scene with the same wind at every height."""
    layers = scene.layers
    still = np.zeros_like(layers.u_mps)
    return scene._replace(layers=layers._replace(u_mps=still + east_mps, v_mps=still + north_mps))


# --- against brute force -------------------------------------------------------------------------


@pytest.mark.parametrize("i", [0, 7, 23])
def test_all_directions_and_heights_against_brute_force(smooth_demo: Ensemble, i: int) -> None:
    ensemble = smooth_demo
    reach = tables(ensemble, ensemble.air.scene)
    craft = (ensemble.craft.polar, ensemble.craft.limits, float(ensemble.draws.glide_factor[i]))
    expected = brute(ensemble.air.scene, craft, ensemble.draws.swarm, i)
    found = directions(reach)[i, : N_LAYERS + 1]
    # drawn winds bend more from layer to layer than the column's own, which alone are asked here
    assert worst_miss(found[1:], expected[1:]) < 4.0 / 3.0 * TOLERANCE
    # the lowest layer has no others to average with: 1 m of 1.6 km
    assert np.abs(found[1] - expected[1]).max() < 1.0


@pytest.mark.parametrize("price", [2.0, 8.0, 22.0, 60.0])
def test_price_of_time_against_brute_force(drawn_demo: Ensemble, price: float) -> None:
    ensemble = drawn_demo
    reach = tables(ensemble, ensemble.air.scene, Prices(np.array([0.5, price]), 1))
    i, n = 11, len(ensemble.draws.glide_factor)
    craft = (ensemble.craft.polar, ensemble.craft.limits, float(ensemble.draws.glide_factor[i]))
    expected = brute(ensemble.air.scene, craft, ensemble.draws.swarm, i, price)
    found = directions(reach._replace(series=reach.series[n + i : n + i + 1]))[0]
    # a share of the reach that counts no time, as the priced one passes through 0; and 5 m
    free = brute(ensemble.air.scene, craft, ensemble.draws.swarm, i).max(axis=1, keepdims=True)
    assert (np.abs(found[: N_LAYERS + 1] - expected) <= 5.0 + TOLERANCE * free).all()


def test_rising_air_against_brute_force(drawn_demo: Ensemble) -> None:
    """First order in the air's rise: with 0.2 m/s (one sd) the error stays below 0.5 %."""
    ensemble, scene = rising(drawn_demo, 0.2), drawn_demo.air.scene
    reach, still = tables(ensemble, scene), tables(rising(drawn_demo, 0.0), scene)
    worst, moved = 0.0, 0.0
    for i in (2, 19):
        craft = (ensemble.craft.polar, ensemble.craft.limits, float(ensemble.draws.glide_factor[i]))
        expected = brute(scene, craft, ensemble.draws.swarm, i)
        # above the lowest kilometre, where two layers of luck decide
        found = directions(reach)[i, 10 : N_LAYERS + 1]
        worst = max(worst, worst_miss(found, expected[10:]))
        moved = max(moved, worst_miss(directions(still)[i, 10 : N_LAYERS + 1], expected[10:]))
    assert worst < 0.005
    assert moved > 4.0 * worst  # most of what the rise does is in the form


@pytest.mark.parametrize(
    ("jet_mps", "tolerance"),
    [
        # the cosine series of a layer has twelve terms: with 36 m/s, the demo's jet, they miss the
        # sum by 0.04 % of the largest support, with 70 m/s by 0.2 %, with 110 m/s (64 m/s of EAS,
        # beyond the table's 60) by 0.3 %
        (36.0, 5e-4),
        (70.0, 2e-3),
        (110.0, 4e-3),
    ],
)
def test_jets_against_brute_force(calm_demo: Ensemble, jet_mps: float, tolerance: float) -> None:
    """A west wind of a quarter of the jet everywhere, and the jet from 8 to 13 km."""
    ensemble = calm_demo
    scene = in_wind(ensemble.air.scene, 0.25 * jet_mps, 0.0)
    scene.layers.u_mps[0, 80:130] = jet_mps
    craft = (ensemble.craft.polar, ensemble.craft.limits, 1.0)
    expected = brute(scene, craft, ensemble.draws.swarm, 0)
    found = directions(tables(ensemble, scene))[0, : N_LAYERS + 1]
    assert worst_miss(found, expected) < tolerance


@pytest.mark.parametrize("factor", [0.35, 0.5, 0.6, 1.0, 1.4])
def test_speeds_so_fast_that_they_are_dives(calm_demo: Ensemble, factor: float) -> None:
    """A poor glider's top speed may lie beyond its terminal speed: no way forward there.

    The best speed must be found all the same, far below it.
    """
    ensemble = calm_demo
    craft = (ensemble.craft.polar, ensemble.craft.limits, factor)
    same = FactorRange(factor, factor)
    support = tabulate(ensemble.air.scene.layers, ensemble.craft.polar, ensemble.craft.limits, same)
    draws = ensemble.draws._replace(glide_factor=np.array([factor]))
    found = directions(sum_reach(ensemble.air.scene, support, draws, FREE))[0, : N_LAYERS + 1]
    expected = brute(ensemble.air.scene, craft, ensemble.draws.swarm, 0)
    assert worst_miss(found, expected) < 5.0 * TOLERANCE


@pytest.mark.parametrize("held_mps", [10.5, 14.0, 25.0])
def test_a_held_speed_reaches_a_circle_that_drifts(calm_demo: Ensemble, held_mps: float) -> None:
    """At one speed the reach is a disc: radius the sum of V_h/s, centre the sum of w/s."""
    ensemble = calm_demo
    limits = ensemble.craft.limits._replace(held_eas_mps=held_mps)
    alone = FactorRange(1.0, 1.0)
    support = tabulate(ensemble.air.scene.layers, ensemble.craft.polar, limits, alone)
    draws = ensemble.draws._replace(glide_factor=np.ones(1))
    reach = sum_reach(ensemble.air.scene, support, draws, FREE)
    radius = east = north = 0.0
    layers = ensemble.air.scene.layers
    for k in range(N_LAYERS):
        fastest = band(layers, ensemble.craft.polar, ensemble.craft.limits, k)[1]
        eas = np.array([min(held_mps, fastest)])
        level, sink = steady(layers, ensemble.craft.polar, k, eas, 1.0)
        metres = layers.step_m * layers.shortening_ratio[k]
        radius += float(level[0] / sink[0]) * metres
        east += float(layers.u_mps[0, k] / sink[0]) * metres
        north += float(layers.v_mps[0, k] / sink[0]) * metres
    expected = radius + east * np.cos(ANGLE) + north * np.sin(ANGLE)
    assert directions(reach)[0, N_LAYERS] == pytest.approx(expected, rel=2e-5, abs=0.5)


# --- what a support function must be -------------------------------------------------------------


def test_every_reach_is_convex(drawn_demo: Ensemble) -> None:
    """Neighbours of a direction bound it: H(n-) + H(n+) >= |n- + n+| H(n)."""
    edges = directions(tables(drawn_demo, drawn_demo.air.scene)).astype(np.float64)
    span = 2.0 * math.cos(2.0 * math.pi / 72.0)
    bend = np.roll(edges, 1, axis=2) + np.roll(edges, -1, axis=2) - span * edges
    largest = edges.max(axis=2, keepdims=True)
    assert (bend >= -TOLERANCE * 0.1 * largest).all()


def test_reach_from_height_to_height_is_convex_and_adds_up(calm_demo: Ensemble) -> None:
    reach = tables(calm_demo, calm_demo.air.scene)
    high, middle, low = 27_350.0, 9_120.0, 540.0
    whole, upper, lower = (
        support_between(reach, Descent(*heights))
        for heights in ((high, low), (high, middle), (middle, low))
    )
    assert upper + lower == pytest.approx(whole, rel=1e-5, abs=1.0)
    for edge in (whole, upper):
        span = 2.0 * math.cos(2.0 * math.pi / 72.0)
        assert (np.roll(edge, 1) + np.roll(edge, -1) >= span * edge - 1e-4 * edge.max()).all()


def test_a_better_glider_reaches_farther_everywhere(drawn_demo: Ensemble) -> None:
    scene, support, draws = drawn_demo.air.scene, support_of(drawn_demo), drawn_demo.draws
    factors = draws.glide_factor
    ends = (np.full_like(factors, factors.min()), np.full_like(factors, factors.max()))
    worse, better = (
        directions(sum_reach(scene, support, draws._replace(glide_factor=f), FREE)) for f in ends
    )
    # Where no speed holds against the wind, a worse glider sinks sooner out of it
    reachable = worse[:, 10:] > 0.0
    assert reachable.mean() > 0.8
    assert (better[:, 10:] > worse[:, 10:])[reachable].all()


def test_calm_air_reaches_a_circle(calm_demo: Ensemble) -> None:
    edges = directions(tables(calm_demo, in_wind(calm_demo.air.scene, 0.0, 0.0)))[0]
    circle = edges.mean(axis=1, keepdims=True)
    assert edges == pytest.approx(np.broadcast_to(circle, edges.shape), rel=1e-5, abs=0.1)
    # of radius the sum of the best glide ratios
    expected = 0.0
    layers = calm_demo.air.scene.layers
    for k in range(N_LAYERS):
        eas = np.linspace(*band(layers, calm_demo.craft.polar, calm_demo.craft.limits, k), N_SPEED)
        level, sink = steady(layers, calm_demo.craft.polar, k, eas, 1.0)
        expected += float((level / sink).max() * layers.step_m * layers.shortening_ratio[k])
    assert circle[N_LAYERS, 0] == pytest.approx(expected, rel=1e-4)


def test_a_price_is_a_headwind_from_everywhere(calm_demo: Ensemble) -> None:
    """Max (V_h - q)/s in calm air is max (V_h + w.n)/s in a wind of q against n."""
    calm, price = in_wind(calm_demo.air.scene, 0.0, 0.0), 13.0
    priced = directions(tables(calm_demo, calm, Prices(np.array([price]), 1)))[0]
    free = directions(tables(calm_demo, calm))[0]
    for j in (0, 9, 30, 55):
        wind = (-price * math.cos(ANGLE[j]), -price * math.sin(ANGLE[j]))
        against = directions(tables(calm_demo, in_wind(calm_demo.air.scene, *wind)))[0]
        # up to the cosine series of the wind: 5 m and 3e-4 of the reach in calm air
        # the wind shrinks on the way to the ground, the price does not: 0.5 % of it at 30 km
        flown = free[:, j] - priced[:, j]
        assert (np.abs(priced[:, j] - against[:, j]) <= 5.0 + 0.005 * flown).all()


def test_a_uniform_wind_carries_the_circle_and_more(calm_demo: Ensemble) -> None:
    """Flown as in calm air, a flight of T seconds ends w T farther: the reach holds all of that.

    For a faint wind that is the whole of it (what is gained by new speeds is of second order).
    """
    calm = in_wind(calm_demo.air.scene, 0.0, 0.0)
    still = directions(tables(calm_demo, calm))[0, N_LAYERS].astype(np.float64)
    layers, time_s = calm.layers, 0.0
    for k in range(N_LAYERS):
        eas = np.linspace(*band(layers, calm_demo.craft.polar, calm_demo.craft.limits, k), N_SPEED)
        level, sink = steady(layers, calm_demo.craft.polar, k, eas, 1.0)
        best = int(np.argmax(level / sink))
        time_s += float(layers.step_m * layers.shortening_ratio[k] / sink[best])
    for wind_mps, rel in ((0.5, 3e-4), (8.0, None)):
        windy = directions(tables(calm_demo, in_wind(calm_demo.air.scene, wind_mps, 0.0)))
        shifted = still + wind_mps * time_s * np.cos(ANGLE)
        found = windy[0, N_LAYERS].astype(np.float64)
        assert (found >= shifted - 2e-4 * still).all()
        if rel is not None:
            assert found == pytest.approx(shifted, rel=rel)
        else:  # against 8 m/s it pays to fly faster
            assert found[36] > shifted[36] + 0.02 * still[36]


def test_wind_from_the_west_carries_east(calm_demo: Ensemble) -> None:
    edges = directions(tables(calm_demo, in_wind(calm_demo.air.scene, 10.0, 0.0)))[0, N_LAYERS]
    assert int(np.argmax(edges)) == 0  # directions count from east
    assert int(np.argmin(edges)) == 36


def by_threes(ensemble: Ensemble) -> tuple[FloatArray, FloatArray]:
    """Return what layers taken by threes add in all directions, and the reach without time."""
    prices, scene = np.array([4.0, 22.0]), ensemble.air.scene
    fine = directions(tables(ensemble, scene, Prices(prices, 1)))
    coarse = directions(tables(ensemble, scene, Prices(prices, 3)))
    same = fine[:, 0 : 3 * coarse.shape[1] : 3][:, : coarse.shape[1]]
    free = directions(tables(ensemble, scene))[:, 0 : 3 * coarse.shape[1] : 3]
    free = np.concatenate([free, free])[:, : coarse.shape[1]].max(axis=2)
    return np.asarray(coarse - same, dtype=np.float64), np.asarray(free, dtype=np.float64)


def test_layers_taken_by_threes_stay_close(smooth_demo: Ensemble) -> None:
    added, free = by_threes(smooth_demo)
    # 300 m thick layers: 0.1 % of the reach that counts no time, and 50 m
    assert (np.abs(added).max(axis=2) <= 50.0 + 1e-3 * free).all()


def test_layers_taken_by_threes_do_not_chase_shallow_errors(drawn_demo: Ensemble) -> None:
    """Who flies one speed through three layers gains nothing from what differs between them."""
    added, free = by_threes(drawn_demo)
    assert (added.max(axis=2) <= 50.0 + 1e-3 * free).all()
    assert -150.0 < added.mean() < 0.0
    assert (added.min(axis=2) >= -150.0 - 1e-3 * free).all()


def test_what_lies_at_the_farthest_is_on_the_edge(calm_demo: Ensemble) -> None:
    """Ten metres farther on, a direction says no; there, all say yes."""
    reach, down = tables(calm_demo, calm_demo.air.scene), Descent(25_000.0, 540.0)
    support = support_between(reach, down, rose_of(360))
    angle = 2.0 * np.pi * np.arange(360) / 360.0
    for degrees in (0.0, 47.0, 133.3, 290.0):
        east, north = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
        most_m = farthest_m(reach, down, EastNorth(1000.0 * east, 1000.0 * north))
        along = east * np.cos(angle) + north * np.sin(angle)
        assert (support - most_m * along).min() == pytest.approx(0.0, abs=20.0)


# --- bits and refusals ---------------------------------------------------------------------------


def test_threads_change_no_bit(drawn_demo: Ensemble) -> None:
    ensemble, factors = drawn_demo, drawn_demo.draws.glide_factor
    found = []
    for n_threads in (1, 2):
        spread = on_threads(n_threads)
        support = tabulate(
            ensemble.air.scene.layers,
            ensemble.craft.polar,
            ensemble.craft.limits,
            FactorRange(float(factors.min()), float(factors.max())),
            spread,
        )
        prices = Prices(np.array([0.0, 8.0]), 1)
        reach = sum_reach(ensemble.air.scene, support, ensemble.draws, prices, spread)
        found.append((support.value, support.slope, reach.series))
    for one, two in zip(*found, strict=True):
        assert np.array_equal(one, two)


@pytest.mark.parametrize("factors", [(0.04, 1.0), (1.2, 1.0), (0.5, 4.1), (math.nan, 1.0)])
def test_glide_factors_out_of_range_are_refused(
    calm_demo: Ensemble, factors: tuple[float, float]
) -> None:
    craft, asked = calm_demo.craft, FactorRange(*factors)
    with pytest.raises(InputError, match=r"glide factors is .*; allowed: 0\.05 to 4, rising"):
        tabulate(calm_demo.air.scene.layers, craft.polar, craft.limits, asked)


@pytest.mark.parametrize("top_mps", [9.0, 10.3, math.nan])
def test_a_top_speed_below_the_slowest_is_refused(calm_demo: Ensemble, top_mps: float) -> None:
    limits = calm_demo.craft.limits._replace(top_eas_mps=top_mps)
    layers, alone = calm_demo.air.scene.layers, FactorRange(1.0, 1.0)
    with pytest.raises(InputError, match=r"top_eas_mps is .* m/s; allowed: 10\.33 m/s or more"):
        tabulate(layers, calm_demo.craft.polar, limits, alone)


@pytest.mark.parametrize("slab", [0, 2, 4, -1])
def test_even_numbers_of_layers_taken_as_one_are_refused(calm_demo: Ensemble, slab: int) -> None:
    with pytest.raises(InputError, match=r"layers taken as one is .*odd"):
        tables(calm_demo, calm_demo.air.scene, Prices(np.zeros(1), slab))
