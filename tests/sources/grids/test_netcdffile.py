"""NetCDF files: coordinates in all their spellings, and what is refused."""

from pathlib import Path

import netCDF4
import numpy as np
import pytest
from tests.sources.grids.written import Spelling, write

from farglide.errors import SourceError
from farglide.sources.grids import netcdffile
from farglide.sources.grids.netcdffile import NO_RUN_S, open_netcdf

T0 = 1_577_836_800.0  # 2020-01-01 00:00 UTC


@pytest.mark.parametrize(
    "spelling",
    [
        Spelling(),
        Spelling(level=("Pa", 100.0)),
        Spelling(level=("millibar", 1.0)),
        Spelling(time=("seconds since 1970-01-01", 1.0, T0)),
        Spelling(time=("days since 2020-01-01 00:00:00", 1.0 / 86_400.0, 0.0)),
        Spelling(standard=False),
        Spelling(order=("longitude", "latitude", "level", "time")),
        Spelling(north_first=False, west_first=False),
        Spelling(packed=True),
        Spelling(names=False),
    ],
)
def test_values_stand_at_their_places(spelling: Spelling, tmp_path: Path) -> None:
    path, expected = write(tmp_path / "a.nc", spelling)
    file = open_netcdf(path)
    assert len(file.fields) == 4 * 2 * 3  # quantities, times, levels
    # Packed heights come in steps of 0.42 m.
    close = 0.22 if spelling.packed else 2e-3
    for one, plane in file.planes(file.fields):
        t = [T0 + 3600.0, T0 + 7200.0].index(one.valid_s)
        k = [50_000.0, 10_000.0, 1000.0].index(one.level)
        np.testing.assert_allclose(plane, expected[one.quantity][t, k], atol=close)
        assert one.run_s == NO_RUN_S
    layout = file.fields[0].layout
    assert layout is not None
    assert layout.lat_deg.tolist() == [50.0, 45.0, 40.0]  # type: ignore[union-attr]
    assert layout.west_deg == 10.0  # type: ignore[union-attr]


def test_members_runs_and_leads(tmp_path: Path) -> None:
    path, _ = write(tmp_path / "a.nc", Spelling(members=3, run_h=-6.0))
    fields = open_netcdf(path).fields
    assert {one.member for one in fields} == {"0", "1", "2"}
    assert {one.run_s for one in fields} == {T0 - 6 * 3600.0}
    other, _ = write(tmp_path / "b.nc", Spelling(lead=True))
    leads = open_netcdf(other).fields
    assert {one.run_s for one in leads} == {T0}
    assert {one.valid_s for one in leads} == {T0 + 3600.0, T0 + 7200.0}


def test_a_fill_is_no_value(tmp_path: Path) -> None:
    path, _ = write(tmp_path / "a.nc", Spelling(packed=True))
    with netCDF4.Dataset(path, "a") as dataset:
        dataset["t"][0, 0, 1, 1] = np.ma.masked
    file = open_netcdf(path)
    planes = {
        (one.quantity, one.valid_s, one.level): plane for one, plane in file.planes(file.fields)
    }
    assert np.isnan(planes["t_k", T0 + 3600.0, 50_000.0]).sum() == 1


@pytest.mark.parametrize(
    ("spelling", "reason"),
    [
        (Spelling(unit=("t", "furlong")), "variable t: has the unit 'furlong'; allowed: k, kelvin"),
        (Spelling(unit=("u", "m")), "variable u: has the unit 'm'; allowed: m s-1"),
        (Spelling(along_grid=True), "has winds along a turned grid .x_wind."),
        (Spelling(two_dimensional=True), "changes along both rows and columns"),
        (Spelling(uneven=True), "has steps of -8 to -2 degrees in lat"),
        (Spelling(loose=True), "has the dimension scenario, which no coordinate explains"),
    ],
)
def test_what_cannot_be_read_is_named(spelling: Spelling, reason: str, tmp_path: Path) -> None:
    path, _ = write(tmp_path / "a.nc", spelling)
    with pytest.raises(SourceError, match=reason):
        open_netcdf(path)


def test_a_file_that_is_none_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "a.nc"
    path.write_bytes(b"\x89HDF\r\n\x1a\n" + bytes(200))
    with pytest.raises(SourceError, match="cannot be read as NetCDF"):
        open_netcdf(path)
    classic, _ = write(tmp_path / "b.nc", Spelling(classic=True))
    assert len(open_netcdf(classic).fields) == 24
    classic.write_bytes(classic.read_bytes()[:-300])
    with pytest.raises(SourceError, match="is cut short"):
        open_netcdf(classic)


def test_a_block_larger_than_the_memory_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path, _ = write(tmp_path / "a.nc", Spelling(packed=True))
    with netCDF4.Dataset(path, "a") as dataset:
        blocked = dataset.createVariable(
            "q", "i2", ("time", "level", "latitude", "longitude"), chunksizes=(2, 3, 3, 5)
        )
        blocked.units, blocked.standard_name = "kg kg-1", "specific_humidity"
        blocked[...] = 0.0
    file = open_netcdf(path)
    moist = [one for one in file.fields if one.quantity == "q_ratio"]
    assert all((plane == 0.0).all() for _, plane in file.planes(moist))
    monkeypatch.setattr(netcdffile, "_LARGEST_BLOCK", 100)
    with pytest.raises(SourceError, match="variable q: is kept in blocks of 90 values"):
        list(file.planes(moist))
