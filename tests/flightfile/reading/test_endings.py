"""Endings of keys: units and their words."""

import pytest

from farglide.flightfile.reading import endings
from farglide.flightfile.reading.endings import Scale, si_value, unit_question, unit_text


def test_the_first_ending_is_the_si_one() -> None:
    tables = [one for name, one in vars(endings).items() if name.isupper() and name[0] != "_"]
    tables = [one for one in tables if isinstance(one, dict)]
    assert len(tables) > 20
    for units in tables:
        assert next(iter(units.values())) == (1, 1)


@pytest.mark.parametrize(
    ("number", "scale", "value"),
    [
        (680.0, Scale(over=1000), 0.68),
        (3.0, Scale(60), 180.0),
        (1000.0, endings.HEIGHT["ft"], 304.8),
    ],
)
def test_stated_numbers_become_si(number: float, scale: Scale, value: float) -> None:
    assert si_value(number, scale) == pytest.approx(value, rel=1e-15)


def test_units_are_shown_and_asked_for_in_words() -> None:
    assert (unit_text("mps"), unit_text("deg"), unit_text("percent")) == (" m/s", "°", " %")
    assert (unit_question("ft"), unit_question("h")) == ("feet", "h")
