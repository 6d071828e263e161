"""The length that a classic NetCDF file announces, against files the library itself wrote."""

import math
from pathlib import Path
from typing import Any

import netCDF4
import pytest

from farglide.errors import SourceError
from farglide.sources.soundings.netcdf_length import check_length
from farglide.sources.soundings.netcdf_sounding import read_netcdf_sounding

FORMATS = ("NETCDF3_CLASSIC", "NETCDF3_64BIT_OFFSET", "NETCDF3_64BIT_DATA")


def make(path: Path, file_format: str, n_unlimited: int) -> bytes:
    """Write fixed variables and, over an unlimited dimension, as many others as told."""
    kind: Any = file_format
    with netCDF4.Dataset(path, "w", format=kind) as dataset:
        dataset.title = "made up"
        dataset.createDimension("n", 7)
        dataset.createDimension("time", None)
        fixed = dataset.createVariable("fixed", "f8", ("n",))
        fixed.units = "m"
        fixed[:] = range(7)
        for k in range(n_unlimited):
            growing = dataset.createVariable(f"growing{k}", "i4", ("time",))
            growing[:] = range(1, 6)
    return path.read_bytes()


@pytest.mark.parametrize("file_format", FORMATS)
@pytest.mark.parametrize("n_unlimited", [0, 1, 3])
def test_whole_files_pass_and_one_byte_less_does_not(
    file_format: str, n_unlimited: int, tmp_path: Path
) -> None:
    path = tmp_path / "a.nc"
    data = make(path, file_format, n_unlimited)
    check_length(path, data)
    with pytest.raises(SourceError, match=f"cut short: {len(data) - 1} of {len(data)} bytes"):
        check_length(path, data[:-1])


@pytest.mark.parametrize("kind", ["S1", "i1", "i2", "i4", "f4", "f8"])
@pytest.mark.parametrize("n_unlimited", [1, 2])
def test_short_records_are_padded_unless_they_stand_alone(
    kind: Any, n_unlimited: int, tmp_path: Path
) -> None:
    # NetCDF classic format specification (commit 2ed1b285b): with one record variable of char, byte
    # or short no padding between records, else each to 4 bytes. Five records by the library.
    path, size = tmp_path / "a.nc", {"S1": 1, "i1": 1, "i2": 2, "i4": 4, "f4": 4, "f8": 8}[kind]
    with netCDF4.Dataset(path, "w", format="NETCDF3_CLASSIC") as dataset:
        dataset.createDimension("time", None)
        for k in range(n_unlimited):
            growing = dataset.createVariable(f"growing{k}", kind, ("time",))
            growing[:] = ["a"] * 5 if kind == "S1" else range(1, 6)
    data = path.read_bytes()
    padded = 4 * math.ceil(size / 4)
    last_pad = 0 if n_unlimited == 1 else padded - size
    needed = len(data) - last_pad  # the padding behind the last value holds nothing
    check_length(path, data[:needed])
    with pytest.raises(SourceError, match=f"cut short: {needed - 1} of {needed} bytes"):
        check_length(path, data[: needed - 1])


@pytest.mark.parametrize("n_bytes", [4, 20, 60, 120])
def test_end_inside_the_head_is_seen(n_bytes: int, tmp_path: Path) -> None:
    data = make(tmp_path / "a.nc", "NETCDF3_CLASSIC", 1)
    with pytest.raises(SourceError, match="inside its head"):
        check_length(tmp_path / "a.nc", data[:n_bytes])


def test_real_file_is_as_long_as_it_says(authorities: Path) -> None:
    path = authorities / "darwin_20060119_231600.cdf"
    data = path.read_bytes()
    check_length(path, data)
    with pytest.raises(SourceError, match="is cut short: 12000 of 149"):
        check_length(path, data[:12_000])


def test_damaged_head_is_refused(tmp_path: Path) -> None:
    data = bytearray(make(tmp_path / "a.nc", "NETCDF3_CLASSIC", 1))
    data[12:16] = b"\xff\xff\xff\x00"  # the number of dimensions
    with pytest.raises(SourceError, match="a list of"):
        check_length(tmp_path / "a.nc", bytes(data))


def test_other_formats_are_left_to_their_library(tmp_path: Path) -> None:
    check_length(tmp_path / "a.nc", b"\x89HDF\r\n\x1a\n")
    assert not (tmp_path / "a.nc").exists()


def announcing(path: Path, n: int | None, block: int) -> Path:
    """Write a small file whose variables announce `n` values, kept in blocks of so many."""
    with netCDF4.Dataset(path, "w") as dataset:
        dataset.createDimension("time", n)
        for name, unit in (("pres", "hPa"), ("tdry", "C"), ("alt", "m"), ("u_wind", "m/s")):
            one = dataset.createVariable(name, "f8", ("time",), zlib=True, chunksizes=(block,))
            one.units = unit
        dataset.createVariable("v_wind", "f8", ("time",), zlib=True, chunksizes=(min(block, 1000),))
    return path


def test_what_a_file_announces_is_looked_at_before_it_is_read(tmp_path: Path) -> None:
    path = announcing(tmp_path / "huge.nc", 2_000_000_000, 1000)  # 16 GB for each variable
    assert path.stat().st_size < 10_000
    with pytest.raises(SourceError, match="variable pres: announces 2000000000 values"):
        read_netcdf_sounding(path, None)
    path = announcing(tmp_path / "blocks.nc", None, 20_000_000)
    with pytest.raises(SourceError, match="variable pres: is kept in blocks of 20000000 values"):
        read_netcdf_sounding(path, None)
    path = announcing(tmp_path / "plain.nc", 3, 3)
    with pytest.raises(SourceError, match="variable v_wind: has the unit ''"):
        read_netcdf_sounding(path, None)
