"""Spares: the height over each field of many draws, against the single flight's."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from farglide.arrays import FloatArray
from farglide.chances.ensemble import Ensemble, with_air
from farglide.compute import on_threads
from farglide.earth.geodesy import EastNorth
from farglide.plan.home.homeward import spare_m
from farglide.sim.core.release import begin_glide, field_offset
from farglide.sim.core.states import States, states_of_climbs
from farglide.sim.core.step import Offset, apart_m
from farglide.sim.core.tracks import Point
from farglide.sim.fly.passage import held_amsl_m, spare_amsl_m
from farglide.sim.reach.doors import floors_of
from farglide.sim.reach.reach import Descent
from farglide.sim.reach.spares import spares
from farglide.sim.reach.straight import made_good

HOME, TANSY, BRACKMOOR, CORRAND = range(4)
Blown = Callable[[Ensemble, FloatArray, FloatArray], Ensemble]


def states_at_moment(ensemble: Ensemble, moment: int) -> States:
    climbs = ensemble.climbs
    return states_of_climbs(climbs.tracks, climbs.burst_share, np.array([moment]))


def spares_at(ensemble: Ensemble, moment: int, n_threads: int = 1) -> np.ndarray:  # type: ignore[type-arg]
    return spares(
        ensemble.air.scene,
        ensemble.released,
        states_at_moment(ensemble, moment),
        ensemble.reach.reaches,
        floors_of(ensemble.air.scene, ensemble.released, ensemble.reach.reaches, ensemble.goals),
        on_threads(n_threads),
    )


def begun(ensemble: Ensemble, i: int, moment: int) -> Point:
    """Return where the glide of a draw begins that is released at a moment."""
    tracks = ensemble.climbs.tracks
    place = (tracks.amsl_m[i, moment], tracks.north_rad[i, moment], tracks.east_rad[i, moment])
    at = Point(moment * tracks.step_s, *place)
    return begin_glide(ensemble.air.scene, ensemble.released, i, at)


def to_field(ensemble: Ensemble, at: Point, field: int) -> EastNorth:
    """Return how far away a field is."""
    here, goal = Offset(at.north_rad, at.east_rad), field_offset(ensemble.goals, field)
    return apart_m(ensemble.air.scene.frame, here, goal)


def moment_of(ensemble: Ensemble, minutes: float) -> int:
    return round(60.0 * minutes / ensemble.climbs.tracks.step_s)


@pytest.mark.parametrize("minutes", [20.0, 65.0, 70.0, 76.0, 80.0])
def test_without_errors_it_is_the_spare_height_of_the_single_flight(
    calm_demo: Ensemble, minutes: float
) -> None:
    moment = moment_of(calm_demo, minutes)
    found = spares_at(calm_demo, moment)[0]
    for field in range(4):
        single = spare_m(calm_demo, moment, field)
        assert np.isnan(found[field]) == np.isnan(single)
        if np.isfinite(single):
            assert found[field] == pytest.approx(single, abs=60.0)


def test_the_independent_figures_from_t_76(low_demo: Ensemble) -> None:
    # computed by tests/by_hand: 15.9, 19.7, 22.7, 24.0 km, +-2 %
    found = spares_at(low_demo, moment_of(low_demo, 76.0))[0]
    assert found / 1e3 == pytest.approx([15.9, 19.7, 22.7, 24.0], rel=0.02)


def test_out_of_reach_and_after_the_track_it_is_nan(low_demo: Ensemble) -> None:
    # home is shut from T+28.5 to T+62.5, the others are open at T+55
    found = spares_at(low_demo, moment_of(low_demo, 45.0))[0]
    assert np.isnan(found[HOME])
    assert np.isfinite(found[[BRACKMOOR, CORRAND]]).all()
    gone = low_demo.climbs.tracks.amsl_m.copy()
    gone[0, 100] = np.nan
    lost = low_demo.climbs.tracks._replace(amsl_m=gone)
    falling = replace(low_demo, climbs=replace(low_demo.climbs, tracks=lost))
    off = spares(
        low_demo.air.scene,
        low_demo.released,
        states_at_moment(falling, 100),
        low_demo.reach.reaches,
        floors_of(low_demo.air.scene, low_demo.released, low_demo.reach.reaches, low_demo.goals),
    )
    assert np.isnan(off).all()


def test_over_a_jet_height_is_spare_only_where_it_can_be_held(
    low_demo: Ensemble, blown_by: Blown
) -> None:
    """In a jet of 80 m/s from 4 to 6 km nobody stays over a field, so height above is not spare."""
    layers = low_demo.air.scene.layers
    east, north = layers.u_mps.copy(), layers.v_mps.copy()
    # home lies to the north-west: along the way, where it sets nobody aside
    east[0, 40:60], north[0, 40:60] = -80.0 * np.sqrt(0.5), 80.0 * np.sqrt(0.5)
    ensemble = blown_by(low_demo, east, north)
    moment = moment_of(ensemble, 76.0)
    spare_m = spares_at(ensemble, moment)[0, HOME]
    top = float(ensemble.goals.ground_amsl_m[HOME]) + spare_m
    # from above it would be blown off for good, from its lower edge it can be held
    assert top == pytest.approx(4000.0, abs=50.0)


@pytest.mark.parametrize("seed", range(4))
def test_in_wild_winds_it_never_promises_height_out_of_reach(
    drawn_demo: Ensemble, blown_by: Blown, seed: int
) -> None:
    """Layers of up to 60 m/s, each from anywhere: heights may be missed, none is made up."""
    rng = np.random.default_rng(seed)
    n, speed = len(drawn_demo.air.scene.layers.rho_kgpm3), (25.0, 45.0, 60.0)[seed % 3]
    speeds, towards = rng.uniform(0.0, speed, 20), rng.uniform(0.0, 2.0 * np.pi, 20)
    speeds[0] = 5.0  # at the ground, where a field has to be held
    place = np.linspace(0.0, 19.0, n)
    east = np.interp(place, np.arange(20), speeds * np.sin(towards))[None, :]
    north = np.interp(place, np.arange(20), speeds * np.cos(towards))[None, :]
    windy, moment = blown_by(drawn_demo, east, north), moment_of(drawn_demo, 70.0)
    found, goals = spares_at(windy, moment), windy.goals
    assert np.isfinite(found).sum() >= 3
    for i, f in zip(*np.nonzero(np.isfinite(found)), strict=True):
        at = begun(windy, int(i), moment)
        spare_amsl_m = found[i, f] + float(goals.ground_amsl_m[f])
        down = Descent(at.amsl_m, spare_amsl_m)
        made = made_good(windy.reach.reaches.free, down, to_field(windy, at, int(f)), int(i))
        assert made.inside_m >= -1.0


@pytest.mark.parametrize("minutes", [50.0, 65.0, 80.0])
def test_the_search_finds_the_height_of_a_fine_scan(drawn_demo: Ensemble, minutes: float) -> None:
    """From above, step by step of 20 m: the greatest height still inside the reach."""
    ensemble, moment = drawn_demo, moment_of(drawn_demo, minutes)
    found, free, n_seen = spares_at(ensemble, moment), ensemble.reach.reaches.free, 0
    for i in range(0, len(found), 5):
        at = begun(ensemble, i, moment)
        for f in np.nonzero(np.isfinite(found[i]))[0]:
            away = to_field(ensemble, at, int(f))
            scan = np.arange(float(ensemble.goals.arrival_amsl_m[f]), at.amsl_m, 20.0)
            downs = [Descent(at.amsl_m, float(amsl_m)) for amsl_m in scan]
            inside = np.array([made_good(free, down, away, i).inside_m >= 0.0 for down in downs])
            turns = scan[1:][inside[:-1] & ~inside[1:]]  # a jet may leave more than one
            expected = turns if len(turns) else scan[-1:]
            spare = found[i, f] + float(ensemble.goals.ground_amsl_m[f])
            assert np.abs(expected - spare).min() < 60.0
            n_seen += 1
    assert n_seen > 20


def test_the_plan_s_own_search_agrees(calm_demo: Ensemble) -> None:
    moment = moment_of(calm_demo, 76.0)
    at, found = begun(calm_demo, 0, moment), spares_at(calm_demo, moment)[0]
    reaches, goals = calm_demo.reach.reaches, calm_demo.goals
    for f in range(4):
        ground_m = float(goals.ground_amsl_m[f])
        factor = float(calm_demo.draws.glide_factor[0])
        top_m = held_amsl_m(calm_demo.air.scene, reaches, factor, Descent(at.amsl_m, ground_m))
        down = Descent(at.amsl_m, float(goals.arrival_amsl_m[f]))
        one_m = spare_amsl_m(reaches, down, top_m, to_field(calm_demo, at, f)) - ground_m
        assert found[f] == pytest.approx(one_m, abs=30.0)


def test_draws_differ_and_threads_do_not(drawn_demo: Ensemble) -> None:
    moment = moment_of(drawn_demo, 76.0)
    one, two = spares_at(drawn_demo, moment), spares_at(drawn_demo, moment, 2)
    assert one.tobytes() == two.tobytes()
    assert one.shape == (50, 4)
    home = one[:, HOME]
    home = home[np.isfinite(home)]
    assert len(home) > 25
    assert home.std() > 500.0


def test_a_better_glider_keeps_more_height(drawn_demo: Ensemble) -> None:
    ensemble, moment = drawn_demo, moment_of(drawn_demo, 76.0)
    factor = ensemble.draws.glide_factor
    better = np.minimum(1.05 * factor, factor.max())
    draws = ensemble.draws._replace(glide_factor=better)
    more = spares_at(with_air(replace(ensemble, draws=draws), ensemble.air), moment)
    less = spares_at(ensemble, moment)
    both = np.isfinite(less)
    assert np.isfinite(more[both]).all()
    assert (more[both] > less[both] - 25.0).all()
    gained = (more - less)[:, HOME][both[:, HOME]]
    # 8 km of height are spent on the way home, 5 % of them are saved
    assert np.median(gained) == pytest.approx(400.0, abs=200.0)
