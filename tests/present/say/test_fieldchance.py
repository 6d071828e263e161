"""Field chance: a state never stands beside the chance of something else without a word why."""

from dataclasses import replace

from farglide.outlook.advice import FieldNow
from farglide.present.say.fieldchance import is_better, is_held, told_chance

HOME = FieldNow(name="Home strip", state="doubtful", chance_ratio=0.31, open_ratio=0.72,
                until_after_launch_s=3600.0, then="open")  # fmt: skip


def test_both_chances_are_told_where_they_are_apart() -> None:
    assert told_chance(HOME, "burst counted") == "7 in 10; burst counted 3 in 10"
    alike = replace(HOME, chance_ratio=0.71)
    assert told_chance(alike, "burst counted") == "7 in 10"


def test_a_rounding_of_an_open_field_is_no_reason() -> None:
    near = replace(HOME, state="open", open_ratio=0.985, chance_ratio=0.97)
    assert told_chance(near, "burst counted") == "19 in 20"
    apart = replace(near, chance_ratio=0.42)
    assert told_chance(apart, "burst counted") == "over 49 in 50; burst counted 4 in 10"


def test_what_is_better_already_is_held() -> None:
    assert is_better(HOME)
    assert is_held(HOME, 3600.0)
    assert not is_held(HOME, 3599.0)
    assert not is_held(replace(HOME, then="shut"), 3600.0)
    assert not is_held(replace(HOME, until_after_launch_s=None, then=None), 3600.0)
