"""A section as the file writes it, and a number as a person is told it."""

from farglide.flightfile.entries import quoted
from farglide.flightfile.sections.balloon import BALLOON

from .conftest import Entered
from .test_entered import KITE, SHAPED, SPOT


def test_a_number_is_told_as_the_file_writes_it(entered: Entered) -> None:
    text = '[balloon]\nmass_g = 800\ngas = "helium"\nneck_lift_g = 1600\nearly_burst_percent = 4'
    one = entered(BALLOON, text)
    assert (one.written("neck_lift_kg"), one.told("neck_lift_kg")) == ("neck_lift_g", "1600 g")
    assert (one.written("early_burst_ratio"), one.told("early_burst_ratio")) == (
        "early_burst_percent", "4 %",
    )  # fmt: skip
    assert one.written("purity_ratio") == "purity_ratio"
    assert str(one.problem("neck_lift_kg", "is little.")) == "[balloon] neck_lift_g: is little."


def test_titles_are_written_as_in_the_file() -> None:
    assert [one.title for one in (KITE, SPOT, SHAPED)] == ["[kite]", "[[spots]]", "[[kite.tails]]"]
    assert quoted(["box"]) == '``"box"``'
