"""Flown: home in time, too late, short, or never let go; empty packs leave it to itself."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from farglide.chances.chances import opened_of
from farglide.chances.ensemble import Ensemble
from farglide.live.rehearse.ended import How
from farglide.live.rehearse.flown import _home, _mixed, let_go
from farglide.live.rehearse.lifted import lifted
from farglide.live.rehearse.truth import Truth
from farglide.sim.core.states import states_of_climbs

from .conftest import km_of

Make = Callable[..., Truth]
HOME = 0


def test_home_opens_when_it_should(low: Ensemble, truth: Make) -> None:
    # Figures computed elsewhere: with the plan's winds home opens at T+63 by reach.
    made = truth(low)
    lift = lifted(made)
    early, late = (let_go(made, lift, 60.0 * t, HOME) for t in (60.0, 66.0))
    assert early.how is How.SHORT
    assert early.away_m > 1000.0
    assert late.how is How.HOME
    assert late.away_m < 500.0
    assert late.low_s <= made.end_s
    assert late.path.at(late.release_s).amsl_m == pytest.approx(late.release_amsl_m)


def test_the_slow_leak_comes_home_from_its_window_and_no_longer(low: Ensemble, truth: Make) -> None:
    # Figures computed elsewhere: with the packs home opens at T+74, last open minute T+97.5.
    made = truth(low, "slow-leak")
    lift = lifted(made)
    minutes = np.arange(70.0, 101.0, 0.5)
    home = [let_go(made, lift, 60.0 * t, HOME).how is How.HOME for t in minutes]
    first, last = minutes[home][0], minutes[home][-1]
    assert (first, last) == pytest.approx((74.0, 97.5), abs=1.0)
    assert all(home[int(2.0 * (first - 70.0)) : int(2.0 * (last - 70.0)) + 1])


def test_short_of_time_it_flies_faster(low: Ensemble, truth: Make) -> None:
    made = truth(low, "slow-leak")
    lift = lifted(made)
    hurried = let_go(made, lift, 90.0 * 60.0, HOME)
    assert hurried.price_mps > 0.0
    assert hurried.low_s <= made.end_s
    relaxed = let_go(truth(low), lifted(truth(low)), 76.0 * 60.0, HOME)
    assert relaxed.price_mps == 0.0


def test_empty_packs_leave_it_to_itself(low: Ensemble, truth: Make) -> None:
    # Figures computed elsewhere: released at T+116 it is dead at T+130 at 17.2 km and down in its
    # gentle circle at T+258; heights to 2 %, time to 1 min.
    made = truth(low, "slow-leak")
    late = let_go(made, lifted(made), 116.0 * 60.0, HOME)
    assert late.how in (How.LATE, How.SHORT)
    assert late.path.at(made.dead_s).amsl_m == pytest.approx(17_200.0, rel=0.02)
    assert late.path.end_s / 60.0 == pytest.approx(258.0, abs=1.0)
    x, y = km_of(low, *late.path.at(late.path.end_s)[1:])
    assert 0.7660 * x - 0.6428 * y > 120.0  # far down the drift


def test_whoever_never_lets_go_comes_down_tied_on(low: Ensemble, truth: Make) -> None:
    for names, how in (((), How.REMAINS), (("slow-leak",), How.TIED_ON)):
        made = truth(low, *names)
        lift = lifted(made)
        found = let_go(made, lift, None, HOME)
        assert found.how is how
        assert np.isnan(found.release_s)
        assert found.path is lift.path
    assert let_go(made, lift, lift.path.end_s + 1.0, HOME).how is How.TIED_ON


def test_after_a_burst_it_comes_free_or_it_does_not(low: Ensemble, truth: Make) -> None:
    made = truth(low, "burst-tied-on")
    lift = lifted(made)
    at_s = lift.burst_s + 60.0
    free = let_go(replace(made, comes_free=True), lift, at_s, HOME)
    assert free.release_s == at_s
    assert free.release_amsl_m == pytest.approx(lift.path.at(at_s).amsl_m)
    assert free.how is How.HOME
    tied = let_go(replace(made, comes_free=False), lift, at_s, HOME)
    assert tied.how is How.REMAINS


def test_from_release_on_the_path_hangs_together(low: Ensemble, truth: Make) -> None:
    made = truth(low)
    found = let_go(made, lifted(made), 76.0 * 60.0, HOME)
    assert (np.diff(found.path.t_s) >= 0.0).all()
    sinks = -np.diff(found.path.amsl_m) / np.maximum(np.diff(found.path.t_s), 1e-3)
    assert sinks.max() < 120.0
    assert found.path.at(found.path.end_s).amsl_m == pytest.approx(240.0, abs=1.0)


def test_hurried_from_the_top_and_slower_below_where_neither_alone_will_do(
    low: Ensemble, truth: Make
) -> None:
    made = truth(low, "slow-leak")
    lift = lifted(made)
    at_s = 96.0 * 60.0
    ends = [_home(made, lift, at_s, HOME, price) for price in (17.0, 20.0)]
    assert [one.how for one in ends] == [How.LATE, How.SHORT]
    found = _mixed(made, lift, ends[1], ends[0], HOME)
    assert found is not None
    assert found.how is How.HOME
    assert found.low_s <= made.end_s
    assert (np.diff(found.glide.t_s) >= 0.0).all()
    assert _mixed(made, lift, ends[1], ends[1], HOME) is None


def test_of_the_plans_own_draws_those_come_home_that_are_told_to(
    low: Ensemble, planned: Ensemble, truth: Make
) -> None:
    # The tables say for each draw whether it is home in time; flown, it is.
    moment, draws = 70, planned.draws
    states = states_of_climbs(
        planned.climbs.tracks, 0.0 * planned.climbs.burst_share, np.array([moment])
    )
    told = opened_of(planned, states, planned.goals).in_time[:, 0, HOME]
    base, same = truth(planned), 0
    for i in range(40):
        swarm = {n: getattr(draws.swarm, n)[i : i + 1].copy() for n in draws.swarm._fields}
        swarm["burst_diameter_m"] = np.array([20.0])
        fleet = base.gear.fleet._replace(
            glide_factor=draws.glide_factor[i : i + 1], drop_drag=draws.drop_drag[i : i + 1]
        )
        own = replace(
            base,
            drawn=base.drawn._replace(swarm=draws.swarm._replace(**swarm)),
            gear=base.gear._replace(fleet=fleet),
            end_s=float(planned.reach.haste.end_s[i]),
        )
        found = let_go(own, lifted(own), moment * planned.climbs.tracks.step_s, HOME)
        same += (found.how is How.HOME) == told[i]
    assert same >= 38
    assert told.sum() > 5
