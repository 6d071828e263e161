"""A part knows what it asks, what is allowed, and how to read the answer."""

import pytest

from farglide.errors import AnswerError
from farglide.flightfile.asked.parts import choice, moment, number, place, text, way
from farglide.flightfile.sections.links import LINKS


def test_a_number_shows_the_limits_of_every_way_to_answer_it() -> None:
    ways = way(LINKS, "sensitivity", "dbm"), way(LINKS, "reached", "km")
    part = number("threshold", "weakest", *ways, blank="unknown")
    assert part.limits == "-160 to -20 dBm, or 0.01 to 2000 km; m too"
    assert part.take("-91") == {"sensitivity_dbm": -91}
    assert part.take("5 km") == {"reached_km": 5}
    assert part.blank == "unknown"


def test_other_parts_read_their_own_kind() -> None:
    assert text("name", "name").take("a  b") == {"name": "a b"}
    assert choice("gas", "gas", ("helium", "hydrogen")).take("hy") == {"gas": "hydrogen"}
    assert place("where").take("1, 2") == {"lat_deg": 1.0, "lon_deg": 2.0}
    assert list(moment("when").take("2027-06-15 09:30 Z")) == ["launch_at"]
    with pytest.raises(AnswerError):
        place("where").take("there")


def test_an_unknown_number_is_a_mistake_of_ours() -> None:
    with pytest.raises(StopIteration):
        way(LINKS, "colour", "nm")
