"""Crew: when each of them sends the release, and for which field."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from farglide.chances.ensemble import Ensemble
from farglide.errors import InputError
from farglide.live.rehearse.crew import CREWS, ByRule, advised_field, crew_of, is_due
from farglide.live.rehearse.sitting import Look, Sitting
from farglide.live.rehearse.truth import Truth
from farglide.outlook.advice import Advice, Level

Make = Callable[..., Truth]


@pytest.fixture(scope="module")
def advice(sitting: Sitting) -> Advice:
    found = sitting.looks(900.0)[-1].advice
    assert found is not None
    assert found.release is not None
    return found


def with_chances(advice: Advice, *ratios: float, **others: Any) -> Advice:
    waits = zip(advice.waiting, ratios, strict=True)
    waiting = tuple(replace(one, chance_ratio=ratio) for one, ratio in waits)
    return replace(advice, waiting=waiting, **others)


def test_now_and_what_is_overdue_are_due(advice: Advice) -> None:
    assert advice.release is not None
    by_s = advice.release.release_by_after_launch_s
    assert not is_due(Look(900.0, advice), 900.0)
    assert is_due(Look(900.0, advice), by_s)
    assert is_due(Look(900.0, replace(advice, level=Level.NOW)), 900.0)
    assert not is_due(Look(900.0, None), 9000.0)


def test_without_a_release_it_lets_go_when_no_wait_is_better(advice: Advice) -> None:
    none = {"release": None}
    assert is_due(Look(0.0, with_chances(advice, 0.3, 0.3, 0.2, 0.1, **none)), 0.0)
    assert not is_due(Look(0.0, with_chances(advice, 0.3, 0.3, 0.2, 0.4, **none)), 0.0)
    assert not is_due(Look(0.0, with_chances(advice, 0.0, 0.0, 0.0, 0.0, **none)), 0.0)


def test_the_field_advised_or_the_best_one(sitting: Sitting, advice: Advice) -> None:
    names = [one.name for one in sitting.planned.sortie.fields]
    assert advice.release is not None
    assert names[advised_field(sitting, advice)] == advice.release.field
    best = names[advised_field(sitting, replace(advice, release=None))]
    ratios = {one.name: one.chance_ratio for one in advice.fields}
    assert ratios[best] == max(ratios.values())


def test_a_rule_is_a_height_a_time_or_a_burst(sitting: Sitting) -> None:
    rule = ByRule("some", 5000.0, np.inf, 2)
    assert rule.wants(sitting, 600.0) is None
    assert rule.wants(sitting, 1200.0) == 2
    clock = ByRule("some", np.inf, 700.0, 1)
    assert clock.wants(sitting, 698.0) is None
    assert clock.wants(sitting, 700.0) == 1


def test_rules_of_the_plan_and_the_simple_ones(planned: Ensemble) -> None:
    plan, high, clock = (crew_of(name, planned) for name in ("plan", "25km", "5min"))
    assert isinstance(plan, ByRule)
    assert isinstance(high, ByRule)
    assert isinstance(clock, ByRule)
    # Plan of the demo: window from T+69 to T+77; median burst T+82.15 from the strip.
    assert 20_000.0 <= plan.amsl_m < 29_000.0
    assert 60.0 < plan.until_s / 60.0 < 95.0
    assert high.amsl_m == 25_000.0
    assert clock.until_s / 60.0 == pytest.approx(82.15 - 5.0, abs=1.5)


def test_where_no_release_is_planned_the_clock_leads(planned: Ensemble) -> None:
    wish = replace(planned.sortie.wish, doubtful_ratio=1.0, open_ratio=1.0, enough_ratio=1.0)
    away = planned.goals._replace(north_rad=planned.goals.north_rad + 0.2)
    hopeless = replace(planned, sortie=replace(planned.sortie, wish=wish), goals=away)
    found = crew_of("plan", hopeless)
    assert isinstance(found, ByRule)
    assert np.isinf(found.amsl_m)
    assert np.isfinite(found.until_s)


def test_every_crew_has_its_name_and_no_other_is_known(planned: Ensemble) -> None:
    assert [crew_of(name, planned).name for name in CREWS] == list(CREWS)
    allowed = r"--crew is 'cat'; allowed: advice, window, plan, 25km, 5min"
    with pytest.raises(InputError, match=allowed):
        crew_of("cat", planned)


class Shown(Sitting):
    """A sitting in which one advice stands, whatever happens."""

    def __init__(self, planned: Ensemble, advice: Advice | None, falls: bool = False) -> None:
        self.planned, self._advice_shown, self._falls_now = planned, advice, falls

    def look(self, t_s: float) -> Look | None:
        return Look(t_s, self._advice_shown)

    def is_seen_falling(self, t_s: float) -> bool:
        return self._falls_now


def test_at_the_window_it_lets_go_when_no_wait_is_better(planned: Ensemble, advice: Advice) -> None:
    assert advice.release is not None
    field = [one.name for one in planned.sortie.fields].index(advice.release.field)
    crew = crew_of("window", planned)
    soon = replace(advice.release, from_after_launch_s=advice.after_launch_s + 30.0)
    later = replace(advice.release, from_after_launch_s=advice.after_launch_s + 90.0)
    for release, ratios, wanted in (
        (soon, (0.90, 0.905, 0.9, 0.8), field),
        (soon, (0.90, 0.92, 0.9, 0.8), None),
        (later, (0.90, 0.90, 0.9, 0.8), None),
    ):
        shown = with_chances(advice, *ratios, release=release)
        assert crew.wants(Shown(planned, shown), advice.after_launch_s) == wanted


def test_after_a_burst_both_crews_of_the_advice_let_go_at_once(
    planned: Ensemble, advice: Advice
) -> None:
    for name in ("advice", "window"):
        crew = crew_of(name, planned)
        assert crew.wants(Shown(planned, advice, falls=True), 900.0) is not None
        assert crew.wants(Shown(planned, None, falls=True), 900.0) == 0
        assert crew.wants(Shown(planned, None), 900.0) is None
