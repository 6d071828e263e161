"""The check of a range names the number, its unit and what is allowed."""

import math

import pytest

from farglide.errors import InputError, check_range


def test_the_ends_of_a_range_belong_to_it() -> None:
    check_range("loss_db", 0.0, "dB", (0.0, 60.0))
    check_range("loss_db", 60.0, "dB", (0.0, 60.0))


@pytest.mark.parametrize("value", [-0.1, 60.1, math.nan, math.inf])
def test_a_number_outside_is_refused_with_its_name_and_unit(value: float) -> None:
    with pytest.raises(InputError) as caught:
        check_range("loss_db", value, "dB", (0.0, 60.0), "Count it positive.")
    text = f"loss_db is {value:g} dB; allowed: 0 to 60 dB. Count it positive."
    assert str(caught.value) == text


def test_a_pure_number_has_no_unit() -> None:
    with pytest.raises(InputError, match=r"n_turns is 3; allowed: 4 to 60\.$"):
        check_range("n_turns", 3, "", (4, 60))
