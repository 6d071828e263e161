"""Fitting: the weightiest stay in their order, and that something is left out is said."""

import pytest

from farglide.present.say.fitting import MORE, Fact, fitted

FACTS = (Fact("Release by 17:57."), Fact("A meadow.", 3), Fact("Home.", 1), Fact("A lea.", 3))


@pytest.mark.parametrize(
    ("n_rows", "lines"),
    [
        (4, ["Release by 17:57.", "A meadow.", "Home.", "A lea."]),
        (3, ["Release by 17:57.", "Home.", MORE]),
        (2, ["Release by 17:57.", MORE]),
    ],
)
def test_what_matters_least_goes_first(n_rows: int, lines: list[str]) -> None:
    assert fitted(FACTS, 30, n_rows) == lines


def test_long_ones_are_wrapped_and_empty_ones_left_out() -> None:
    assert fitted([Fact("one two three"), Fact("")], 8, 5) == ["one two", "  three"]
    assert fitted([], 8, 5) == []
