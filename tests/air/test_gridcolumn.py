"""Columns of a grid: bilinear in place, linear in time, told where they are neither."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from farglide.air.gridcolumn import sounding_over
from farglide.air.windgrid import WindGrid
from farglide.earth.state import Place
from farglide.errors import InputError

HOUR = 3600.0
P_PA = np.array([9e4, 5e4, 1e4, 1e3])


def linear(lat: Any, lon: Any, t_h: Any, member: Any = 0.0) -> Any:
    """Return a field that is linear in each of its arguments and bilinear in place."""
    return 1.0 + 0.3 * lat + 0.02 * lon + 0.01 * lat * lon + 0.5 * t_h + 2.0 * member


def grid(lon_deg: Any = (8.0, 8.5, 9.0, 9.5), **changed: Any) -> WindGrid:
    lon_deg = np.array(lon_deg)
    axes = np.meshgrid(
        [0.0, 1.0], [0.0, 6.0, 12.0], P_PA, [47.0, 47.5, 48.0], lon_deg % 360.0, indexing="ij"
    )
    member, t_h, p_pa, lat, lon = axes
    field = linear(lat, lon, t_h, member)
    parts = {
        "times_s": np.array([0.0, 6.0, 12.0]) * HOUR, "p_pa": P_PA,
        "lat_deg": np.array([47.0, 47.5, 48.0]), "lon_deg": lon_deg,
        "members": ("gec00", "gep01"), "run_t_s": -6.0 * HOUR, "origin": "forecast run",
        "gph_m": 7000.0 * np.log(1e5 / p_pa) + field, "t_k": 200.0 + 0.5 * field, "u_mps": field,
        "v_mps": -field, "notes": ("from a file",),
    }  # fmt: skip
    fields = ("gph_m", "t_k", "u_mps", "v_mps")
    return WindGrid(
        **({n: x.astype(np.float32) if n in fields else x for n, x in parts.items()} | changed)
    )  # type: ignore[union-attr]


def place(lat_deg: float, lon_deg: float, amsl_m: float = 0.0) -> Place:
    return Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=amsl_m)


@pytest.mark.parametrize(("lat_deg", "lon_deg"), [(47.0, 8.0), (47.3, 8.6), (48.0, 9.5)])
@pytest.mark.parametrize("t_h", [0.0, 2.0, 6.0, 11.5, 12.0])
@pytest.mark.parametrize("member", [0, 1])
def test_a_linear_field_is_given_back(
    lat_deg: float, lon_deg: float, t_h: float, member: int
) -> None:
    found = sounding_over(grid(), place(lat_deg, lon_deg), t_h * HOUR, member)
    expected = linear(lat_deg, lon_deg, t_h, member)
    assert found.u_mps == pytest.approx(np.full(4, expected), abs=1e-4)
    assert found.v_mps == pytest.approx(np.full(4, -expected), abs=1e-4)
    assert found.p_pa.tolist() == P_PA.tolist()
    assert found.t_s == t_h * HOUR
    assert found.origin == f"forecast run + {t_h + 6.0:.4g} h"
    assert found.run_t_s == -6.0 * HOUR
    assert found.notes == ("from a file",)
    assert np.isnan(found.relative_humidity_ratio).all()


@pytest.mark.parametrize(
    ("t_h", "taken_h", "told"), [(-3.0, 0.0, "3 h after the time"), (14.0, 12.0, "2 h before the")]
)
def test_outside_its_times_the_nearest_is_taken(t_h: float, taken_h: float, told: str) -> None:
    found = sounding_over(grid(), place(47.5, 8.5), t_h * HOUR)
    assert found.t_s == taken_h * HOUR
    assert found.u_mps[0] == pytest.approx(linear(47.5, 8.5, taken_h), abs=1e-4)
    assert any(told in note for note in found.notes)


def test_across_the_180th_meridian_and_the_end_of_a_circle() -> None:
    east = grid((179.0, 179.5, 180.0, 180.5))
    assert sounding_over(east, place(47.5, -179.75), 0.0).u_mps[0] == pytest.approx(
        linear(47.5, 180.25, 0.0), abs=1e-3
    )
    circle = grid((0.0, 90.0, 180.0, 270.0))
    between = 0.5 * (linear(47.0, 270.0, 0.0) + linear(47.0, 0.0, 0.0))
    found = sounding_over(circle, place(47.0, -45.0), 0.0)
    assert found.u_mps[0] == pytest.approx(between, abs=1e-3)


@pytest.mark.parametrize(
    ("lat_deg", "lon_deg", "side"),
    [(48.1, 8.5, "north"), (46.9, 8.5, "south"), (47.5, 9.6, "east"), (47.5, 7.9, "west")],
)
def test_outside_the_grid_the_side_is_named(lat_deg: float, lon_deg: float, side: str) -> None:
    with pytest.raises(InputError, match=f"place is .*ends before it in the {side}"):
        sounding_over(grid(), place(lat_deg, lon_deg), 0.0)


def test_levels_that_are_not_told_around_the_place_are_left_out() -> None:
    whole = grid()
    u_mps = whole.u_mps.copy()
    u_mps[0, 0, 2, 0, 0] = np.nan
    holed = replace(whole, u_mps=u_mps)
    found = sounding_over(holed, place(47.2, 8.2), 0.0)
    assert found.p_pa.tolist() == [9e4, 5e4, 1e3]
    assert "levels not told around the place left out, hPa: 100" in found.notes
    assert len(sounding_over(holed, place(47.2, 8.7), 0.0).p_pa) == 4
    # A point without weight does not count, even if it is missing.
    assert len(sounding_over(holed, place(47.2, 8.5), 0.0).p_pa) == 4
    assert len(sounding_over(holed, place(47.2, 8.2), 6.0 * HOUR).p_pa) == 4
    assert len(sounding_over(holed, place(47.2, 8.2), 3.0 * HOUR).p_pa) == 3


def test_humidity_is_laid_between_the_levels_that_tell_it() -> None:
    humidity = np.full(grid().shape, np.nan, np.float32)
    humidity[:, :, 0], humidity[:, :, 2] = 0.8, 0.2
    found = sounding_over(grid(relative_humidity_ratio=humidity), place(47.2, 8.2), 0.0)
    share = np.log(9.0 / 5.0) / np.log(9.0)
    assert found.relative_humidity_ratio[:3] == pytest.approx([0.8, 0.8 - 0.6 * share, 0.2])
    assert np.isnan(found.relative_humidity_ratio[3])


def test_levels_below_the_ground_are_told() -> None:
    found = sounding_over(grid(), place(47.5, 8.5, 2000.0), 0.0)
    assert found.notes[-1] == "1 level below the ground at the place, extended by the model"
    low = replace(grid(), gph_m=grid().gph_m - np.float32(1500.0))
    deep = sounding_over(low, place(47.5, 8.5), 0.0)
    assert len(deep.p_pa) == 3
    assert any("below -500 m left out" in note for note in deep.notes)


@pytest.mark.parametrize(
    ("t_s", "member", "reason"),
    [(float("nan"), 0, "t_s is nan s"), (0.0, 2, "member is 2; allowed: 0 to 1")],
)
def test_what_cannot_be_asked(t_s: float, member: int, reason: str) -> None:
    with pytest.raises(InputError, match=reason):
        sounding_over(grid(), place(47.5, 8.5), t_s, member)
