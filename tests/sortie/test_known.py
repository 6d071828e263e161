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


def test_measuring_makes_a_number_surer() -> None:
    """Of two alike the middle; of a sure one nearly that alone; what is exact stays."""
    alike = Known(value=1.6, sd=0.1, tag=Tag.GUESS).measured(1.8, 0.1)
    assert alike.value == pytest.approx(1.7)
    assert alike.sd == pytest.approx(0.1 / math.sqrt(2.0))
    assert alike.tag is Tag.MEASURED
    sure = Known(value=1.6, sd=0.1).measured(1.8, 0.001)
    assert sure.value == pytest.approx(1.8, abs=1e-4)
    exact = Known(value=1.6)
    assert exact.measured(1.8, 0.1) is exact


def test_measuring_without_an_error_is_refused() -> None:
    with pytest.raises(InputError, match="sd of a measuring is 0; allowed: more than 0, finite"):
        Known(value=1.6, sd=0.1).measured(1.8, 0)
