"""Drift: what balloons of the ensemble tell of their own air is the air they were flown in."""

from dataclasses import replace

import numpy as np
import pytest
from tests.around import around

from farglide.air.sounding import Sounding
from farglide.chances.ensemble import Ensemble, drawn_ensemble, plain_ensemble
from farglide.errors import InputError
from farglide.rig.airdoubts import air_doubts_of
from farglide.sim.core.cube import no_cube
from farglide.sim.core.learnt import learnt, scaled
from farglide.sim.core.spread import spread_ratios
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Sortie
from farglide.track.drift import LEAST_M, LEAST_S, Been, measured_winds

GRAIN = Grain(n_draws=50, clock_s=10.0, prices_mps=(8.0,), slab=5)


@pytest.fixture(scope="module")
def ensemble(sortie: Sortie, demo_sounding: Sounding) -> Ensemble:
    return drawn_ensemble(sortie, demo_sounding, GRAIN)


def been(ensemble: Ensemble, draw: int, until: int = 480, every: int = 1) -> Been:
    """Return the fixes of a draw, every so many steps of ten seconds."""
    tracks = ensemble.climbs.tracks
    at = slice(0, until, every)
    t_s = tracks.step_s * np.arange(tracks.amsl_m.shape[1])
    return Been(t_s[at], *(one[draw, at] for one in tracks.places))


def seen_mps(ensemble: Ensemble, draw: int, share: np.ndarray) -> np.ndarray:  # type: ignore[type-arg]
    swarm = ensemble.draws.swarm
    return np.asarray(
        np.stack([share @ swarm.out_east_mps[draw], share @ swarm.out_north_mps[draw]], axis=1)
    )


@pytest.mark.parametrize("every", [1, 3, 30])
def test_a_balloon_tells_the_errors_of_its_own_air(ensemble: Ensemble, every: int) -> None:
    """Ten seconds, half a minute, five minutes between fixes: amid them an even speed is told."""
    for draw in range(3):
        found = measured_winds(ensemble.air.scene, been(ensemble, draw, every=every), 5.0)
        np.testing.assert_allclose(found.share_ratio.sum(axis=1), 1.0)
        wanted = seen_mps(ensemble, draw, found.share_ratio)
        # a fix between two layers tells a little of the next one; over minutes speeds differ
        assert np.abs(found.off_mps - wanted).max() < {1: 0.7, 3: 0.5, 30: 1.0}[every]
        assert np.sqrt(((found.off_mps - wanted) ** 2).mean()) < 0.35


def test_where_winds_differ_from_place_to_place_the_errors_stay_those_of_its_own_air(
    sortie: Sortie, demo_sounding: Sounding
) -> None:
    winds = replace(demo_sounding, around=around(demo_sounding, sortie.launch, 4.0, 2.0))
    ensemble = drawn_ensemble(sortie, winds, GRAIN)
    fixes = been(ensemble, 1, every=3)
    found = measured_winds(ensemble.air.scene, fixes, 5.0)
    wanted = seen_mps(ensemble, 1, found.share_ratio)
    assert np.abs(found.off_mps - wanted).max() < 0.5
    column = ensemble.air.scene._replace(cube=no_cube())
    alone = measured_winds(column, fixes, 5.0)
    assert np.abs(alone.off_mps - wanted).max() > 2.0


def test_stretches_are_long_enough_and_leave_the_rest(ensemble: Ensemble) -> None:
    fixes = been(ensemble, 0)
    found = measured_winds(ensemble.air.scene, fixes, 5.0)
    layers = (found.share_ratio > 0.0).sum(axis=1)
    assert layers.min() >= 2  # 100 m or more hardly ever begin at an edge
    assert layers.max() <= 4
    assert (found.sd_mps < np.hypot(np.sqrt(2.0) * 5.0 / LEAST_S, 0.3) + 1e-9).all()
    short = Been(*(one[:2] for one in fixes))
    assert fixes.amsl_m[1] - fixes.amsl_m[0] < LEAST_M
    assert measured_winds(ensemble.air.scene, short, 5.0).share_ratio.shape == (
        0, found.share_ratio.shape[1],
    )  # fmt: skip
    none = Been(*(one[:0] for one in fixes))
    assert measured_winds(ensemble.air.scene, none, 5.0).off_mps.shape == (0, 2)


