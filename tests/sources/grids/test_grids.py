"""The door: files of each format, and what is refused."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from tests.sources.grids.encode import air, grib2
from tests.sources.grids.written import Spelling, write

from farglide.errors import InputError, SourceError
from farglide.sources.grids.grids import read_wind_grid
from farglide.sources.grids.wanted import Wanted

Writer = Callable[[str, str | bytes], Path]


def test_both_formats_are_told_by_their_content(written: Writer, tmp_path: Path) -> None:
    grib = read_wind_grid([written("a.nc", grib2(air()))], Wanted())
    netcdf = read_wind_grid([write(tmp_path / "b.grib", Spelling())[0]], Wanted())
    np.testing.assert_array_equal(grib.lat_deg, netcdf.lat_deg)
    np.testing.assert_array_equal(grib.p_pa, netcdf.p_pa)


def test_no_file_and_two_formats_are_refused(written: Writer, tmp_path: Path) -> None:
    with pytest.raises(InputError, match="paths is none; allowed: one file or more"):
        read_wind_grid([], Wanted())
    both = [write(tmp_path / "b.nc", Spelling())[0], written("a.grib", grib2(air()))]
    with pytest.raises(SourceError, match=r"a\.grib: is no NetCDF file as .*b\.nc is"):
        read_wind_grid(both, Wanted())


def test_a_page_of_a_server_is_named(written: Writer) -> None:
    with pytest.raises(SourceError, match="is a web page, not a forecast"):
        read_wind_grid([written("a.grib", "<html><body>404</body></html>")], Wanted())
    with pytest.raises(SourceError, match="is empty"):
        read_wind_grid([written("b.grib", b"")], Wanted())
