"""Particles against the flights of the plan, and their doubt against a closed form."""

import math
from typing import Any

import numpy as np
import pytest
from tests.track.filter.made import ensemble, last, laws, level, metres, of, quiet, unburst

from farglide.errors import InputError
from farglide.kernel import door
from farglide.sim.core.scene import _errors_home
from farglide.sim.core.tracks import Point, between
from farglide.sim.fly.descend import Falls, Sinks, descend, plunges, trails
from farglide.sim.fly.drops import fallen_m
from farglide.sim.fly.homing import Goal, Homer, home_layer
from farglide.sim.fly.particles import CIRCLES, DIVES, SPIRALS, Cloud
from farglide.sim.fly.stories import moved
from farglide.track.filter.particles import Laws, Story

ask_home_layer = door(home_layer)


def gone(given: Laws, cloud: Cloud, seconds: float) -> Cloud:
    return moved(given.movers, cloud, last().after_launch_s, seconds)


def falls_of(given: Laws, cloud: Cloud, to_amsl_m: float) -> Falls:
    """Return the same falls as the plan takes them: one for each draw."""
    kind = int(cloud.story[0]) - Story.HANDS_OFF.code
    n, begin = given.n_draws, last()
    starts = np.tile(np.array(begin[:4]), (n, 1))
    sinks = Sinks(given.movers.sink_eas_mps[kind], given.movers.thin_exponent[kind], 1.0)
    return Falls(starts, sinks, to_amsl_m)


@pytest.mark.parametrize("story", [Story.HANDS_OFF, Story.SPIRAL, Story.SPIN, Story.TANGLED])
def test_a_settled_fall_goes_as_the_plan_has_it(story: Story) -> None:
    given = quiet(laws())
    cloud = level(of(given, story).cloud)
    after_s, falls = last().after_launch_s + 300.0, falls_of(given, cloud, 300.0)
    told = trails(given.movers.scene, given.movers.swarm, falls, np.array([after_s]))
    found = gone(given, cloud, 300.0)
    # the plan steps by layers of 100 m, particles by 2 s: what falls at 40 m/s keeps the sink of
    # the layer above for half a step, 0.35 % faster at the most
    lost_m = last().amsl_m - told.amsl_m[found.draw, 0]
    assert last().amsl_m - found.amsl_m == pytest.approx(lost_m, rel=3.5e-3)
    # the wind of a layer, too, is kept for a step: the faster it falls, the longer past its layer
    off_m = 50.0 if story is Story.SPIN else 40.0
    for said, own in ((told.north_rad, found.north_rad), (told.east_rad, found.east_rad)):
        assert 6.4e6 * own == pytest.approx(6.4e6 * said[found.draw, 0], abs=off_m)
    assert np.ptp(found.amsl_m) > 50.0  # each has its own sink


def test_remains_gather_speed_from_rest_as_the_plan_has_them() -> None:
    given = quiet(laws())
    cloud = of(given, Story.TANGLED).cloud
    cloud = cloud._replace(speed_mps=np.zeros(len(cloud.story)))
    falls = falls_of(given, cloud, 300.0)
    told = plunges(given.movers.scene, given.movers.swarm, falls, np.array([6.0, 20.0]))
    lost_m = last().amsl_m - np.median(gone(given, cloud, 2.0).amsl_m)
    assert lost_m == pytest.approx(0.5 * 9.80665 * 2.0**2, rel=0.05)
    for k, seconds in enumerate((6.0, 20.0)):
        found = gone(given, cloud, seconds)
        assert found.amsl_m == pytest.approx(told.amsl_m[cloud.draw, k], abs=2.0)


