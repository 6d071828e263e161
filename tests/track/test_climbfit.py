"""Climb fit: a truth put in by hand is found again, and nothing else moves."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.chances.ensemble import Ensemble, drawn_ensemble, plain_climbs
from farglide.errors import InputError
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Sortie
from farglide.track.climbfit import Timed, fitted, timed_climb, wave_mps
from farglide.track.drift import Been

GRAIN = Grain(n_draws=400, clock_s=30.0, prices_mps=(8.0,), slab=5)


@pytest.fixture(scope="module")
def ensemble(sortie: Sortie, demo_sounding: Sounding) -> Ensemble:
    return drawn_ensemble(sortie, demo_sounding, GRAIN)


def climbed(sortie: Sortie, winds: Sounding, minutes: int) -> Been:
    """Return the error-free climb of a sortie, a fix each half minute."""
    tracks = plain_climbs(sortie, winds, GRAIN).tracks
    at = slice(0, 2 * minutes + 1)
    t_s = tracks.step_s * np.arange(tracks.amsl_m.shape[1])
    return Been(t_s[at], *(one[0, at] for one in tracks.places))


def moved(ensemble: Ensemble, been: Been) -> tuple[np.ndarray, np.ndarray]:  # type: ignore[type-arg]
    """Return each draw's climb factor at 22 km over its drag's root, before and after."""
    timed = timed_climb(been)
    z = np.random.default_rng(3).standard_normal((400, len(timed.seconds)))
    swarm = ensemble.draws.swarm
    after = fitted(swarm, ensemble.climbs.tracks, timed, z)
    return tuple(one.climb_factor[:, 4] / np.sqrt(one.drag_factor) for one in (swarm, after))  # type: ignore[return-value]


def test_a_drag_ten_per_cent_larger_is_found_within_five(
    sortie: Sortie, demo_sounding: Sounding, ensemble: Ensemble
) -> None:
    """By T+30: a balloon climbs as the root of its drag."""
    drag = sortie.balloon.drag_factor
    truth = replace(sortie, balloon=replace(sortie.balloon, drag_factor=replace(drag, value=1.1)))
    before, after = moved(ensemble, climbed(truth, demo_sounding, 30))
    asked = 1.1**-0.5
    assert after.mean() == pytest.approx(before.mean() * asked, rel=0.025)  # 5 % of drag
    assert after.std() < 0.75 * before.std()
    assert np.abs(np.log(after / asked)).mean() < np.abs(np.log(before / asked)).mean()


def test_a_climb_as_planned_narrows_and_moves_nothing(
    sortie: Sortie, demo_sounding: Sounding, ensemble: Ensemble
) -> None:
    before, after = moved(ensemble, climbed(sortie, demo_sounding, 40))
    assert after.mean() == pytest.approx(before.mean(), rel=0.015)
    assert after.std() < 0.75 * before.std()


def test_a_neck_lift_two_hundred_grams_off_shows_by_five_minutes(
    sortie: Sortie, demo_sounding: Sounding
) -> None:
    """Told with a doubt of 0.15 kg, the fill is found within 0.15 kg of what was in."""
    neck = sortie.balloon.neck_lift_kg
    doubted, truth = (
        replace(sortie, balloon=replace(sortie.balloon, neck_lift_kg=one))
        for one in (replace(neck, sd=0.15), replace(neck, value=neck.value + 0.2))
    )
    ensemble = drawn_ensemble(doubted, demo_sounding, GRAIN)
    timed = timed_climb(climbed(truth, demo_sounding, 5))
    z = np.random.default_rng(3).standard_normal((400, len(timed.seconds)))
    after = fitted(ensemble.draws.swarm, ensemble.climbs.tracks, timed, z)
    lifted_kg = neck.value + sortie.balloon.mass_kg
    necks = [lifted_kg * one.gas_kg.mean() / ensemble.climbs.fill.gas_kg - sortie.balloon.mass_kg
             for one in (ensemble.draws.swarm, after)]  # fmt: skip
    assert necks[0] == pytest.approx(neck.value, abs=0.02)
    assert necks[1] == pytest.approx(neck.value + 0.2, abs=0.15)
    assert necks[1] > necks[0] + 0.05


def test_waves_in_the_air_move_it_no_farther_than_it_says(
    sortie: Sortie, demo_sounding: Sounding, ensemble: Ensemble
) -> None:
    """Air rising and sinking by 1 m/s over minutes: half an hour's mean is off by 0.4 m/s of 5."""
    calm = climbed(sortie, demo_sounding, 30)
    rng, off = np.random.default_rng(11), []
    keep = np.exp(-30.0 / 180.0)
    for _ in range(20):
        wave = np.zeros(len(calm.t_s))
        for k in range(1, len(wave)):
            wave[k] = keep * wave[k - 1] + np.sqrt(1.0 - keep**2) * rng.standard_normal()
        shaken = calm._replace(amsl_m=calm.amsl_m + np.cumsum(30.0 * wave) - 30.0 * wave[0])
        before, after = moved(ensemble, shaken)
        off.append((after.mean() - before.mean()) / after.std())
    assert np.sqrt(np.mean(np.square(off))) < 1.2
    assert abs(np.mean(off)) < 0.5


def test_how_unsteady_the_air_is_shows_in_the_climb() -> None:
    rng, n = np.random.default_rng(2), 400
    middle_s, seconds = 100.0 * np.arange(n), np.full(n, 100.0)
    for real_mps in (0.0, 0.5, 1.0):
        fine = np.zeros(20 * n)  # every 5 s
        for k in range(1, len(fine)):
            step = np.exp(-5.0 / 180.0)
            fine[k] = step * fine[k - 1] + np.sqrt(1.0 - step**2) * rng.standard_normal()
        speed = 5.0 + real_mps * fine.reshape(n, 20).mean(axis=1)
        timed = Timed(np.zeros(n), speed * seconds, seconds, middle_s)
        found = wave_mps(timed, 5.0 * seconds)
        assert found == pytest.approx(real_mps, abs=0.15)
    none = Timed(*(np.zeros(0) for _ in range(4)))
    assert wave_mps(none, np.zeros(0)) == pytest.approx(0.3)


def test_stretches_without_a_climb_are_left_out() -> None:
    t = 60.0 * np.arange(60.0)
    rising = np.minimum(5.0 * t, 6000.0) + 0.29 * np.maximum(t - 1200.0, 0.0)
    timed = timed_climb(Been(t, rising, 0 * t, 0 * t))
    assert (timed.low_amsl_m + timed.climbed_m).max() <= 6100.0
    np.testing.assert_allclose(timed.speed_mps[:-1], 5.0)
    assert timed_climb(Been(*(one[:0] for one in (t, t, t, t)))).seconds.shape == (0,)


def test_nothing_timed_moves_nothing(ensemble: Ensemble) -> None:
    none = Timed(*(np.zeros(0) for _ in range(4)))
    swarm = ensemble.draws.swarm
    assert fitted(swarm, ensemble.climbs.tracks, none, np.zeros((400, 0))) is swarm
    beyond = Timed(np.full(1, 60e3), np.full(1, 1e3), np.full(1, 200.0), np.full(1, 9e3))
    assert fitted(swarm, ensemble.climbs.tracks, beyond, np.zeros((400, 1))) is swarm


def test_too_few_numbers_are_refused(ensemble: Ensemble) -> None:
    none = Timed(*(np.zeros(0) for _ in range(4)))
    with pytest.raises(InputError, match=r"normals is \(400, 2\); allowed: \(400, 0\), one a"):
        fitted(ensemble.draws.swarm, ensemble.climbs.tracks, none, np.zeros((400, 2)))
