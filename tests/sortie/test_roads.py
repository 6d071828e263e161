"""Roads: how much longer a way takes, closed ones, and that the last word holds."""

import math

import pytest

from farglide.sortie.roads import Road, longer_s

ROADS = (
    Road(start="launch", end="Knap", longer_s=1500.0),
    Road(start="Gap", end="Knap", longer_s=None),
    Road(start="Knap", end="launch", longer_s=600.0),
)


@pytest.mark.parametrize(
    ("one", "other", "late_s"),
    [("launch", "Knap", 600.0), ("Knap", "launch", 600.0), ("Knap", "Gap", math.inf),
     ("launch", "Gap", 0.0)],
)  # fmt: skip
def test_either_way_the_last_word_holds(one: str, other: str, late_s: float) -> None:
    assert longer_s(ROADS, one, other) == late_s