@pytest.mark.slow
def test_a_glider_flies_home_as_the_plan_flies_it() -> None:
    given = quiet(laws())
    movers, cloud = given.movers, level(of(given, Story.GLIDING).cloud)
    cloud = cloud._replace(goal=np.zeros(len(cloud.goal), np.int64))
    found = gone(given, cloud, 600.0)
    for i in (0, 17, 39):
        d = int(cloud.draw[i])
        homer = Homer(movers.polar, movers.glide_factor[d], movers.speeds, 0)
        goals = movers.goals
        goal = Goal(goals.north_rad[0], goals.east_rad[0], goals.ground_amsl_m[0], 1.0, 0.0, 0.0)
        at, errors = Point(*last()[:4]), _errors_of(given, d)
        until_s = at.t_s + 600.0
        while at.t_s < until_s:
            end, _ = ask_home_layer(movers.scene, errors, homer, goal, at)
            at = between_of(at, end, min((until_s - at.t_s) / (end.t_s - at.t_s), 1.0))
        assert found.amsl_m[i] == pytest.approx(at.amsl_m, abs=5.0)
        assert 6.4e6 * found.north_rad[i] == pytest.approx(6.4e6 * at.north_rad, abs=20.0)
    homeward = math.atan2(-last().east_rad * 0.68, -last().north_rad)
    assert np.cos(found.heading_rad - homeward).min() > 0.5


def _errors_of(given: Laws, d: int) -> Any:
    return _errors_home.py_func(given.movers.swarm, d)


def between_of(a: Point, b: Point, w: float) -> Point:
    return Point(*door(between)(a, b, w))


def test_what_hangs_on_its_balloon_climbs_as_its_draw() -> None:
    given = unburst(quiet(laws()))
    cloud = of(given, Story.CARRIED).cloud
    tracks = ensemble().climbs.tracks
    at, later = (round(t / tracks.step_s) for t in (last().after_launch_s, last()[0] + 240.0))
    found = gone(given, cloud, 240.0)
    for row, own in (
        (tracks.amsl_m, found.amsl_m - last().amsl_m),
        (6.4e6 * tracks.north_rad, 6.4e6 * (found.north_rad - last().north_rad)),
    ):
        said = (row[:, later] - row[:, at])[cloud.draw]
        known = np.isfinite(said)
        assert known.sum() > 30
        assert own[known] == pytest.approx(said[known], abs=1.0)


def test_a_balloon_bursts_where_its_draw_does() -> None:
    given = quiet(laws())
    cloud = of(given, Story.CARRIED, n=given.n_draws).cloud
    found = gone(given, cloud, 300.0)
    burst_s = given.movers.burst_s[cloud.draw]
    bursts = (burst_s > last().after_launch_s) & (burst_s <= last().after_launch_s + 300.0)
    assert 3 < bursts.sum() < given.n_draws - 3
    assert np.array_equal(found.story == Story.TANGLED.code, bursts)
    assert np.median(found.amsl_m[bursts]) < np.median(found.amsl_m[~bursts]) - 500.0


def test_what_floats_keeps_its_height_and_drifts() -> None:
    given = unburst(quiet(laws()))
    found = gone(given, of(given, Story.FLOATING).cloud, 600.0)
    assert found.amsl_m == pytest.approx(last().amsl_m)
    drift = np.hypot(*metres(given, found)[:, :2].T) / 600.0
    assert 3.0 < np.median(drift) < 25.0


def test_what_floats_on_does_not_burst_where_its_climb_would_have() -> None:
    given = quiet(laws())
    cloud = of(given, Story.FLOATING, n=given.n_draws).cloud
    found = gone(given, cloud, 1800.0)
    burst_s = given.movers.floats.burst_s[cloud.draw]
    bursts = (burst_s > last().after_launch_s) & (burst_s <= last().after_launch_s + 1800.0)
    climbs_s = given.movers.burst_s[cloud.draw]
    assert (climbs_s <= last().after_launch_s + 1800.0).mean() > 0.9
    assert np.array_equal(np.isin(found.story, (Story.TANGLED.code, Story.GROUND.code)), bursts)
    assert bursts.mean() < 0.15


@pytest.mark.parametrize(("seconds", "lost_m"), [(261.0, 300.0), (2070.0, 6500.0)])
def test_a_float_that_leaks_sinks_ever_faster(seconds: float, lost_m: float) -> None:
    # Independent: a leak from T+38 flown step by step tops out at 24.6 km, is 300 m lower 4.4 min
    # later and at 18.1 km after 34.5 min.
    given = unburst(quiet(laws()))
    leak = np.full(given.n_draws, 0.107**2)
    floats = given.movers.floats._replace(leak_m2ps3=leak)
    given = given._replace(movers=given.movers._replace(floats=floats))
    cloud = of(given, Story.FLOATING).cloud
    found = gone(given, cloud._replace(amsl_m=np.full(40, 24_600.0)), seconds)
    assert 24_600.0 - found.amsl_m == pytest.approx(lost_m, rel=0.05)
    assert (found.story == Story.FLOATING.code).all()


