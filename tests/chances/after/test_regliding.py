"""Regliding: made-up glides of known truth, and what the draws make of them."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from bench.replays.reglided import (
    Known,
    Truth,
    Way,
    climbed,
    drawn_truth,
    found_in,
    glide_of,
    planned_demo,
)

from farglide.chances.after.regliding import glide_seen, reglided
from farglide.chances.chances import chances_in
from farglide.chances.informed import Informed
from farglide.sim.core.states import GLIDING, States

TOP_M = 20_000.0


@cache
def flight() -> Known:
    return climbed(planned_demo())


def truth(ratio: float, wind: tuple[float, float] = (0.0, 0.0)) -> Truth:
    """Return a truth that is flown as told."""
    log = float(np.log(flight().known.ensemble.draws.glide_factor).mean())
    n = len(flight().known.air.home.sd_mps)
    return Truth(log + np.log(ratio), np.tile(np.array(wind), (n, 1)), 0.0, 0.0)


def way(*heading_rad: float) -> Way:
    return Way(TOP_M, 10, heading_rad)


@pytest.mark.parametrize("ratio", [0.85, 1.0, 1.1])
def test_the_glide_ratio_comes_out_within_seven_per_cent(ratio: float) -> None:
    """As the root mean square of some glides: each meets other air that rises and sinks."""
    chance, off = np.random.default_rng(5), []
    believed = np.log(flight().known.ensemble.draws.glide_factor).mean()
    for _ in range(8):
        glide = glide_of(flight(), truth(ratio), way(0.5, 2.1), chance)
        seen = glide_seen(*flight(), glide, 5.0)
        assert seen is not None
        off.append(np.exp(seen.glide.log_factor - believed) - ratio)
    assert np.sqrt(np.mean(np.square(off))) < 0.07


def test_air_that_rises_all_along_is_told_wider_where_the_flight_says_so() -> None:
    """With 0.5 m/s all along nothing is taken for sure that is not so."""
    known, plain = flight()
    risen = glide_of(
        flight(), truth(1.0)._replace(up_mps=0.5), way(0.5, 2.1), np.random.default_rng(6)
    )
    spec = known.ensemble.sortie
    wavy = replace(spec, doubt=replace(spec.doubt, vertical_mps=1.0))
    waves = known._replace(ensemble=replace(known.ensemble, sortie=wavy))
    seen, wide = (glide_seen(one, plain, risen, 5.0) for one in (known, waves))
    assert seen is not None
    assert wide is not None
    before = np.log(known.ensemble.draws.glide_factor)
    off, off_wide = (one.glide.log_factor - before.mean() for one in (seen, wide))
    assert 0.02 < off < 1.645 * seen.glide.log_factor_sd
    assert off_wide < 0.6 * off
    assert seen.glide.log_factor_sd < wide.glide.log_factor_sd < before.std()


def test_what_is_told_for_nine_in_ten_holds_it() -> None:
    chance, found = np.random.default_rng(11), []
    for _ in range(60):
        drawn = drawn_truth(flight(), chance, (0.05, 0.05))
        seen = glide_seen(*flight(), glide_of(flight(), drawn, way(0.5, 2.1), chance), 5.0)
        assert seen is not None
        found.append(found_in(seen, flight(), drawn))
    assert np.mean([one.factor_is_in for one in found]) > 0.8
    assert np.mean([one.wind_is_in for one in found]) > 0.8
    assert np.median([one.mean_mps for one in found]) < 1.5


def test_draws_move_to_what_was_seen_and_the_chance_with_them() -> None:
    chance = np.random.default_rng(5)
    known, plain = flight()
    south_rad = min(
        np.linspace(0.0, 0.015, 31).tolist(), key=lambda x: abs(_home_ratio(known, x) - 0.5)
    )
    assert 0.2 < _home_ratio(known, south_rad) < 0.8  # from so far about half come home
    ratios = dict[float, float]()
    for ratio in (0.75, 1.2):
        seen = glide_seen(
            known, plain, glide_of(flight(), truth(ratio), way(0.5, 2.1), chance), 5.0
        )
        assert seen is not None
        after = reglided(known, plain, seen)
        log = np.log(after.known.ensemble.draws.glide_factor)
        assert log.mean() == pytest.approx(seen.glide.log_factor, abs=0.03)
        assert log.std() == pytest.approx(seen.glide.log_factor_sd, rel=0.3)
        assert after.plain.draws.glide_factor == pytest.approx(np.exp(seen.glide.log_factor))
        home = after.known.ensemble.draws.swarm.home_east_mps
        k = int(np.searchsorted(known.ensemble.air.column.middles_amsl_m, seen.amsl_m[-1]))
        assert home[:, k].mean() == pytest.approx(after.known.air.home.mean_mps[k, 0], abs=0.6)
        off = after.plain.air.column.layers.u_mps[0, k] - plain.air.column.layers.u_mps[0, k]
        assert off == pytest.approx(seen.glide.wind_mps[-1, 0], abs=0.5)
        ratios[ratio] = _home_ratio(after.known, south_rad)
    assert ratios[0.75] + 0.2 < _home_ratio(known, south_rad) < ratios[1.2] - 0.1


def _home_ratio(known: Informed, south_rad: float) -> float:
    """Return the chance to reach home from 16 km over a place so far south of it."""
    ensemble = known.ensemble
    shape, goals = (len(ensemble.draws.glide_factor), 1), ensemble.goals
    states = States(
        np.full(shape, GLIDING, np.uint8), np.full(shape, 5400.0), np.full(shape, 16_000.0),
        np.full(shape, goals.north_rad[0] - south_rad), np.full(shape, goals.east_rad[0]),
        np.zeros(shape),
    )  # fmt: skip
    return float(chances_in(ensemble, states, goals).reach_ratio[0, 0])


def test_winds_that_are_far_off_move_the_way_home_as_far_as_they_are_told_to() -> None:
    """The belief that is widened for them is the one that they are put back by."""
    known, plain = flight()
    glide = glide_of(flight(), truth(1.0, (8.0, 6.0)), way(0.5, 2.1), np.random.default_rng(5))
    seen = glide_seen(known, plain, glide, 5.0)
    assert seen is not None
    assert seen.glide.wider > 1.0
    after, heights_m = reglided(known, plain, seen), known.ensemble.air.column.middles_amsl_m
    told = np.hypot(*seen.glide.wind_mps.mean(axis=0))
    by_plain = [
        np.interp(seen.amsl_m, heights_m, (one - was)[0]).mean()
        for one, was in (
            (getattr(after.plain.air.scene.layers, name), getattr(plain.air.scene.layers, name))
            for name in ("u_mps", "v_mps")
        )
    ]
    assert np.hypot(*by_plain) == pytest.approx(told, abs=0.5)
    swarm, was = (one.ensemble.draws.swarm for one in (after.known, known))
    by_draws = [
        np.interp(seen.amsl_m, heights_m, (getattr(swarm, name) - getattr(was, name)).mean(axis=0))
        for name in ("home_east_mps", "home_north_mps")
    ]
    assert np.hypot(*np.mean(by_draws, axis=1)) == pytest.approx(told, abs=0.7)
