"""Paths: marched through the layers as the climb itself is, and bent through heights read."""

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.arrays import FloatArray
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.chances.paths import Since, aloft_by, drifts_m, offsets_of, paths_of
from farglide.sim.core.airerrors import AirErrors
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Sortie
from farglide.track.read import NOTHING, Heights, Points

COARSE = Grain(n_draws=100, clock_s=60.0, prices_mps=(8.0,), slab=5)
EARTH_M = 6.37e6


@pytest.fixture(scope="module")
def before(sortie: Sortie, demo_sounding: Sounding) -> Ensemble:
    return drawn_ensemble(sortie, demo_sounding, COARSE)


def hand(before: Ensemble) -> FloatArray:
    return np.array([0.0, before.sortie.launch.amsl_m, 0.0, 0.0])


def test_metres_and_offsets_are_those_of_the_flown_tracks(before: Ensemble) -> None:
    """Marched through the layers each draw is where the climb's own march has it."""
    swarm = before.draws.swarm
    last = hand(before)
    read = NOTHING._replace(points=Points(np.array([3600.0]), *np.zeros((2, 1)), np.ones(1)))
    since = Since(before, swarm, last, read)
    paths = paths_of(since)
    errors = AirErrors(*(getattr(swarm, name) for name in AirErrors._fields))
    found = offsets_of(
        before.air.scene.frame, last, drifts_m(before.air.scene, errors, last, paths)
    )
    k = round(3600.0 / before.climbs.tracks.step_s)
    wanted = np.stack([one[:, k] for one in before.climbs.tracks.places[1:]], axis=1)
    away_m = EARTH_M * np.abs(found[:, -1] - wanted)
    assert np.nanmax(away_m) < 20.0  # of 30 km and more
    np.testing.assert_allclose(paths.amsl_m[:, -1], before.climbs.tracks.amsl_m[:, k], atol=1.0)


def test_each_draw_passes_the_heights_read_and_keeps_its_own_error(before: Ensemble) -> None:
    t_s, z = np.array([630.0, 1800.0]), np.array([2600.0, 9100.0])
    read = NOTHING._replace(heights=Heights(t_s, z, np.array([20.0, 20.0])))
    since = Since(before, before.draws.swarm, hand(before), read)
    paths = paths_of(since)
    k = np.searchsorted(paths.t_s, t_s)
    np.testing.assert_array_equal(paths.t_s[k], t_s)
    at_m = paths.amsl_m[:, k]
    assert np.abs(at_m.mean(axis=0) - z).max() < 6.0
    assert at_m.std(axis=0) == pytest.approx([20.0, 20.0], rel=0.25)
    errors = AirErrors(*(getattr(before.draws.swarm, name) for name in AirErrors._fields))
    found = aloft_by(since, paths, errors).states
    np.testing.assert_array_equal(found[:, 0], 1800.0)
    np.testing.assert_array_equal(found[:, 1], at_m[:, -1])
    assert np.std(found[:, 3]) > 1e-5  # places differ: nobody saw one
