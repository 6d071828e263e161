"""Flown: home in time, too late, short, or never let go; empty packs leave it to itself."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from farglide.chances.ensemble import Ensemble
from farglide.live.rehearse.flown import How, let_go
from farglide.live.rehearse.lifted import lifted
from farglide.live.rehearse.truth import Truth

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
    # Figures computed elsewhere: with the packs home opens at T+74 and shuts at T+97.5, best T+88.
    # The crew here flies by the winds it was told, and spirals off its height: narrower.
    made = truth(low, "slow-leak")
    lift = lifted(made)
    ends = {t: let_go(made, lift, 60.0 * t, HOME).how for t in (66.0, 88.0, 93.0, 101.0)}
    assert ends == {66.0: How.SHORT, 88.0: How.HOME, 93.0: How.HOME, 101.0: How.LATE}


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
