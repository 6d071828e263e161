"""Wanted: what may be asked for."""

import pytest

from farglide.errors import InputError
from farglide.sources.grids.wanted import Wanted


def test_nothing_is_limited_unless_asked() -> None:
    assert Wanted() == Wanted(box=None, times_s=None, least_p_pa=None)


@pytest.mark.parametrize(
    ("changed", "reason"),
    [
        ({"times_s": (10.0, 5.0)}, "times_s is 10 to 5 s; allowed: a first time that is not after"),
        ({"times_s": (float("nan"), 5.0)}, "times_s is nan to 5 s"),
        ({"least_p_pa": -1.0}, "least_p_pa is -1 Pa; allowed: 0 to 110 000 Pa"),
    ],
)
def test_what_cannot_be_is_refused(changed: dict[str, object], reason: str) -> None:
    with pytest.raises(InputError, match=reason):
        Wanted(**changed)  # type: ignore[arg-type]
