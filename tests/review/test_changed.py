"""Changed: the change that brings the chance highest, and the guess that moves it most."""

from dataclasses import replace

from farglide.outlook.changes import Gain
from farglide.review.changed import best_change

from ..present.sample_outlook import sample


def gain(what: str, chance: float, moved: float = 0.0) -> Gain:
    return Gain(what=what, chance_ratio=chance, shut_s=0.0, release_by_shift_s=0.0, advice="so",
                moved_ratio=moved)  # fmt: skip


PLAN = replace(
    sample(),
    as_planned=gain("as planned", 0.60),
    gains=(gain("one", 0.70), gain("two", 0.81), gain("worse", 0.3)),
    unknowns=(gain("early bursts", 0.5, 0.04), gain("drag", 0.5, 0.11)),
)


def test_the_best_change_and_the_costliest_guess() -> None:
    found = best_change(PLAN)
    assert found is not None
    assert (found.what, found.from_ratio, found.to_ratio) == ("two", 0.60, 0.81)
    assert (found.unknown, found.unknown_ratio, found.advice) == ("drag", 0.11, "so")


def test_nothing_that_helps_is_told_as_nothing() -> None:
    none = replace(PLAN, gains=(gain("a hair", 0.605),), unknowns=(gain("drag", 0.6, 0.001),))
    found = best_change(none)
    assert found is not None
    assert (found.what, found.to_ratio, found.unknown) == ("", 0.60, "")


def test_without_a_field_nothing_is_compared() -> None:
    assert best_change(replace(PLAN, fields=(), release=None)) is None
