"""Known numbers: finite, with a doubt that is none or more."""

import math

import pytest

from farglide.errors import InputError
from farglide.sortie.known import Known, Tag


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_a_number_must_be_one(value: float) -> None:
    with pytest.raises(InputError, match="allowed: a finite number") as caught:
        Known(value=value)
    assert caught.value.name == "value"


@pytest.mark.parametrize("sd", [-0.1, math.nan, math.inf])
def test_a_doubt_is_none_or_more(sd: float) -> None:
    with pytest.raises(InputError, match="0 or more, finite") as caught:
        Known(value=1.0, sd=sd)
    assert caught.value.name == "sd"


def test_the_spread_is_a_share_of_the_size() -> None:
    assert Known(value=-4.0, sd=1.0, tag=Tag.GUESS).spread_ratio == 0.25
    assert Known(value=0.0, sd=1.0).spread_ratio == 0.0
