"""Rows of keys by their kind, and numbers as read."""

import math

import pytest

from farglide.flightfile.reading.endings import MASS, PURE
from farglide.flightfile.reading.keys import (
    Doubt,
    Numbers,
    Quantity,
    Stated,
    StatedSpread,
    choice,
    guess,
    needed,
    shares,
    stand_in,
    typical,
)
from farglide.sortie.known import Known, Tag

SPAN = (0.0, 2.0)


def test_a_row_knows_every_way_to_write_it() -> None:
    row = Quantity("mass", MASS, SPAN, "it weighs", doubt=shares(0.1, 0.2, 0.3))
    assert (row.key, row.keys) == ("mass_kg", {"mass_kg": "kg", "mass_g": "g"})
    assert tuple(row.spread_keys) == (
        "mass_spread_kg", "mass_spread_g", "mass_spread_ratio", "mass_spread_percent",
    )  # fmt: skip
    bare = Quantity("factor", PURE, SPAN, "it is multiplied by")
    assert (bare.key, bare.spread_keys) == ("factor", {})


def test_rows_of_each_kind() -> None:
    assert needed("mass", MASS, SPAN, "it weighs").required
    row = guess("mass", MASS, SPAN, "it weighs", 1.0, settle="weigh it")
    assert (row.default, row.tag, row.choice, row.settle) == (1.0, Tag.GUESS, False, "weigh it")
    row = typical("mass", MASS, SPAN, "it weighs", 1.0)
    assert (row.default, row.tag, row.choice) == (1.0, Tag.TYPICAL, False)
    row = choice("mass", MASS, SPAN, "it weighs", 1.0)
    assert (row.default, row.choice, row.doubt) == (1.0, True, None)


def test_doubt_is_a_share_or_a_size() -> None:
    assert shares(0.1, 0.2, 0.3).sd(-5.0, Tag.TYPICAL) == 1.0
    kelvins = Doubt(measured=3.0, typical=6.0, guess=7.0, absolute=True)
    assert [kelvins.sd(0.0, tag) for tag in Tag] == [3.0, 6.0, 7.0]


@pytest.mark.parametrize(
    ("spread", "doubt", "sd"),
    [
        (None, None, 0.0),
        (None, shares(0.1, 0.2, 0.25), 0.5),
        (StatedSpread(size=0.05, is_share=True), shares(0.1, 0.2, 0.25), 0.1),
        (StatedSpread(size=0.3, is_share=False), None, 0.3),
    ],
)
def test_a_stated_doubt_goes_before_the_usual_one(
    spread: StatedSpread | None, doubt: Doubt | None, sd: float
) -> None:
    blank = Stated(
        value=math.nan, sd=0.0, tag=Tag.MEASURED, given=False, spread=spread, doubt=doubt
    )
    assert blank.filled(2.0, Tag.GUESS).known() == Known(value=2.0, sd=sd, tag=Tag.GUESS)


def test_what_is_stated_is_not_replaced() -> None:
    here = Stated(value=1.0, sd=0.0, tag=Tag.MEASURED, given=True)
    gone = Stated(value=math.nan, sd=0.0, tag=Tag.GUESS, given=False)
    numbers: Numbers = {"a": here, "b": gone}
    stand_in(numbers, "a", 5.0, Tag.GUESS)
    stand_in(numbers, "b", 5.0, Tag.TYPICAL)
    assert numbers["a"] is here
    assert (numbers["b"].value, numbers["b"].tag, numbers["b"].given) == (5.0, Tag.TYPICAL, False)
