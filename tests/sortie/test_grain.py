"""Grain: how finely a plan may be computed, and what is refused."""

import re

import pytest

from farglide.errors import InputError
from farglide.sortie.grain import Grain


@pytest.mark.parametrize("n_draws", [-1, 0, 1, 49, 20_001])
def test_a_number_of_draws_that_tells_nothing_or_takes_too_much_is_refused(n_draws: int) -> None:
    with pytest.raises(InputError, match=re.escape("50 to 20 000")):
        Grain(n_draws=n_draws)


@pytest.mark.parametrize("clock_s", [0.0, 4.9, 301.0, float("nan")])
def test_a_clock_too_fine_or_too_coarse_is_refused(clock_s: float) -> None:
    with pytest.raises(InputError, match="5 to 300 s"):
        Grain(clock_s=clock_s)


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ({"delay_s": -1.0}, "0 or more"),
        ({"held_eas_mps": float("nan")}, "0 or more"),
        ({"prices_mps": ()}, "rising speeds above 0 m/s"),
        ({"prices_mps": (0.0, 3.0)}, "rising speeds above 0 m/s"),
        ({"prices_mps": (8.0, 3.0)}, "rising speeds above 0 m/s"),
        ({"slab": 2}, "an odd number, 1 or more"),
        ({"slab": -1}, "an odd number, 1 or more"),
    ],
)
def test_what_cannot_be_is_refused(keys: dict[str, float], words: str) -> None:
    with pytest.raises(InputError, match=words) as caught:
        Grain(**keys)  # type: ignore[arg-type]
    assert next(iter(keys)) in str(caught.value)
