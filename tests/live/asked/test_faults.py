"""Faults: the time in hand and the ride's own chances are those of the advice."""

from dataclasses import replace

import pytest

from farglide.live.asked.faults import fault_now
from farglide.live.asked.moment import Told
from farglide.live.asked.situation import Situation
from farglide.outlook.advice import PictureOff
from farglide.outlook.ascent import Spread


def test_time_in_hand_and_chances_are_the_advice_s(asked: Situation) -> None:
    found, advice = fault_now(asked), asked.advice
    assert advice.release is not None
    assert found.release_in_s == advice.release.release_by_after_launch_s - asked.now_s
    assert found.burst_in_s == pytest.approx(advice.burst.after_launch_s.p10 - asked.now_s)
    assert found.burst_ratio == advice.waiting[-1].burst_ratio
    assert found.leak_ratio == advice.leak.chance_ratio
    assert found.winds_ratio == advice.air.spread_ratio
    assert (found.grade, found.wanted) == (None, "")


def test_what_never_comes_has_no_time(asked: Situation) -> None:
    nan = float("nan")
    burst = replace(asked.advice.burst, after_launch_s=Spread(p10=nan, p50=nan, p90=nan))
    fields = tuple(
        replace(one, until_after_launch_s=asked.now_s + 60.0, then="open")
        for one in asked.advice.fields
    )
    advice = replace(asked.advice, release=None, burst=burst, fields=fields)
    found = fault_now(replace(asked, advice=advice))
    assert (found.release_in_s, found.burst_in_s, found.door_in_s) == (None, None, None)
    shut = tuple(replace(one, then="shut") for one in fields)
    assert fault_now(replace(asked, advice=replace(advice, fields=shut))).door_in_s == 60.0


def test_a_grade_is_held_against_the_stand_of_the_car(asked: Situation) -> None:
    told = replace(asked.told, grade=1, fault="frost")
    found = fault_now(replace(asked, told=told))
    assert found.grade is not None
    assert (found.grade.stand, found.grade.seen_grade) == ("Wether Knap", 1)
    assert found.wanted == "frost"


def test_grades_that_moved_the_link_explain_none_of_themselves(asked: Situation) -> None:
    plain = fault_now(replace(asked, told=replace(asked.told, grade=1))).grade
    off = PictureOff(link=asked.sortie.links[0].name, offset_db=-4.0, offset_sd_db=2.0)
    moved = replace(
        asked, told=replace(asked.told, grade=1), advice=replace(asked.advice, picture=off)
    )
    found = fault_now(moved).grade
    assert plain is not None
    assert found is not None
    assert found.expected_db == pytest.approx(plain.expected_db + 4.0)


def test_without_a_stand_a_grade_says_nothing(unlinked: Situation) -> None:
    assert fault_now(replace(unlinked, told=Told(grade=1))).grade is None