def test_a_floating_balloon_tells_the_wind_of_its_layer(ensemble: Ensemble) -> None:
    scene = ensemble.air.scene
    t_s = np.arange(0.0, 601.0, 30.0)
    k = int((12_030.0 - scene.layers.base_amsl_m) / 100.0)
    u, v = scene.layers.u_mps[0, k] + 3.0, scene.layers.v_mps[0, k] - 2.0
    ground = scene.layers.shortening_ratio[k] * t_s
    north = v * ground / scene.frame.meridian_m
    cosine = scene.frame.cosine - scene.frame.sine * 0.5 * north
    east = u * ground / (scene.frame.normal_m * cosine)
    found = measured_winds(scene, Been(t_s, np.full(21, 12_030.0), north, east), 5.0)
    assert len(found.sd_mps) == 5  # of two minutes each
    np.testing.assert_allclose(found.off_mps, np.tile([3.0, -2.0], (5, 1)), atol=0.05)


def test_a_jet_nine_metres_stronger_is_found_within_one(
    sortie: Sortie, demo_sounding: Sounding
) -> None:
    """Truth: 9 m/s more along the told wind from 8 to 14 km, flown by the error-free balloon."""
    gph, u, v = demo_sounding.gph_m, demo_sounding.u_mps, demo_sounding.v_mps
    more = 9.0 * np.clip(np.minimum(gph - 7_000.0, 15_000.0 - gph) / 1000.0, 0.0, 1.0)
    speed = np.maximum(np.hypot(u, v), 1e-6)
    truth = replace(demo_sounding, u_mps=u * (1 + more / speed), v_mps=v * (1 + more / speed))
    flown = plain_ensemble(sortie, truth, GRAIN)
    told = plain_ensemble(sortie, demo_sounding, GRAIN)
    noisy = been(flown, 0, until=300)  # to 17 km
    rng = np.random.default_rng(6)
    shaken = noisy._replace(
        north_rad=noisy.north_rad + rng.normal(0.0, 5.0, 300) / 6.37e6,
        east_rad=noisy.east_rad + rng.normal(0.0, 5.0, 300) / 4.4e6,
    )
    found = measured_winds(told.air.scene, shaken, 5.0)
    doubts = air_doubts_of(sortie, told.air.column)
    known = learnt(scaled(doubts, spread_ratios(doubts, found)), found)
    middle_m = told.air.column.middles_amsl_m
    jet = (middle_m > 8_500.0) & (middle_m < 13_500.0)
    u0, v0 = told.air.scene.layers.u_mps[0][jet], told.air.scene.layers.v_mps[0][jet]
    ahead = np.stack([u0, v0], axis=1) / np.hypot(u0, v0)[:, None]
    met, later = ((one.mean_mps[jet] * ahead).sum(axis=1) for one in known)
    assert np.abs(met - 9.0).max() < 1.0
    assert known.up.known_ratio[jet].min() > 0.75
    # by the way home a part of it has gone over into other weather
    assert (later < met).all()
    assert (np.abs(later - 9.0) < 2.0 * known.home.sd_mps[jet]).all()
    high = middle_m > 24_000.0
    assert known.home.known_ratio[high].max() < 0.05  # nothing is carried far up


def test_what_is_no_track_is_refused(ensemble: Ensemble) -> None:
    scene, fixes = ensemble.air.scene, been(ensemble, 0, until=20)
    for changed, said in (
        (fixes._replace(t_s=fixes.t_s[::-1].copy()), "t_s is not rising"),
        (fixes._replace(t_s=fixes.t_s[:5]), "been is .*allowed: four arrays"),
        (fixes._replace(east_rad=fixes.east_rad * np.nan), "been is not finite"),
        (fixes._replace(amsl_m=fixes.amsl_m + 90_000.0), r"amsl_m is \d+ m; allowed: .* winds are"),
        (fixes._replace(amsl_m=fixes.amsl_m - 5_000.0), r"amsl_m is -\d+ m; allowed: "),
    ):
        with pytest.raises(InputError, match=said):
            measured_winds(scene, changed, 5.0)
    with pytest.raises(InputError, match="place_sd_m is 0 m; allowed: more than 0"):
        measured_winds(scene, fixes, 0.0)
