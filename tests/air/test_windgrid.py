"""WindGrid: what may stand in it, and which places it covers."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from farglide.air.windgrid import WindGrid, mean_of_members, told
from farglide.errors import InputError


def grid(**changed: Any) -> WindGrid:
    """Return two members, three times, two levels over 47 to 48 N, 8 to 9.5 E, at half a degree."""
    shape = (2, 3, 2, 3, 4)
    values = np.arange(np.prod(shape), dtype=np.float32).reshape(shape)
    parts = {
        "times_s": np.array([0.0, 3600.0, 10_800.0]), "p_pa": np.array([5.0e4, 1.0e3]),
        "lat_deg": np.array([47.0, 47.5, 48.0]), "lon_deg": np.array([8.0, 8.5, 9.0, 9.5]),
        "members": ("gep01", "gep02"),
        **dict.fromkeys(("gph_m", "t_k", "u_mps", "v_mps"), values),
    }  # fmt: skip
    return WindGrid(**(parts | changed))


def test_a_grid_says_its_shape_and_what_it_covers() -> None:
    one = grid()
    assert one.shape == (2, 3, 2, 3, 4)
    assert one.holds(47.0, 8.0)
    assert one.holds(48.0, 369.5)
    assert not one.holds(48.1, 9.0)
    assert not one.holds(47.5, 9.6)


def test_a_grid_across_the_180th_meridian_covers_both_sides() -> None:
    one = grid(lon_deg=np.array([179.0, 179.5, 180.0, 180.5]))
    assert one.holds(47.5, -179.5)
    assert one.holds(47.5, 179.2)
    assert not one.holds(47.5, -179.4)


def test_a_grid_round_the_earth_covers_the_gap_between_its_last_and_first_meridian() -> None:
    one = grid(lon_deg=np.array([0.0, 90.0, 180.0, 270.0]))
    assert one.holds(47.5, 300.0)
    assert one.holds(47.5, -1.0)


@pytest.mark.parametrize(
    ("changed", "reason"),
    [
        ({"times_s": np.array([0.0, 0.0, 10.0])}, "times_s is .*; allowed: rising values"),
        ({"p_pa": np.array([1.0e3, 5.0e4])}, "p_pa is .*; allowed: falling values"),
        ({"lat_deg": np.array([48.0, 47.5, 47.0])}, "lat_deg is .*; allowed: rising values"),
        ({"lat_deg": np.array([89.5, 90.0, 90.5])}, "lat_deg is 90.5°; allowed: -90 to 90"),
        ({"lon_deg": np.array([8.0, 8.5, 9.0, 9.6])}, "lon_deg is steps of 0.5 to 0.6°"),
        ({"lon_deg": np.array([8.0, np.nan, 9.0, 9.5])}, "lon_deg is .*; allowed: rising"),
        ({"times_s": np.array([])}, "times_s is shape"),
        ({"members": ("one",)}, "gph_m is float32 of the shape .*; allowed: .*1, 3, 2, 3, 4"),
        ({"u_mps": np.zeros((2, 3, 2, 3, 4))}, "u_mps is float64 of the shape"),
        ({"relative_humidity_ratio": np.zeros((1,), np.float32)}, "relative_humidity_ratio is"),
    ],
)
def test_what_is_no_grid_is_refused(changed: dict[str, Any], reason: str) -> None:
    with pytest.raises(InputError, match=reason):
        grid(**changed)


def test_a_point_is_told_where_height_temperature_and_both_winds_are() -> None:
    one = grid()
    gone = one.v_mps.copy()
    gone[1, 2, 0, 1, 3] = np.nan
    whole = told(replace(one, v_mps=gone))
    assert whole.shape == one.shape
    assert whole.sum() == whole.size - 1
    assert not whole[1, 2, 0, 1, 3]


def test_the_mean_of_members_is_one_forecast() -> None:
    one = grid()
    mean = mean_of_members(one)
    assert mean.members == ("mean of 2",)
    np.testing.assert_array_equal(mean.u_mps[0], 0.5 * (one.u_mps[0] + one.u_mps[1]))
    assert mean_of_members(mean) is mean
