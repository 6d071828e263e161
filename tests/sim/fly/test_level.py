"""Trail: the same fall as `descend`, told moment by moment."""

import numpy as np
import pytest

from farglide.chances.ensemble import Ensemble
from farglide.compute import on_threads
from farglide.sim.core.release import begin_glide
from farglide.sim.core.tracks import Point
from farglide.sim.fly.descend import Falls, descend, one_eas, trails
from farglide.sim.fly.level import levelled

GROUND_M = 240.0
SINK_MPS = 4.5


def starts_of(ensemble: Ensemble, minutes: float) -> np.ndarray:
    tracks = ensemble.climbs.tracks
    j = round(60.0 * minutes / tracks.step_s)
    t = np.full(len(tracks.amsl_m), j * tracks.step_s)
    rows = [t, tracks.amsl_m[:, j], tracks.north_rad[:, j], tracks.east_rad[:, j]]
    return np.stack(rows, axis=1)


def test_a_trail_ends_where_the_fall_does(drawn_demo: Ensemble) -> None:
    starts = starts_of(drawn_demo, 70.0)
    ends = descend(
        drawn_demo.air.scene,
        drawn_demo.draws.swarm,
        Falls(starts, one_eas(np.full(len(starts), SINK_MPS)), GROUND_M),
    )
    # each draw asked at its own end and a third of the way, among the moments of the others
    clock_s = np.unique(np.concatenate([ends[:, 0], [4000.0, 4250.0, 5000.0]]))
    sinks = np.full(len(starts), SINK_MPS)
    falls = Falls(starts, one_eas(sinks), GROUND_M)
    found = trails(drawn_demo.air.scene, drawn_demo.draws.swarm, falls, clock_s)
    for i, end in enumerate(ends):
        j = int(np.searchsorted(clock_s, end[0]))
        assert found.amsl_m[i, j] == pytest.approx(GROUND_M, abs=1e-6)
        assert found.north_rad[i, j] == pytest.approx(end[2], abs=1e-12)
        assert found.east_rad[i, j] == pytest.approx(end[3], abs=1e-12)
        assert np.isnan(found.amsl_m[i, j + 1 :]).all()
        assert np.isnan(found.amsl_m[i, clock_s < starts[i, 0]]).all()


def test_on_the_way_it_is_where_a_fall_to_that_height_ends(drawn_demo: Ensemble) -> None:
    starts = starts_of(drawn_demo, 70.0)
    sinks = np.full(len(starts), SINK_MPS)
    clock_s = np.array([4500.0, 5400.0])
    falls = Falls(starts, one_eas(sinks), GROUND_M)
    found = trails(drawn_demo.air.scene, drawn_demo.draws.swarm, falls, clock_s)
    for i in (0, 17, 49):
        for j, t in enumerate(clock_s):
            to_m = float(found.amsl_m[i, j])
            lower = Falls(starts, one_eas(sinks), to_m)
            ends = descend(drawn_demo.air.scene, drawn_demo.draws.swarm, lower)
            assert ends[i, 0] == pytest.approx(t, abs=1e-3)
            # 6 mm: a parallel shortens a little within one layer of drift
            assert ends[i, 2:] == pytest.approx(
                [found.north_rad[i, j], found.east_rad[i, j]], abs=1e-9
            )


def test_a_draw_without_a_flight_leaves_no_trail(drawn_demo: Ensemble) -> None:
    starts = starts_of(drawn_demo, 70.0)
    starts[3] = np.nan
    sinks = np.full(len(starts), SINK_MPS)
    clock_s, falls = np.arange(4200.0, 6000.0, 60.0), Falls(starts, one_eas(sinks), GROUND_M)
    found = trails(drawn_demo.air.scene, drawn_demo.draws.swarm, falls, clock_s)
    assert np.isnan(found.amsl_m[3]).all()
    assert not np.isnan(found.amsl_m[4]).all()
    shared = trails(drawn_demo.air.scene, drawn_demo.draws.swarm, falls, clock_s, on_threads())
    for one, other in zip(found, shared, strict=True):
        np.testing.assert_array_equal(one, other)


def test_level_flight_begins_as_the_doors_have_it(drawn_demo: Ensemble) -> None:
    starts = starts_of(drawn_demo, 70.0)
    starts[5] = np.nan
    scene, releases = drawn_demo.air.scene, drawn_demo.released
    found = levelled(scene, releases, starts)
    assert np.isnan(found[5]).all()
    for i in (0, 30):
        assert found[i] == pytest.approx(begin_glide(scene, releases, i, Point(*starts[i])))