def test_it_lies_where_and_when_the_plan_brings_it_down() -> None:
    given = quiet(laws())
    cloud = level(of(given, Story.SPIRAL).cloud)
    ground_m = given.movers.flat_amsl_m
    ends = descend(given.movers.scene, given.movers.swarm, falls_of(given, cloud, ground_m))
    found = gone(given, cloud, 7200.0)
    assert (found.story == Story.GROUND.code).all()
    assert (found.was == Story.SPIRAL.code).all()
    assert found.amsl_m == pytest.approx(ground_m)
    assert found.down_s == pytest.approx(ends[cloud.draw, 0], abs=6.0)
    assert 6.4e6 * found.north_rad == pytest.approx(6.4e6 * ends[cloud.draw, 2], abs=150.0)
    later = gone(given, found, 600.0)
    assert np.array_equal(later.east_rad, found.east_rad)


def test_it_drops_from_the_line_before_it_flies() -> None:
    given = quiet(laws())
    cloud = of(given, Story.GLIDING).cloud
    assert (cloud.drop_s > 10.0).all()
    for seconds in (3.0, 10.0, 30.0):
        found = gone(given, cloud, seconds)
        fallen = np.array([fallen_m(one, seconds) for one in cloud.drop])
        assert found.amsl_m == pytest.approx(last().amsl_m - fallen, abs=1e-6)
        assert np.isnan(found.heading_rad).all()


def test_what_is_let_go_later_hangs_on_until_then() -> None:
    given = unburst(quiet(laws()))
    cloud = of(given, Story.GLIDING).cloud
    late = cloud._replace(drop_s=cloud.drop_s + 7.0)
    found = gone(given, late, 17.0)
    hung = gone(given, of(given, Story.CARRIED).cloud, 7.0)
    climbs = np.median(hung.amsl_m) - last().amsl_m
    once = gone(given, cloud, 10.0)
    assert np.median(found.amsl_m - once.amsl_m) == pytest.approx(climbs, abs=2.0)


def test_what_makes_way_forgets_whither_it_was_pulled_out() -> None:
    cloud = of(laws(), Story.GLIDING).cloud
    cloud = cloud._replace(off_mps=cloud.off_mps + np.array([80.0, -40.0, 6.0]))
    during = gone(laws(), cloud, float(cloud.drop_s.min()) - 5.0)
    assert (np.abs(during.off_mps[:, 0]) > 10.0).all()
    assert (during.spread[:, 0, 2] > 30.0**2).all()
    after = gone(laws(), cloud, float(cloud.drop_s.max()) + 1e-6)
    assert (after.off_mps == 0.0).all()
    assert (after.spread[:, 0, 2] < 20.0**2).all()


@pytest.mark.parametrize(("way", "sinks"), [(DIVES, 58.0), (SPIRALS, 37.0), (CIRCLES, 6.0)])
def test_over_its_field_it_flies_off_height_in_one_of_three_ways(way: int, sinks: float) -> None:
    given = quiet(laws())
    goals, cloud = given.movers.goals, level(of(given, Story.GLIDING).cloud)
    over = cloud._replace(
        amsl_m=np.full(40, 20_300.0), goal=np.zeros(40, np.int64), down_way=np.full(40, way),
        north_rad=np.full(40, goals.north_rad[0]), east_rad=np.full(40, goals.east_rad[0]),
    )  # fmt: skip
    found = gone(given, over, 10.0)
    assert (found.over == 1).all()
    assert np.median(20_300.0 - found.amsl_m) / 10.0 == pytest.approx(sinks, rel=0.2)
    later = gone(given, found, 30.0)
    assert later.north_rad == pytest.approx(found.north_rad, abs=500.0 / 6.4e6)


