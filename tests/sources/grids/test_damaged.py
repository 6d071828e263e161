"""Damaged forecasts of both formats: only SourceError may come out."""

from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.sources.grids.encode import Lambert, Made, air, grib2, message
from tests.sources.grids.test_gribgrid import edition_1, model
from tests.sources.grids.written import Spelling, write

from farglide.air.windgrid import WindGrid
from farglide.errors import SourceError
from farglide.sources.grids.grids import read_wind_grid
from farglide.sources.grids.wanted import Wanted

SHORT = settings(
    deadline=None, max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
KINDS = ("grib 2", "grib 1", "lambert", "model", "netcdf 3", "netcdf 4")
CHANGES = st.lists(
    st.tuples(st.floats(0.0, 1.0, exclude_max=True), st.integers(0, 255)), min_size=1, max_size=8
)
HEADS = st.lists(st.tuples(st.integers(0, 220), st.integers(0, 255)), min_size=1, max_size=4)


def whole(kind: str, folder: Path) -> bytes:
    if kind.startswith("netcdf"):
        path, _ = write(folder / "whole.nc", Spelling(classic=kind.endswith("3")))
        return path.read_bytes()
    fields: list[Made] = air(Lambert()) if kind == "lambert" else air()
    if kind == "grib 1":
        return edition_1(fields)
    if kind == "model":
        return grib2(model())
    return grib2(fields[:-2]) + message(fields[-2:])


def check(path: Path) -> WindGrid | None:
    """Read the file; an error must name it and say something, a grid must be one."""
    try:
        grid = read_wind_grid([path], Wanted())
    except SourceError as error:
        told = str(error)
        assert str(path) in told
        assert len(told) > len(str(path)) + 10
        return None
    assert np.isfinite(grid.p_pa).all()
    assert np.isfinite(grid.t_k).any()
    return grid


@pytest.mark.parametrize("kind", KINDS)
def test_whole_files_are_read(kind: str, tmp_path: Path) -> None:
    path = tmp_path / "whole"
    path.write_bytes(whole(kind, tmp_path))
    assert check(path) is not None


@pytest.mark.parametrize("kind", KINDS)
@SHORT
@given(share=st.floats(0.0, 1.0, exclude_max=True))
def test_truncated_files(kind: str, share: float, tmp_path: Path) -> None:
    data = whole(kind, tmp_path)
    path = tmp_path / "cut"
    path.write_bytes(data[: int(share * len(data))])
    check(path)


@pytest.mark.parametrize("kind", KINDS)
@SHORT
@given(changes=CHANGES)
def test_changed_bytes(kind: str, changes: list[tuple[float, int]], tmp_path: Path) -> None:
    data = bytearray(whole(kind, tmp_path))
    for share, byte in changes:
        data[int(share * len(data))] = byte
    path = tmp_path / "changed"
    path.write_bytes(bytes(data))
    check(path)


@pytest.mark.parametrize("kind", KINDS)
@SHORT
@given(changes=HEADS)
def test_changed_heads(kind: str, changes: list[tuple[int, int]], tmp_path: Path) -> None:
    data = bytearray(whole(kind, tmp_path))
    for place, byte in changes:
        data[place] = byte
    path = tmp_path / "changed"
    path.write_bytes(bytes(data))
    check(path)
