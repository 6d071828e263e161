"""The release as stated: which height is seen, and what a burst leaves."""

import pytest

from farglide.errors import InputError
from farglide.sortie.release import ReleaseSpec


def test_a_height_is_valid_up_to_its_limit_and_none_nowhere() -> None:
    assert ReleaseSpec(seen_to_amsl_m=18_000.0).valid_to_amsl_m == 18_000.0
    assert ReleaseSpec(seen_by="none").valid_to_amsl_m == float("-inf")


@pytest.mark.parametrize("name", ["seen_error_m", "gauge_error_pa"])
@pytest.mark.parametrize("value", [-1.0, float("inf"), float("nan")])
def test_an_error_is_no_less_than_nothing_and_finite(name: str, value: float) -> None:
    with pytest.raises(InputError, match=name):
        ReleaseSpec(**{name: value})  # type: ignore[arg-type]


@pytest.mark.parametrize("value", [-0.1, 1.1, float("nan")])
def test_the_share_that_comes_free_is_a_share(value: float) -> None:
    with pytest.raises(InputError, match="free_after_burst_ratio"):
        ReleaseSpec(free_after_burst_ratio=value)
