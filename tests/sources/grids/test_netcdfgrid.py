"""Grids from made-up NetCDF files."""

from pathlib import Path

import netCDF4
import numpy as np
import pytest
from tests.sources.grids.written import Spelling, write

from farglide.earth.box import Box
from farglide.errors import SourceError
from farglide.sources.grids.netcdfgrid import read_netcdf_grid
from farglide.sources.grids.wanted import Wanted

T0 = 1_577_836_800.0  # 2020-01-01 00:00 UTC


@pytest.mark.parametrize("spelling", [Spelling(), Spelling(north_first=False, west_first=False)])
def test_a_file_becomes_a_grid(spelling: Spelling, tmp_path: Path) -> None:
    path, expected = write(tmp_path / "a.nc", spelling)
    grid = read_netcdf_grid([path], Wanted())
    assert grid.shape == (1, 2, 3, 3, 5)
    assert grid.lat_deg.tolist() == [40.0, 45.0, 50.0]
    assert grid.lon_deg.tolist() == [10.0, 15.0, 20.0, 25.0, 30.0]
    assert grid.p_pa.tolist() == [50_000.0, 10_000.0, 1000.0]
    for name, values in expected.items():
        np.testing.assert_allclose(getattr(grid, name)[0], values[:, :, ::-1], atol=2e-3)
    assert np.isnan(grid.run_t_s)
    assert "the file does not say when the forecast was made" in grid.notes
    assert grid.origin == "forecast run at a time the file does not say"


def test_members_and_an_area(tmp_path: Path) -> None:
    path, expected = write(tmp_path / "a.nc", Spelling(members=3, run_h=-6.0))
    box = Box(south_deg=41.0, west_deg=16.0, north_deg=44.0, east_deg=24.0)
    grid = read_netcdf_grid([path], Wanted(box=box, least_p_pa=5000.0, times_s=(T0, T0 + 3600.0)))
    assert grid.members == ("0", "1", "2")
    assert grid.shape == (3, 1, 2, 2, 3)
    assert grid.run_t_s == T0 - 6 * 3600.0
    np.testing.assert_allclose(grid.t_k[2, 0], expected["t_k"][0, :2, :0:-1, 1:4], atol=2e-3)


def test_several_files_are_one_forecast(tmp_path: Path) -> None:
    first, _ = write(tmp_path / "a.nc", Spelling())
    later = Spelling(time=("hours since 2020-01-01", 1.0 / 3600.0, 6.0))
    second, _ = write(tmp_path / "b.nc", later)
    grid = read_netcdf_grid([first, second], Wanted())
    assert ((grid.times_s - T0) / 3600.0).tolist() == [1.0, 2.0, 7.0, 8.0]


def test_a_file_without_winds_is_refused(tmp_path: Path) -> None:
    path, _ = write(tmp_path / "a.nc", Spelling())
    with netCDF4.Dataset(path, "a") as dataset:
        dataset["u"].standard_name = "air_pressure_tendency"
    with pytest.raises(SourceError, match=r"has no pressure level .*no u wind"):
        read_netcdf_grid([path], Wanted())
    with netCDF4.Dataset(tmp_path / "b.nc", "w") as dataset:
        dataset.createDimension("x", 2)
    with pytest.raises(SourceError, match="has no pressure level"):
        read_netcdf_grid([tmp_path / "b.nc"], Wanted())
