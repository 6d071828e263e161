"""Score: what choices cost by what was known when they were made."""

from dataclasses import replace

import pytest

from farglide.live.rehearse.score import REACTS_S, due_after_launch_s, score_of
from farglide.live.rehearse.sitting import Look
from farglide.outlook.advice import (
    Advice,
    AirNow,
    BurstAhead,
    FieldNow,
    LeakNow,
    Level,
    PlaceNow,
    ReleaseAdvice,
    Waited,
)
from farglide.outlook.ascent import Spread
from farglide.outlook.freshness import Freshness

NEVER = Spread(p10=float("nan"), p50=float("nan"), p90=float("nan"))
WHOLE = float("nan")
RELEASE = ReleaseAdvice(
    field="Home", from_amsl_m=22e3, to_amsl_m=26e3, from_after_launch_s=3900.0,
    to_after_launch_s=4500.0, release_by_after_launch_s=4460.0, chance_ratio=0.95,
    bound_by="burst", is_enough=True,
)  # fmt: skip


def look(t_s: float, *ratios: float, level: Level = Level.DECIDE, by_s: float = 4460.0) -> Look:
    """Return a look at which the chances now and after 1, 2 and 5 min are such."""
    waits = zip((0.0, 60.0, 120.0, 300.0), ratios, strict=True)
    fields = tuple(
        FieldNow(
            name=name,
            state="open",
            open_ratio=ratio,
            chance_ratio=ratio,
            until_after_launch_s=None,
            then=None,
        )
        for name, ratio in (("Home", ratios[0]), ("Far", 0.4))
    )
    return Look(t_s, Advice(
        after_launch_s=t_s, level=level, data=Freshness.FRESH,
        place=PlaceNow(lat_deg=0.0, lon_deg=0.0, amsl_m=25e3, half_within_m=1.0,
                       most_within_m=1.0, seen_after_launch_s=t_s),
        fields=fields, release=replace(RELEASE, release_by_after_launch_s=by_s),
        waiting=tuple(Waited(seconds=s, chance_ratio=r, climbed_m=0.0, burst_ratio=0.0)
                      for s, r in waits),
        burst=BurstAhead(after_launch_s=NEVER, amsl_m=NEVER),
        leak=LeakNow(chance_ratio=0.0, since_after_launch_s=None, top_amsl_m=NEVER),
        air=AirNow(measured_ratio=0.0, ahead_ratio=0.0, spread_ratio=1.0),
    ))  # fmt: skip


def test_who_lets_go_at_the_best_moment_loses_nothing() -> None:
    found = score_of(
        [look(4000.0, 0.5, 0.6, 0.7, 0.9), look(4300.0, 0.9, 0.9, 0.8, 0.5)], 4310, 0, WHOLE
    )
    assert (found.chance_ratio, found.best_ratio, found.regret_ratio) == (0.9, 0.9, 0.0)
    assert found.is_met
    assert found.due_after_launch_s is None


def test_letting_go_too_soon_costs_what_waiting_would_have_brought() -> None:
    found = score_of([look(4000.0, 0.5, 0.6, 0.7, 0.9)], 4010.0, 0, WHOLE)
    assert found.regret_ratio == pytest.approx(0.4)


def test_a_window_still_to_come_counts_as_known() -> None:
    found = score_of([look(3000.0, 0.1, 0.1, 0.1, 0.2)], 3010.0, 0, WHOLE)
    assert found.best_ratio == 0.95
    assert found.regret_ratio == pytest.approx(0.85)


def test_the_wrong_field_costs_the_better_one() -> None:
    assert score_of([look(4300.0, 0.9, 0.9, 0.8, 0.5)], 4310.0, 1, WHOLE).regret_ratio == (
        pytest.approx(0.5)
    )


def test_waiting_too_long_costs_what_each_minute_took() -> None:
    looks = [look(4300.0, 0.9, 0.88, 0.8, 0.6), look(4420.0, 0.8, 0.75, 0.7, 0.5)]
    found = score_of(looks, 4430.0, 0, WHOLE)
    assert found.regret_ratio == pytest.approx(0.02 * 2.0)  # two minutes at two points each
    never = score_of([*looks, look(4480.0, 0.7, 0.6, 0.5, 0.3)], None, 0, WHOLE)
    assert never.regret_ratio == pytest.approx(0.04 + 0.05 + 0.7)
    assert never.chance_ratio == 0.0
    assert not never.is_met


def test_release_by_is_as_told_when_it_first_came_to_now() -> None:
    calm, now = look(4300.0, 0.9, 0.9, 0.9, 0.9), look(4400.0, 0.9, 0.8, 0.7, 0.6, level=Level.NOW)
    later = look(4500.0, 0.8, 0.7, 0.6, 0.5, level=Level.NOW, by_s=4510.0)
    assert due_after_launch_s([calm]) is None
    assert due_after_launch_s([calm, now, later]) == 4460.0
    assert score_of([calm, now], 4450.0, 0, WHOLE).is_met
    assert not score_of([calm, now, later], 4505.0, 0, WHOLE).is_met


def test_nobody_reacts_sooner_than_they_can() -> None:
    overdue = look(4470.0, 0.9, 0.8, 0.7, 0.6, level=Level.NOW)  # due 10 s before it is told
    assert due_after_launch_s([overdue]) == 4470.0 + REACTS_S
    assert score_of([overdue], 4480.0, 0, WHOLE).is_met


def test_a_release_that_was_not_due_yet_is_told_with_its_window() -> None:
    inside = score_of([look(4300.0, 0.9, 0.9, 0.9, 0.9)], 4310.0, 0, WHOLE)
    assert (inside.told_by_after_launch_s, inside.opens_after_launch_s) == (4460.0, None)
    early = score_of([look(3000.0, 0.1, 0.1, 0.1, 0.2)], 3010.0, 0, WHOLE)
    assert early.opens_after_launch_s == 3900.0
    never = score_of([look(4300.0, 0.9, 0.9, 0.9, 0.9)], None, 0, WHOLE)
    assert never.told_by_after_launch_s is None


def test_a_now_that_is_taken_back_is_no_date() -> None:
    now = look(4400.0, 0.9, 0.8, 0.7, 0.6, level=Level.NOW)
    eased = look(4430.0, 0.9, 0.9, 0.9, 0.9)
    again = look(4700.0, 0.9, 0.8, 0.7, 0.6, level=Level.NOW, by_s=4720.0)
    assert due_after_launch_s([now, eased]) is None
    assert due_after_launch_s([now, eased, again]) == 4720.0


def test_a_burst_before_it_was_due_is_nobodys_fault() -> None:
    looks = [look(4000.0, 0.5, 0.6, 0.7, 0.9)]
    early = score_of(looks, 4100.0, 0, 4050.0)
    assert early.regret_ratio == 0.0
    assert early.chance_ratio != early.chance_ratio
    assert early.is_met
    overdue = [look(4400.0, 0.9, 0.85, 0.7, 0.6, level=Level.NOW), look(4460.0, 0.8, 0.7, 0.6, 0.5)]
    late = score_of(overdue[:1] * 2, None, 0, 4500.0)
    assert not late.is_met
    assert score_of(overdue, 4520.0, 0, 4500.0).regret_ratio == pytest.approx(0.05)


def test_where_nothing_was_advised_nothing_is_scored() -> None:
    found = score_of([Look(100.0, None)], 200.0, 0, WHOLE)
    assert found.regret_ratio != found.regret_ratio
    assert not found.is_met
