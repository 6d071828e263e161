"""Advice from the air: held against figures of the demo computed elsewhere, and against sense."""

import numpy as np
import pytest

from farglide.chances.advising import advice_of, advisable
from farglide.chances.chances import chances_in
from farglide.chances.ensemble import Ensemble
from farglide.chances.heights import chances_by_clock
from farglide.chances.informed import Informed
from farglide.chances.onward import seen_of, states_from
from farglide.outlook.advice import Advice, Level
from farglide.track.drift import Been

from .conftest import known_at


def test_an_hour_up_the_chances_are_those_computed_elsewhere(hour: Informed) -> None:
    """Home and not burst at T+68, 72, 76 and 80, live at T+60 on plan: 0.97 0.99 0.99 0.89.

    By a script of the domain's own authors, 200 draws: odds to 0.05.
    """
    at = np.array([68, 72, 76, 80])
    found = chances_by_clock(hour.ensemble, at).chance_ratio[:, 0]
    assert found == pytest.approx([0.97, 0.99, 0.99, 0.89], abs=0.05)


def test_an_hour_up_the_window_is_that_computed_elsewhere(advice: Advice) -> None:
    """Live at T+60: window T+69 to T+77, to the minute and half a step of the clock.

    A release after a burst counts here, and prolongs it.
    """
    assert advice.release is not None
    assert advice.release.field == "Harrowend strip"
    assert advice.release.bound_by == "burst"
    from_min, to_min = (one / 60.0 for one in (
        advice.release.from_after_launch_s, advice.release.to_after_launch_s))  # fmt: skip
    assert from_min == pytest.approx(69.0, abs=1.5)
    assert to_min == pytest.approx(77.0, abs=1.5)
    assert advice.release.release_by_after_launch_s < advice.release.to_after_launch_s
    assert advice.level is Level.WATCH


def test_fields_say_what_becomes_of_them(advice: Advice) -> None:
    home, *others = advice.fields
    assert home.state == "shut"
    assert home.then is not None
    assert home.until_after_launch_s is not None
    assert home.until_after_launch_s / 60.0 == pytest.approx(62.5, abs=2.0)
    assert all(one.state == "open" for one in others)


def test_the_price_of_waiting_turns_from_gain_to_loss(
    heard_demo: Ensemble, flown: Been, advice: Advice
) -> None:
    gains = [one.chance_ratio for one in advice.waiting]
    assert gains == sorted(gains)
    # figures of T+78 for a climb from height 0: from the strip all comes 0.9 min earlier
    late = advice_of(known_at(heard_demo, flown, 77.1), 4626.0, 4626.0)
    losses = [one.chance_ratio for one in late.waiting]
    assert np.diff(losses).max() < 0.005
    assert losses[0] - losses[-1] > 0.2
    assert [one.seconds for one in late.waiting] == [0.0, 60.0, 120.0, 300.0]
    climbed = [one.climbed_m for one in late.waiting]
    assert climbed[2] == pytest.approx(980.0, rel=0.1)  # 2 more minutes: 1.0 km
    # given that it is whole then: 2.6 % within a minute, 9.9 % in that from T+80 on
    assert late.waiting[1].burst_ratio == pytest.approx(0.026, abs=0.015)
    assert late.level is Level.NOW


def test_a_window_that_is_open_is_not_still_to_come(heard_demo: Ensemble, flown: Been) -> None:
    """T+71:50, between two steps of the draws' clock: the first height asked is a step ahead."""
    seen_s = 4310.0
    release = advice_of(known_at(heard_demo, flown, seen_s / 60.0), seen_s, seen_s).release
    assert release is not None
    assert release.from_after_launch_s <= seen_s < release.release_by_after_launch_s


def test_what_holds_along_the_climb_serves_each_fix(hour: Informed) -> None:
    """Links asked once for all fixes of some seconds: as if they were asked of each anew."""
    ensemble, now_s = hour.ensemble, 3607.0
    of, waits_s = advisable(hour, 3600.0), now_s + np.array([0.0, 60.0, 120.0, 300.0])
    there = states_from(ensemble, seen_of(hour, 3600.0), waits_s)
    once = chances_in(ensemble, there, ensemble.goals, of.common)
    anew = chances_in(ensemble, there, ensemble.goals, of.common._replace(along=None))
    assert of.common.along is not None
    assert once.holding is not None
    assert anew.holding is not None
    assert np.array_equal(once.timely_ratio, anew.timely_ratio)
    assert np.array_equal(once.holding.stand, anew.holding.stand)
    assert once.open_ratio == pytest.approx(anew.open_ratio, abs=0.002)
    assert once.holding.by_purpose == pytest.approx(anew.holding.by_purpose, abs=0.002)
