"""Grid layers: over every point the mean winds that a column of the same levels has."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.air.column import build_column
from farglide.air.doubt import WindDoubt
from farglide.air.gridlayers import layer_winds
from farglide.air.sounding import Sounding
from farglide.air.windgrid import WindGrid
from farglide.errors import InputError

P_PA = np.array([1.0e5, 8.5e4, 7.0e4, 5.0e4, 3.0e4, 2.0e4, 1.0e4, 5.0e3, 1.0e3])
GPH_M = np.array([110.0, 1460.0, 3010.0, 5570.0, 9160.0, 11_780.0, 16_180.0, 20_580.0, 31_050.0])
LAT_DEG, LON_DEG = np.array([-47.0, -46.5, -46.0]), np.array([108.0, 108.5, 109.0, 109.5])
N = 402
EDGES_M = 200.0 + 100.0 * np.arange(N + 1.0)


def forecast(seed: int = 3) -> WindGrid:
    """Return two members and times of winds that differ at every point, heights a little too."""
    rng = np.random.default_rng(seed)
    shape = (2, 2, len(P_PA), len(LAT_DEG), len(LON_DEG))
    column = np.ones(shape) * np.arange(len(P_PA))[:, None, None]
    fields = {
        "gph_m": GPH_M[column.astype(int)] + 30.0 * rng.standard_normal(shape),
        "t_k": 280.0 - 7.0 * column,
        "u_mps": 5.0 * column + 4.0 * rng.standard_normal(shape),
        "v_mps": -3.0 + 4.0 * rng.standard_normal(shape),
    }
    return WindGrid(
        times_s=np.array([0.0, 10_800.0]), p_pa=P_PA, lat_deg=LAT_DEG, lon_deg=LON_DEG,
        members=("one", "two"), **{name: one.astype(np.float32) for name, one in fields.items()},
    )  # fmt: skip


def sounding_at(grid: WindGrid, at: tuple[int, int, int, int]) -> Sounding:
    member, time, row, column = at
    gph, t, u, v = (one[member, time, :, row, column].astype(np.float64)
                    for one in (grid.gph_m, grid.t_k, grid.u_mps, grid.v_mps))  # fmt: skip
    return Sounding(
        gph_m=gph, p_pa=grid.p_pa, t_k=t, relative_humidity_ratio=np.full(len(gph), np.nan),
        u_mps=u, v_mps=v, lat_deg=float(grid.lat_deg[row]), lon_deg=float(grid.lon_deg[column]),
        t_s=0.0, origin="one point",
    )  # fmt: skip


@pytest.mark.parametrize("at", [(0, 0, 0, 0), (1, 0, 2, 3), (0, 1, 1, 2), (1, 1, 2, 0)])
def test_each_point_is_as_the_column_of_its_levels(at: tuple[int, int, int, int]) -> None:
    grid = forecast()
    column = build_column(sounding_at(grid, at), 200.0, WindDoubt()).layers
    found = layer_winds(grid, EDGES_M)[at]
    n = len(column.p_pa)
    assert found[:n, 0] == pytest.approx(column.u_mps[0], abs=2e-5)
    assert found[:n, 1] == pytest.approx(column.v_mps[0], abs=2e-5)


def test_below_and_above_its_levels_the_lowest_and_the_highest_hold() -> None:
    grid = forecast()
    found = layer_winds(grid, np.arange(-500.0, 40_001.0, 100.0))
    np.testing.assert_array_equal(found[1, 0, 1, 1, 0], found[1, 0, 1, 1, 3])
    assert found[1, 0, 1, 1, 0, 0] == pytest.approx(grid.u_mps[1, 0, 0, 1, 1], rel=1e-6)
    assert found[1, 0, 1, 1, -1, 1] == pytest.approx(grid.v_mps[1, 0, -1, 1, 1], rel=1e-6)


def test_a_level_that_is_not_told_is_passed_over_and_a_point_without_any_is_not_told() -> None:
    grid = forecast()
    u = grid.u_mps.copy()
    u[0, 0, 4, 1, 2], u[0, 0, :, 0, 0] = np.nan, np.nan
    found = layer_winds(replace(grid, u_mps=u), EDGES_M)
    keep = np.arange(len(P_PA)) != 4
    few = replace(
        grid, p_pa=P_PA[keep],
        **{name: getattr(grid, name)[:, :, keep] for name in ("gph_m", "t_k", "u_mps", "v_mps")},
    )  # fmt: skip
    np.testing.assert_array_equal(found[0, 0, 1, 2], layer_winds(few, EDGES_M)[0, 0, 1, 2])
    assert np.isnan(found[0, 0, 0, 0]).all()
    assert np.isfinite(found[1]).all()


def test_uneven_layers_are_refused() -> None:
    with pytest.raises(InputError, match="edges_amsl_m is steps"):
        layer_winds(forecast(), np.array([0.0, 100.0, 300.0]))
