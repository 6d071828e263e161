"""Steady: better waits until it lasts and is clear, worse never waits."""

from dataclasses import replace

import pytest
from tests.live.advice import ADVICE

from farglide.live.ride.steady import (
    CLEAR_RATIO,
    LASTS_S,
    LEVEL,
    LONG_S,
    Better,
    is_shown,
    steadied,
)
from farglide.live.ride.told import Told
from farglide.outlook.advice import Advice, Level
from farglide.outlook.fields import State
from farglide.sortie.spec import Wish

WISH = Wish()
LEVELS = (Level.NOW, Level.DECIDE, Level.WATCH, Level.QUIET)
STATES: tuple[State, ...] = ("shut", "doubtful", "open")


def with_field(state: State, open_ratio: float) -> Advice:
    return replace(ADVICE, fields=(replace(ADVICE.fields[0], state=state, open_ratio=open_ratio),))


def told(
    level: Level = Level.WATCH, state: State = "doubtful", since_s: float | None = None
) -> Told:
    name = ADVICE.fields[0].name
    waits = {} if since_s is None else {name: since_s}
    return Told(at_s=0.0, level=level, fields={name: state}, since_s=waits)


def test_the_first_advice_is_shown_as_it_is() -> None:
    assert steadied(ADVICE, Told(), 0.0, WISH) == (ADVICE, {})


@pytest.mark.parametrize("was", LEVELS)
@pytest.mark.parametrize("now", LEVELS)
def test_a_higher_level_never_waits(was: Level, now: Level) -> None:
    found = steadied(replace(ADVICE, level=now, fields=()), told(was), 100.0, WISH)
    is_better = LEVELS.index(now) > LEVELS.index(was)
    assert found.advice.level is (was if is_better else now)
    assert found.since_s == ({LEVEL: 100.0} if is_better else {})


@pytest.mark.parametrize("was", STATES)
@pytest.mark.parametrize("now", STATES)
def test_a_worse_field_never_waits(was: State, now: State) -> None:
    found = steadied(with_field(now, 0.99), told(state=was), 100.0, WISH)
    is_better = STATES.index(now) > STATES.index(was)
    assert found.advice.fields[0].state == (was if is_better else now)


def test_a_better_level_waits_its_time() -> None:
    calm = replace(ADVICE, level=Level.QUIET, fields=())
    was = Told(level=Level.WATCH, since_s={LEVEL: 5.0})
    for after_s, shown in ((LASTS_S - 0.1, Level.WATCH), (LASTS_S, Level.QUIET)):
        assert steadied(calm, was, 5.0 + after_s, WISH).advice.level is shown


def test_a_better_field_waits_and_says_from_when_it_is_better() -> None:
    better = with_field("open", 0.96)
    one = steadied(better, told(since_s=5.0), 10.0, WISH).advice.fields[0]
    assert (one.state, one.then, one.until_after_launch_s) == (
        "doubtful", "open", ADVICE.after_launch_s,
    )  # fmt: skip
    assert steadied(better, told(since_s=5.0), 5.0 + LASTS_S, WISH).advice == better


@pytest.mark.parametrize(
    ("ratio", "lasted_s", "is_taken"),
    [
        (0.9 + CLEAR_RATIO, LASTS_S, True),
        (0.9 + CLEAR_RATIO - 0.01, LASTS_S, False),
        (0.9 + CLEAR_RATIO - 0.01, LONG_S - 1.0, False),
        (0.9 + CLEAR_RATIO - 0.01, LONG_S, True),
        (0.99, LASTS_S - 0.1, False),
    ],
)
def test_what_is_hardly_better_waits_long(ratio: float, lasted_s: float, is_taken: bool) -> None:
    found = steadied(with_field("open", ratio), told(since_s=50.0), 50.0 + lasted_s, WISH)
    assert (found.advice.fields[0].state == "open") is is_taken


def test_a_chance_that_swings_about_its_bound_does_not_flicker() -> None:
    """Three minutes of 0.88 and 0.92 by turns, each second: doubtful all the time."""
    now, shown = told(state="doubtful"), set()
    for second in range(180):
        state: State = "open" if second % 2 else "doubtful"
        found = steadied(with_field(state, 0.92 if second % 2 else 0.88), now, second, WISH)
        shown.add(found.advice.fields[0].state)
        now = replace(now, since_s=found.since_s)
    assert shown == {"doubtful"}


def test_is_shown_counts_from_when_it_began() -> None:
    assert not is_shown(Better(True, 10.0), 10.0)
    assert is_shown(Better(True, 10.0), 30.0)
    assert not is_shown(Better(False, 10.0), 30.0)
