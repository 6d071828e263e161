"""Home line: where each draw passes each layer, and what the winds there do to its way home."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.flightfile.flightfile import FlightFile
from farglide.rig.airdoubts import between_passages_s
from farglide.rig.homeline import home_lines, middle_tracks, with_home_line
from farglide.sim.core.cube import Cube
from farglide.sim.core.tracks import Tracks
from farglide.sortie.grain import Grain


@pytest.fixture(scope="module")
def ensemble(demo_flight: FlightFile, demo_sounding: Sounding) -> Ensemble:
    grain = Grain(n_draws=50, prices_mps=(8.0,), slab=5)
    return drawn_ensemble(demo_flight.sortie, demo_sounding, grain)


def test_a_line_leads_from_the_release_to_the_field(ensemble: Ensemble) -> None:
    sortie, column, tracks = ensemble.sortie, ensemble.air.column, ensemble.climbs.tracks
    lines, middles_m = home_lines(sortie, column, tracks), column.middles_amsl_m
    goals, wanted_m = ensemble.goals, sortie.wish.wanted_amsl_m
    ground_m = float(goals.ground_amsl_m[0])
    half = int(np.argmin(abs(middles_m - 0.5 * (wanted_m + ground_m))))
    share = (middles_m[half] - ground_m) / (wanted_m - ground_m)
    for i in (0, 17, 49):
        let_go = np.interp(wanted_m, tracks.amsl_m[i], tracks.east_rad[i])
        goal = goals.east_rad[0]
        # places are told in the middles of layers: 20 m
        assert lines.east_rad[i, half] == pytest.approx(goal + share * (let_go - goal), abs=3e-6)
        assert lines.east_rad[i, 0] == pytest.approx(goal, abs=3e-3 * abs(let_go - goal) + 1e-9)
        above = int(np.argmin(abs(middles_m - wanted_m - 2000.0)))
        on_track = np.interp(middles_m[above], tracks.amsl_m[i], tracks.north_rad[i])
        assert lines.north_rad[i, above] == pytest.approx(on_track, abs=1e-9)


def test_a_layer_is_passed_as_much_later_as_on_the_flight_without_errors(
    ensemble: Ensemble,
) -> None:
    column, tracks = ensemble.air.column, ensemble.climbs.tracks
    lines = home_lines(ensemble.sortie, column, tracks)
    clock_s = tracks.step_s * np.arange(tracks.amsl_m.shape[1])
    up_s = np.interp(column.middles_amsl_m[50], tracks.amsl_m[3], clock_s)
    later_s = between_passages_s(ensemble.sortie, column)[50]
    assert later_s > 3600.0
    assert lines.t_s[3, 50] == pytest.approx(up_s + later_s, abs=1.0)


def test_without_fields_the_line_leads_to_the_launch(ensemble: Ensemble) -> None:
    bare = replace(ensemble.sortie, fields=())
    lines = home_lines(bare, ensemble.air.column, ensemble.climbs.tracks)
    assert abs(lines.north_rad[:, 0]).max() < 1e-4
    assert abs(lines.north_rad[:, 150]).max() > 1e-3


def test_a_draw_that_never_flew_has_no_line(ensemble: Ensemble) -> None:
    tracks = ensemble.climbs.tracks
    gone = Tracks(tracks.step_s, *(np.where(np.arange(50)[:, None] == 7, np.nan, one)
                                   for one in tracks[1:]))  # fmt: skip
    lines = home_lines(ensemble.sortie, ensemble.air.column, gone)
    assert np.isnan(lines.t_s[7]).all()
    assert np.isfinite(np.delete(lines.t_s, 7, axis=0)).all()


def test_the_winds_of_the_line_stand_among_the_errors_home_alone(ensemble: Ensemble) -> None:
    swarm, n = ensemble.draws.swarm, len(ensemble.air.column.layers.p_pa)
    apart = np.zeros((2, 1, 1, 1, n, 2), np.float32)
    apart[0, ..., 0], apart[1, ..., 1] = 3.0, -2.0
    scene = ensemble.air.scene._replace(cube=Cube(0.0, 1.0, 0.0, 1.0, 0.0, 1.0, apart))
    lines = home_lines(ensemble.sortie, ensemble.air.column, ensemble.climbs.tracks)
    moved = with_home_line(scene, swarm, lines)
    assert moved.home_east_mps - swarm.home_east_mps == pytest.approx(
        np.where(np.arange(50) % 2, 0.0, 3.0)[:, None] * np.ones(n), abs=1e-5
    )
    assert moved.home_north_mps[1] - swarm.home_north_mps[1] == pytest.approx(-2.0, abs=1e-5)
    np.testing.assert_array_equal(moved.out_east_mps, swarm.out_east_mps)


def test_the_middle_climb_is_the_median_of_those_that_are_known(ensemble: Ensemble) -> None:
    tracks = ensemble.climbs.tracks
    middle = middle_tracks(tracks)
    assert middle.amsl_m.shape == (1, tracks.amsl_m.shape[1])
    assert middle.amsl_m[0, 40] == np.median(tracks.amsl_m[:, 40])
