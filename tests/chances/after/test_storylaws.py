"""Story laws: the falls and fields of the plan as the filter takes them, guesses where none is."""

from dataclasses import replace

import numpy as np
import pytest
from tests.track.filter.made import ensemble, laws

from farglide.atlas.terrain import flat
from farglide.chances.after.storylaws import laws_of
from farglide.chances.falls import HANDS_OFF, SPIN, SPIRAL, glider_falls, tangled
from farglide.sim.reach.drawnglider import sinks_mps


def test_the_falls_are_those_of_the_plan() -> None:
    found, timed = laws().movers, {one.what: one.sinks for one in glider_falls(ensemble())}
    assert np.array_equal(found.sink_eas_mps[0], timed[HANDS_OFF].eas_mps)
    assert np.array_equal(found.sink_eas_mps[1], timed[SPIRAL].eas_mps)
    remains = tangled(ensemble()).sinks
    assert np.array_equal(found.sink_eas_mps[2], timed[SPIN].eas_mps)
    assert np.array_equal(found.sink_eas_mps[3], remains.eas_mps)
    assert np.array_equal(found.thin_exponent[3], remains.thin_exponent)


def test_a_sink_that_nobody_timed_is_guessed_of_the_glide() -> None:
    drawn = ensemble()
    glider = replace(
        drawn.sortie.glider, hands_off_sink_eas_mps=None, spiral_sink_eas_mps=None,
        spin_sink_eas_mps=None,
    )  # fmt: skip
    bare = replace(drawn, sortie=replace(drawn.sortie, glider=glider))
    found = laws_of(bare).movers
    craft, layers = drawn.craft, drawn.air.scene.layers
    glide = sinks_mps(layers, craft.polar, craft.best_eas_mps)[0]
    middle = np.median(found.sink_eas_mps[:3] * drawn.draws.glide_factor, axis=1)
    assert middle == pytest.approx([glide, 2.5 * glide, 6.0 * glide], rel=0.15)
    assert np.log(found.sink_eas_mps[0]).std() == pytest.approx(0.4, abs=0.1)


def test_most_balloons_that_float_leak_and_the_others_last_for_hours() -> None:
    floats = laws().movers.floats
    leaks = floats.leak_m2ps3 > 0.0
    assert leaks.mean() == pytest.approx(0.7, abs=0.02)
    assert np.median(np.sqrt(floats.leak_m2ps3[leaks])) == pytest.approx(0.107, rel=0.25)
    assert np.isnan(floats.burst_s[leaks]).all()  # what leaks shrinks
    assert floats.burst_s[~leaks].mean() == pytest.approx(3.0 * 3600.0, rel=0.35)
    assert (floats.burst_s[~leaks] > 0.0).all()


def test_the_ground_is_the_terrain_or_the_first_field() -> None:
    home_m = ensemble().sortie.fields[0].amsl_m
    assert laws().movers.flat_amsl_m == home_m
    assert (laws().movers.ground.heights_amsl_m == home_m).all()
    assert (laws_of(ensemble(), flat(700.0)).movers.ground.heights_amsl_m == 700.0).all()


def test_without_fields_a_glider_makes_for_the_launch() -> None:
    drawn = ensemble()
    found = laws_of(replace(drawn, sortie=replace(drawn.sortie, fields=()))).movers
    assert found.goals.north_rad.tolist() == [0.0]
    assert found.flat_amsl_m == drawn.sortie.launch.amsl_m


def test_who_listens_is_who_listens_in_the_plan() -> None:
    hearing, listening = laws().hearing, ensemble().listening
    assert hearing is not None
    assert listening is not None
    assert hearing.listeners == listening.listeners or hearing.listeners is not None
    assert hearing.picture == listening.rows("picture")[0]
    assert laws_of(replace(ensemble(), listening=None)).hearing is None


def test_what_hangs_on_a_balloon_is_as_unsure_as_its_winds() -> None:
    drawn = ensemble()
    swarm = drawn.draws.swarm
    wide = swarm._replace(
        out_east_mps=4.0 * swarm.out_east_mps, out_north_mps=4.0 * swarm.out_north_mps
    )
    more = replace(drawn, draws=drawn.draws._replace(swarm=wide))
    one, other = (laws_of(each).movers.noise.level_mps for each in (drawn, more))
    assert other[0] == pytest.approx(4.0 * one[0], rel=0.01) or one[0] == 1.0
    assert other[0] > 1.5 * one[0]
    assert np.array_equal(one[2:], other[2:])
