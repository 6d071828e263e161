"""Weighted points: their shares, their middles, and what is refused."""

from typing import Any

import numpy as np
import pytest

from farglide.errors import ContradictionError, InputError
from farglide.search.points import GroundPoints, joined, quantile


def points(n: int = 4, name: str = "circle", **changes: Any) -> GroundPoints:
    values = {
        "lat_deg": np.linspace(10.0, 10.003, n), "lon_deg": np.full(n, 20.0),
        "weight": np.ones(n), "story": np.zeros(n, np.int64), "down_t_s": np.zeros(n),
        "names": (name,),
    }  # fmt: skip
    return GroundPoints(**(values | changes))  # type: ignore[arg-type]


def test_weights_sum_to_one_and_learn_by_bayes() -> None:
    """Prior 1/2, 1/2; twice as likely under the first: 2/3, 1/3."""
    two = points(2).told(np.array([0.8, 0.4]))
    assert two.weight == pytest.approx([2 / 3, 1 / 3])
    assert two.n_effective == pytest.approx(1.0 / (4 / 9 + 1 / 9))


def test_middle_and_radius_are_weighted() -> None:
    found = points(3, weight=np.array([0.0, 0.0, 1.0]))
    assert found.middle() == pytest.approx((10.003, 20.0))
    assert found.radius_m(0.9) == pytest.approx(0.0, abs=1e-6)
    even = points(3)
    assert even.middle()[0] == pytest.approx(10.0015)
    assert even.radius_m(0.9) == pytest.approx(0.0015 * 110_600, rel=1e-3)


def test_a_middle_across_the_180th_meridian() -> None:
    found = points(3, lon_deg=np.array([179.99, -180.0, -179.99]))
    assert abs(found.middle()[1]) == pytest.approx(180.0)


def test_stories_share_the_weight() -> None:
    both = joined([points(2, "circle"), points(6, "spin")], [3.0, 1.0])
    assert both.names == ("circle", "spin")
    assert both.story_ratio == pytest.approx([0.75, 0.25])
    with pytest.raises(ContradictionError, match="two stories have one name"):
        joined([points(), points()], [1.0, 1.0])


@pytest.mark.parametrize(
    ("changes", "error", "message"),
    [
        ({"weight": np.zeros(4)}, ContradictionError, "no place is left"),
        ({"weight": np.array([1.0, -1.0, 1.0, 1.0])}, InputError, "weight is -1.0; allowed: 0"),
        ({"lat_deg": np.full(4, np.nan)}, InputError, "lat_deg is .*4 finite values"),
        ({"story": np.full(4, 3)}, InputError, "story is 3; allowed: 0 to 0"),
        ({"lon_deg": np.zeros(3)}, InputError, "lon_deg is"),
    ],
)
def test_what_is_no_set_of_points(
    changes: dict[str, Any], error: type[Exception], message: str
) -> None:
    with pytest.raises(error, match=message):
        points(**changes)


def test_quantile() -> None:
    values, weight = np.array([4.0, 1.0, 3.0]), np.array([0.2, 0.5, 0.3])
    assert [quantile(values, weight, share) for share in (0.1, 0.5, 0.6, 0.95)] == [1, 1, 3, 4]
