"""Crew: reactions by advice and marks, and choices judged by what was known."""

from dataclasses import replace

from farglide.outlook.advice import Advice, Level
from farglide.review.crew import choice_of, reaction_shown
from farglide.review.flown import Flown, Marked, What

from .made import advice

T_S = 1000.0


def flown(advices: tuple[Advice, ...], *marked: tuple[float, What]) -> Flown:
    marks = tuple(Marked(t_s=T_S + at_s, what=what) for at_s, what in marked)
    return Flown(path="", is_log=True, is_finished=True, fixes=(), marked=marks, advices=advices)


def test_from_now_to_the_pin() -> None:
    told = (advice(4000.0), advice(4100.0, Level.NOW), advice(4105.0, Level.NOW))
    found = reaction_shown(flown(told, (4106.0, What.SENT), (4113.0, What.RELEASED)), T_S, None)
    assert (found.now_to_sent_s, found.sent_to_pin_s) == (6.0, 7.0)
    assert found.whole is not None
    assert (found.whole.value, found.whole.at_least) == (13.0, False)


def test_without_now_it_took_at_least_so_long() -> None:
    for told in ((), (advice(3000.0, Level.NOW),), (advice(4100.0, Level.NOW), advice(4101.0))):
        found = reaction_shown(flown(told, (4106.0, What.SENT)), T_S, 4114.0)
        assert found.whole is not None
        assert (found.whole.value, found.whole.at_least) == (8.0, True)


def test_nothing_is_told_of_a_pin_that_stuck_or_a_release_not_marked() -> None:
    stuck = flown((), (4106.0, What.SENT), (4110.0, What.STUCK), (4150.0, What.RELEASED))
    for one in (stuck, flown((), (4106.0, What.SENT)), flown((), (4110.0, What.RELEASED)),
                flown((), (4110.0, What.SENT), (4100.0, What.RELEASED))):  # fmt: skip
        assert reaction_shown(one, T_S, None).whole is None


def test_hurried_by_a_rehearsal_nobody_reacts_as_in_life() -> None:
    told = (advice(4100.0, Level.NOW),)
    one = flown(told, (4106.0, What.SENT), (4113.0, What.RELEASED))
    assert reaction_shown(replace(one, speed=20.0), T_S, None).whole is None
    assert reaction_shown(replace(one, speed=1.0), T_S, None).whole is not None


def test_a_choice_is_judged_by_what_was_known() -> None:
    told = (advice(4000.0), advice(4500.0, Level.NOW, chance=0.85), advice(4900.0, chance=0.1))
    found = choice_of(flown(told, (4506.0, What.SENT)), T_S, 4512.0)
    assert found is not None
    assert (found.due_after_launch_s, found.sent_after_launch_s) == (4600.0, 4506.0)
    assert found.from_after_launch_s == told[1].release.from_after_launch_s  # type: ignore[union-attr]
    assert (found.field, found.chance_ratio, found.best_ratio) == ("Harrowend strip", 0.85, 0.95)


def test_without_a_command_there_is_a_due_time_all_the_same() -> None:
    found = choice_of(flown((advice(4000.0),)), T_S, None)
    assert found is not None
    assert (found.due_after_launch_s, found.sent_after_launch_s) == (4600.0, None)
    assert found.chance_ratio is None
    freed = choice_of(flown((advice(4000.0), advice(5000.0, chance=0.2))), T_S, 4512.0)
    assert freed is not None
    assert (freed.sent_after_launch_s, freed.released_after_launch_s) == (None, 4512.0)
    assert freed.chance_ratio == 0.8
    assert choice_of(flown(()), T_S, None) is None
    assert choice_of(flown((advice(4000.0),), (100.0, What.SENT)), T_S, None) is None