@pytest.mark.parametrize(("way", "taken"), [(SPIRALS, 0), (CIRCLES, 1)])
def test_who_comes_over_another_field_may_stay_there(way: int, taken: int) -> None:
    given = quiet(laws())
    goals, cloud = given.movers.goals, level(of(given, Story.GLIDING).cloud)
    near = cloud._replace(
        amsl_m=np.full(40, 5_000.0), goal=np.ones(40, np.int64), down_way=np.full(40, way),
        north_rad=np.full(40, goals.north_rad[0] + 300.0 / 6.4e6),
        east_rad=np.full(40, goals.east_rad[0]),
    )  # fmt: skip
    assert (gone(given, near, 5.0).goal == taken).all()


@pytest.mark.parametrize("seconds", [1.0, 7.0, 60.0, 900.0])
def test_the_doubt_of_a_place_grows_as_that_of_a_drifting_thing(seconds: float) -> None:
    # Taylor, Diffusion by continuous movements (1921): variance of the way with speeds that hang
    # together as exp(-t / T): 2 s^2 T^2 (t / T - 1 + exp(-t / T)).
    sd_mps, holds_s = 1.7, 60.0
    given = unburst(quiet(laws(), level_mps=sd_mps, up_mps=0.5, holds_s=holds_s))
    cloud = of(given, Story.FLOATING).cloud
    cloud.spread[:, 0, 2], cloud.spread[:, 1, 2] = sd_mps**2, 0.5**2
    cloud.spread[:, :, 0] = 0.0
    found = gone(given, cloud, seconds)
    x = seconds / holds_s
    wanted = 2.0 * (sd_mps * holds_s) ** 2 * (x - 1.0 + math.exp(-x))
    assert found.spread[:, 0, 0] == pytest.approx(wanted, rel=1e-6, abs=1e-5)
    assert found.spread[:, 1, 0] == pytest.approx(wanted * (0.5 / sd_mps) ** 2, rel=1e-5, abs=1e-5)
    assert found.spread[:, 0, 2] == pytest.approx(sd_mps**2)


def test_a_speed_seen_off_its_law_goes_on_and_dies_away() -> None:
    # The mean way of a speed that dies away: v T (1 - exp(-t / T)).
    given = unburst(quiet(laws(), holds_s=60.0))
    cloud = of(given, Story.FLOATING).cloud
    off = cloud.off_mps + np.array([3.0, -2.0, 0.0])
    before, after = (gone(given, one, 90.0) for one in (cloud, cloud._replace(off_mps=off)))
    way = (metres(given, after) - metres(given, before))[:, :2]
    shorter = 0.9957  # over the ground, 27 km up
    wanted = shorter * 60.0 * (1.0 - math.exp(-1.5)) * np.array([3.0, -2.0])
    assert way == pytest.approx(np.tile(wanted, (len(way), 1)), rel=0.01)


@pytest.mark.parametrize("story", list(Story)[:7])
def test_a_minute_in_one_go_is_sixty_seconds(story: Story) -> None:
    cloud, given = of(laws(), story).cloud, unburst(laws())
    once, many = gone(given, cloud, 60.0), cloud
    for k in range(60):
        many = moved(given.movers, many, last().after_launch_s + k, 1.0)
    assert metres(laws(), many) == pytest.approx(metres(laws(), once), abs=40.0)
    assert many.spread == pytest.approx(once.spread, rel=0.1, abs=1e-3)


def test_what_was_handed_over_stays_as_it_was() -> None:
    cloud = of(laws(), *list(Story)[:7]).cloud
    kept = Cloud(*(one.copy() for one in cloud))
    gone(laws(), cloud, 30.0)
    assert all(np.array_equal(a, b, equal_nan=True) for a, b in zip(cloud, kept, strict=True))


@pytest.mark.parametrize("seconds", [-1.0, 90_000.0, math.nan])
def test_time_runs_forward_and_a_day_at_most(seconds: float) -> None:
    with pytest.raises(InputError, match="allowed: 0 to 86 400 s"):
        gone(laws(), of(laws(), Story.SPIRAL).cloud, seconds)
