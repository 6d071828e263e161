"""Forecasts over an area, from files of any format that is read here."""

from collections.abc import Sequence
from pathlib import Path

from farglide.air.windgrid import WindGrid
from farglide.errors import InputError
from farglide.sources.files import beginning, refused
from farglide.sources.grids.gribgrid import read_grib_grid
from farglide.sources.grids.wanted import Wanted

_NETCDF = (b"CDF\x01", b"CDF\x02", b"CDF\x05", b"\x89HDF\r\n\x1a\n")


def read_wind_grid(paths: Sequence[Path], wanted: Wanted) -> WindGrid:
    """Return the forecast that some files tell together, on pressure levels over a regular grid.

    Files are GRIB, edition 1 or 2, or NetCDF, all of one kind. What was left out or assumed stands
    in the notes. Raises `SourceError` for what cannot be read or does not cover the area wanted.
    """
    if not paths:
        raise InputError("paths", "none", "one file or more")
    netcdf = [path for path in paths if beginning(path, 8).startswith(_NETCDF)]
    if not netcdf:
        return read_grib_grid(paths, wanted)
    if len(netcdf) < len(paths):
        other = next(path for path in paths if path not in netcdf)
        what = f"is no NetCDF file as {netcdf[0]} is."
        raise refused(other, what, "Read files of one format at a time.")
    from farglide.sources.grids.netcdfgrid import read_netcdf_grid

    return read_netcdf_grid(paths, wanted)
