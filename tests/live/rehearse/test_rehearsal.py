"""Rehearsal: the same each time, with a pin that sticks, a crew that is late, a burst."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from farglide.chances.ensemble import Ensemble
from farglide.live.rehearse.crew import ByRule, crew_of
from farglide.live.rehearse.rehearsal import RETRY_S, Named, followed, rehearsed
from farglide.live.rehearse.sitting import Sitting
from farglide.live.rehearse.surprises import Changes
from farglide.live.rehearse.truth import Truth
from farglide.outlook.rehearsal import What

from .conftest import Blind

Make = Callable[..., Truth]
NONE = Named((), 0)


def test_by_the_advice_it_comes_home_and_misses_nothing(sitting: Sitting) -> None:
    told = rehearsed(sitting, crew_of("advice", sitting.planned), NONE).told
    assert told.came_home
    assert told.score.is_met
    assert told.score.regret_ratio < 0.1
    whats = [one.what for one in told.happened if one.what is not What.ADVISED]
    assert whats == [What.LAUNCHED, What.SENT, What.RELEASED, What.OVER, What.DOWN]
    times = [one.after_launch_s for one in told.happened]
    assert times == sorted(times)


def test_the_same_again_is_the_same(sitting: Sitting, planned: Ensemble, truth: Make) -> None:
    crew = ByRule("low", 3000.0, np.inf)
    first = rehearsed(sitting, crew, NONE)
    again = rehearsed(Sitting(planned, truth(planned), 1), crew, NONE)
    assert first.told == again.told
    np.testing.assert_array_equal(first.flown.path.north_rad, again.flown.path.north_rad)


def test_a_rule_lets_go_where_it_says(sitting: Sitting) -> None:
    told = rehearsed(sitting, crew_of("25km", sitting.planned), NONE).told
    assert told.release_amsl_m == pytest.approx(25_000.0, abs=200.0)
    assert told.crew == "25km"


def test_a_pin_that_sticks_costs_a_try_and_one_that_never_works_all(
    planned: Ensemble, truth: Make
) -> None:
    made = truth(planned)
    reaction_s = float(made.drawn.reaction_s[0])
    plain = followed(made, 4000.0, 0, 9000.0)
    assert (plain.sent_s, plain.free_s) == (4000.0, 4000.0 + reaction_s)
    changed = {
        "n_sticks": (Changes(n_sticks=1), 4000.0, 4000.0 + reaction_s + RETRY_S),
        "late": (Changes(crew_late_s=120.0), 4120.0, 4120.0 + reaction_s),
        "heard late": (Changes(command_late_s=30.0), 4000.0, 4030.0 + reaction_s),
    }
    for changes, sent_s, free_s in changed.values():
        found = followed(replace(made, changes=changes), 4000.0, 0, 9000.0)
        assert (found.sent_s, found.free_s) == (sent_s, free_s)
    never = followed(truth(planned, "pin-never"), 4000.0, 0, 9000.0)
    assert never.free_s is None
    assert len(never.tries_s) == int((9000.0 - 4000.0 - reaction_s) / RETRY_S) + 1


def test_a_burst_is_seen_and_the_release_sent_at_once(planned: Ensemble, truth: Make) -> None:
    made = replace(truth(planned, "early-burst"), comes_free=True)
    sitting = Blind(planned, made, 1)
    patient = ByRule("patient", np.inf, np.inf)
    told = rehearsed(sitting, patient, NONE).told
    whats = {one.what: one.after_launch_s for one in told.happened}
    assert whats[What.BURST] < whats[What.SENT] < whats[What.BURST] + 30.0
    assert whats[What.RELEASED] >= whats[What.SENT]
    assert not told.score.is_met


def test_a_leak_tops_out_and_never_let_go_comes_down_tied_on(
    planned: Ensemble, truth: Make
) -> None:
    made = truth(planned, "leak")
    made = replace(made, changes=replace(made.changes, n_sticks=1_000_000))
    told = rehearsed(Blind(planned, made, 1), ByRule("late", np.inf, 7200.0), NONE).told
    whats = [one.what for one in told.happened]
    assert What.TOPPED in whats
    assert What.STUCK in whats
    assert What.RELEASED not in whats
    assert told.how == "came down with the balloon still tied on"
    assert not told.came_home
