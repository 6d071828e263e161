"""Spares: the height over each field of many draws, against the single flight's."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.chances.stage import Stage
from farglide.compute import on_threads
from farglide.plan.home.homeward import spare_m
from farglide.sim.core.release import begin_glide
from farglide.sim.core.step import apart_m
from farglide.sim.fly.passage import aim, spare_way
from farglide.sim.reach.doors import floors_of
from farglide.sim.reach.reach import FREE, sum_reach
from farglide.sim.reach.rose import COARSE, LANES, _along, _margin, _support_at
from farglide.sim.reach.spares import spares

_along_each = _along.py_func  # type: ignore[attr-defined]


def _inside_m(high: np.ndarray, low: np.ndarray, along: np.ndarray) -> float:  # type: ignore[type-arg]
    return float(_margin.py_func(high, low, along, np.empty(LANES, np.float32)))  # type: ignore[attr-defined]


HOME, TANSY, BRACKMOOR, CORRAND = range(4)


def spares_at(stage: Stage, moment: int, n_threads: int = 1) -> np.ndarray:  # type: ignore[type-arg]
    return spares(
        stage.scene,
        (stage.drawn.swarm, stage.losses, stage.haste),
        (stage.tracks, moment),
        stage.ways.free,
        (stage.goals, floors_of(stage.ways, stage.goals)),
        on_threads(n_threads),
    )


def moment_of(stage: Stage, minutes: float) -> int:
    return round(60.0 * minutes / stage.tracks.step_s)


@pytest.mark.parametrize("minutes", [20.0, 65.0, 70.0, 76.0, 80.0])
def test_without_errors_it_is_the_spare_height_of_the_single_flight(
    calm_stage: Stage, minutes: float
) -> None:
    moment = moment_of(calm_stage, minutes)
    found = spares_at(calm_stage, moment)[0]
    for field in range(4):
        single = spare_m(calm_stage, moment, field)
        assert np.isnan(found[field]) == np.isnan(single)
        if np.isfinite(single):
            assert found[field] == pytest.approx(single, abs=60.0)


def test_the_independent_figures_from_t_76(plain_stage: Stage) -> None:
    # computed once by an independent script: 15.9, 19.7, 22.7, 24.0 km, +-2 %
    found = spares_at(plain_stage, moment_of(plain_stage, 76.0))[0]
    assert found / 1e3 == pytest.approx([15.9, 19.7, 22.7, 24.0], rel=0.02)


def test_out_of_reach_and_after_the_track_it_is_nan(plain_stage: Stage) -> None:
    # home is shut from T+28.5 to T+62.5, the others are open at T+55
    found = spares_at(plain_stage, moment_of(plain_stage, 45.0))[0]
    assert np.isnan(found[HOME])
    assert np.isfinite(found[[BRACKMOOR, CORRAND]]).all()
    gone = plain_stage.tracks.amsl_m.copy()
    gone[0, 100] = np.nan
    lost = plain_stage.tracks._replace(amsl_m=gone)
    off = spares(
        plain_stage.scene,
        (plain_stage.drawn.swarm, plain_stage.losses, plain_stage.haste),
        (lost, 100),
        plain_stage.ways.free,
        (plain_stage.goals, floors_of(plain_stage.ways, plain_stage.goals)),
    )
    assert np.isnan(off).all()


def test_over_a_jet_height_is_spare_only_where_it_can_be_held(plain_stage: Stage) -> None:
    """In a jet of 80 m/s from 4 to 6 km nobody stays over a field, so height above is not spare."""
    stage = plain_stage
    layers = stage.scene.layers
    east, north = layers.u_mps.copy(), layers.v_mps.copy()
    east[0, 40:60], north[0, 40:60] = 80.0, 0.0
    scene = stage.scene._replace(layers=layers._replace(u_mps=east, v_mps=north))
    swarm = (stage.drawn.swarm, stage.drawn.glide_factor)
    free = sum_reach(scene, stage.support, swarm, FREE)
    ways = stage.ways._replace(free=free)
    goals, moment = stage.goals, moment_of(stage, 76.0)
    found = spares(
        scene,
        (stage.drawn.swarm, stage.losses, stage.haste),
        (stage.tracks, moment),
        free,
        (goals, floors_of(ways, goals)),
    )[0]
    tracks = stage.tracks
    at = (0, tracks.amsl_m[0, moment], tracks.north_rad[0, moment], tracks.east_rad[0, moment])
    z, n, e, _ = begin_glide(scene, stage.drawn.swarm, stage.losses, stage.haste, at)
    assert np.isfinite(found).any()
    for field in np.nonzero(np.isfinite(found))[0]:
        ground = float(goals.ground_amsl_m[field])
        top = ground + found[field]
        assert aim(free, (top - 20.0, ground), (0.0, 0.0))[0] >= 0.0
        goal = (float(goals.north_rad[field]), float(goals.east_rad[field]))
        offset = apart_m(scene.frame, (n, e), goal)
        single, _ = spare_way(free, ground, (float(z), float(goals.arrival_amsl_m[field])), offset)
        assert top >= single - 60.0
        assert aim(free, (float(z), top - 60.0), offset)[0] >= -200.0


@pytest.mark.parametrize("seed", range(4))
def test_in_wild_winds_it_never_promises_height_out_of_reach(drawn_stage: Stage, seed: int) -> None:
    """Layers of up to 120 m/s, each from anywhere: heights may be missed, none is made up."""
    stage, rng = drawn_stage, np.random.default_rng(seed)
    layers = stage.scene.layers
    n, speed = len(layers.rho_kgpm3), rng.uniform(0.0, (40.0, 80.0, 120.0)[seed % 3], 20)
    towards, place = rng.uniform(0.0, 2.0 * np.pi, 20), np.linspace(0.0, 19.0, n)
    east = np.interp(place, np.arange(20), speed * np.sin(towards))[None, :]
    north = np.interp(place, np.arange(20), speed * np.cos(towards))[None, :]
    scene = stage.scene._replace(layers=layers._replace(u_mps=east, v_mps=north))
    free = sum_reach(scene, stage.support, (stage.drawn.swarm, stage.drawn.glide_factor), FREE)
    ways, moment = stage.ways._replace(free=free), moment_of(stage, 70.0)
    windy = replace(stage, scene=scene, ways=ways)
    found, tracks, goals = spares_at(windy, moment), stage.tracks, stage.goals
    assert np.isfinite(found).sum() >= 10
    for i, f in zip(*np.nonzero(np.isfinite(found)), strict=True):
        at = (i, tracks.amsl_m[i, moment], tracks.north_rad[i, moment], tracks.east_rad[i, moment])
        z, n_rad, e_rad, _ = begin_glide(scene, stage.drawn.swarm, stage.losses, stage.haste, at)
        goal = (float(goals.north_rad[f]), float(goals.east_rad[f]))
        offset = apart_m(scene.frame, (n_rad, e_rad), goal)
        spare_amsl_m = found[i, f] + float(goals.ground_amsl_m[f])
        heights = (float(z), max(spare_amsl_m - 50.0, float(goals.arrival_amsl_m[f])))
        assert aim(free, heights, offset, row=int(i))[0] >= -250.0


@pytest.mark.parametrize("minutes", [50.0, 65.0, 80.0])
def test_the_search_finds_the_height_of_a_fine_scan(drawn_stage: Stage, minutes: float) -> None:
    """From above, step by step of 20 m: the greatest height still inside the reach."""
    stage, moment = drawn_stage, moment_of(drawn_stage, minutes)
    found = spares_at(stage, moment)
    tracks, free = stage.tracks, stage.ways.free
    n_seen = 0
    for i in range(0, len(found), 5):
        at = (i, tracks.amsl_m[i, moment], tracks.north_rad[i, moment], tracks.east_rad[i, moment])
        z, n, e, _ = begin_glide(stage.scene, stage.drawn.swarm, stage.losses, stage.haste, at)
        high, low = np.empty_like(COARSE.east), np.empty_like(COARSE.east)
        _support_at(free, i, z, COARSE, high)
        for f in np.nonzero(np.isfinite(found[i]))[0]:
            goal = (float(stage.goals.north_rad[f]), float(stage.goals.east_rad[f]))
            d_east, d_north = apart_m(stage.scene.frame, (n, e), goal)
            along = np.empty_like(COARSE.east)
            _along_each(COARSE, d_east, d_north, along)
            scan = np.arange(float(stage.goals.arrival_amsl_m[f]), z, 20.0)
            inside = np.empty(len(scan), dtype=bool)
            for k, amsl_m in enumerate(scan):
                _support_at(free, i, amsl_m, COARSE, low)
                inside[k] = _inside_m(high, low, along) >= 0.0
            turns = scan[1:][inside[:-1] & ~inside[1:]]  # a jet may leave more than one
            expected = turns if len(turns) else scan[-1:]
            spare = found[i, f] + float(stage.goals.ground_amsl_m[f])
            assert np.abs(expected - spare).min() < 60.0
            n_seen += 1
    assert n_seen > 20


def test_draws_differ_and_threads_do_not(drawn_stage: Stage) -> None:
    moment = moment_of(drawn_stage, 76.0)
    one, two = spares_at(drawn_stage, moment), spares_at(drawn_stage, moment, 2)
    assert one.tobytes() == two.tobytes()
    assert one.shape == (50, 4)
    home = one[:, HOME]
    home = home[np.isfinite(home)]
    assert len(home) > 25
    assert home.std() > 500.0


def test_a_better_glider_keeps_more_height(drawn_stage: Stage) -> None:
    stage, moment = drawn_stage, moment_of(drawn_stage, 76.0)
    factor = stage.drawn.glide_factor
    better = np.minimum(1.05 * factor, factor.max())
    free = sum_reach(stage.scene, stage.support, (stage.drawn.swarm, better), FREE)
    more = spares_at(replace(stage, ways=stage.ways._replace(free=free)), moment)
    less = spares_at(stage, moment)
    both = np.isfinite(less)
    assert np.isfinite(more[both]).all()
    assert (more[both] > less[both] - 25.0).all()
    gained = (more - less)[:, HOME][both[:, HOME]]
    # 8 km of height are spent on the way home, 5 % of them are saved
    assert np.median(gained) == pytest.approx(400.0, abs=200.0)
