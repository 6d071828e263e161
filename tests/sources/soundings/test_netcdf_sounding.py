"""NetCDF soundings: real flights, reduced, and made-up files with something wrong."""

from pathlib import Path

import netCDF4
import numpy as np
import pytest

from farglide.earth.heights import geopotential_at_m
from farglide.earth.state import Place
from farglide.errors import SourceError
from farglide.sources.soundings.netcdf_sounding import read_netcdf_sounding

UNITS = {
    "pres": "hPa", "tdry": "C", "rh": "%", "u_wind": "m/s", "v_wind": "m/s", "alt": "m",
    "lat": "degree_N", "lon": "degree_E", "time_offset": "seconds",
}  # fmt: skip


def make(path: Path, change: dict[str, object] | None = None, **units: str) -> Path:
    """Write six samples of standard air, with some variables or units changed (None: left out)."""
    columns: dict[str, object] = {
        # US Standard Atmosphere 1976, table I, by geometric height.
        "alt": [0.0, 1000.0, 5000.0, 10_000.0, 20_000.0, 30_000.0],
        "pres": [1013.25, 898.76, 540.48, 264.99, 55.293, 11.970],
        "tdry": [15.0, 8.501, -17.474, -49.898, -56.5, -46.641],
        "rh": [50.0, 50.0, 40.0, 20.0, 5.0, 1.0],
        "u_wind": [1.0, 2.0, 5.0, 10.0, 20.0, 5.0],
        "v_wind": [0.0, 0.0, 1.0, -1.0, 0.0, 2.0],
        "lat": [50.0, 50.01, 50.02, 50.03, 50.04, 50.05],
        "lon": [179.9, 179.95, 180.0, -179.95, -179.9, -179.8],
        "time_offset": [60.0, 260.0, 1060.0, 2060.0, 4060.0, 6060.0],
    } | (change or {})
    with netCDF4.Dataset(path, "w", format="NETCDF3_CLASSIC") as dataset:
        dataset.createDimension("time", 6)
        dataset.createDimension("other", 4)
        dataset.createVariable("base_time", "i4")[...] = 1_600_000_000
        for name, values in columns.items():
            if values is None:
                continue
            size = len(list(values))  # type: ignore[call-overload]
            variable = dataset.createVariable(name, "f8", ("time" if size == 6 else "other",))
            variable.units = units.get(name, UNITS.get(name, ""))
            variable[:] = values
    return path


def test_real_flight_from_ground_to_top(authorities: Path) -> None:
    sounding = read_netcdf_sounding(authorities / "darwin_20060119_231600.cdf", None)
    assert sounding.lat_deg == pytest.approx(-12.42)
    assert sounding.lon_deg == pytest.approx(130.89)
    assert sounding.t_s == 1137712560.0  # 2006-01-19 23:16 UTC
    assert sounding.origin == "sounding Darwin, Australia 2006-01-19 23:16 UTC"
    # First and last sample of the file: 30 m, 1004.3 hPa, 25.4 C, 82 %; 32 958 m.
    assert sounding.gph_m[0] == pytest.approx(geopotential_at_m(30.0, -12.42), abs=0.01)
    assert sounding.p_pa[0] == pytest.approx(100_430.0)
    assert sounding.t_k[0] == pytest.approx(298.55)
    assert sounding.relative_humidity_ratio[0] == pytest.approx(0.82)
    assert sounding.u_mps[0] == pytest.approx(-3.849, abs=1e-3)
    assert sounding.gph_m[-1] == pytest.approx(geopotential_at_m(32_958.0, -12.42), abs=0.5)
    assert sounding.elapsed_s is not None
    assert sounding.elapsed_s[-1] == 6706.0
    assert sounding.lon_offset_deg is not None
    assert sounding.lon_offset_deg[-1] == pytest.approx(-0.8241, abs=1e-3)


def test_geopotential_is_less_than_geometric_height(authorities: Path) -> None:
    sounding = read_netcdf_sounding(authorities / "darwin_20060119_231600.cdf", None)
    # Some 170 m at 33 km by the standard's formula, and 80 m more so near the equator.
    assert 32_958.0 - sounding.gph_m[-1] == pytest.approx(250.0, abs=15.0)


def test_fill_values_at_the_top_are_left_out(authorities: Path) -> None:
    sounding = read_netcdf_sounding(authorities / "darwin_20060124_051500.cdf", None)
    # The file reports winds of -9999 above 28 348 m, and pressure and temperature to 28 774 m.
    assert sounding.gph_m[-1] < 28_350.0
    assert np.abs(sounding.u_mps).max() < 60.0
    assert any("samples without wind (fill values)" in note for note in sounding.notes)
    assert any("beyond the ends of what is reported" in note for note in sounding.notes)


def test_flight_without_temperatures_is_refused(authorities: Path) -> None:
    # A real file: temperature and humidity are -9999 from the second sample on.
    with pytest.raises(SourceError, match=r"temperature is reported at 1 of \d+ samples"):
        read_netcdf_sounding(authorities / "darwin_20060119_050300.cdf", None)


def test_made_flight_crosses_the_date_line(tmp_path: Path) -> None:
    sounding = read_netcdf_sounding(make(tmp_path / "a.nc"), None)
    assert sounding.lon_offset_deg is not None
    np.testing.assert_allclose(sounding.lon_offset_deg, [0, 0.05, 0.1, 0.15, 0.2, 0.3], atol=1e-9)
    assert sounding.t_s == 1_600_000_060.0
    assert sounding.elapsed_s is not None
    assert sounding.elapsed_s.tolist() == [0, 200, 1000, 2000, 4000, 6000]


def test_radians_by_their_unit_become_degrees(tmp_path: Path) -> None:
    lat = np.radians([50.0, 50.01, 50.02, 50.03, 50.04, 50.05])
    path = make(tmp_path / "a.nc", {"lat": lat}, lat="radians")
    assert read_netcdf_sounding(path, None).lat_deg == pytest.approx(50.0)


def test_direction_and_speed_stand_in_for_components(tmp_path: Path) -> None:
    change = {"u_wind": None, "v_wind": None, "deg": [270.0] * 6, "wspd": [10.0] * 6}
    path = make(tmp_path / "a.nc", change, deg="deg", wspd="m/s")
    sounding = read_netcdf_sounding(path, None)
    np.testing.assert_allclose(sounding.u_mps, 10.0)  # from the west blows to the east
    np.testing.assert_allclose(sounding.v_mps, 0.0, atol=1e-12)


def test_without_latitude_the_place_serves(tmp_path: Path) -> None:
    path = make(tmp_path / "a.nc", {"lat": None, "lon": None})
    place = Place(lat_deg=0.0, lon_deg=10.0, amsl_m=0.0)
    sounding = read_netcdf_sounding(path, place)
    assert np.isnan(sounding.lat_deg)
    assert sounding.gph_m[-1] == pytest.approx(geopotential_at_m(30_000.0, 0.0))
    assert any("as at 0 degrees" in note for note in sounding.notes)
    assert sounding.lat_offset_deg is None


def test_without_times_nothing_is_invented(tmp_path: Path) -> None:
    sounding = read_netcdf_sounding(make(tmp_path / "a.nc", {"time_offset": None}), None)
    assert np.isnan(sounding.t_s)
    assert sounding.elapsed_s is None


def test_fills_above_every_limit_are_fills_too(tmp_path: Path) -> None:
    path = make(tmp_path / "a.nc", {"tdry": [15.0, 999_999.0, -17.474, -49.898, -56.5, -46.641]})
    sounding = read_netcdf_sounding(path, None)
    assert 255.0 < sounding.t_k[1] < 288.15
    assert "1 sample without temperature (fill values)" in sounding.notes


def test_descent_after_burst_is_left_out(tmp_path: Path) -> None:
    path = make(tmp_path / "a.nc", {"alt": [0.0, 1000.0, 5000.0, 10_000.0, 20_000.0, 19_000.0]})
    sounding = read_netcdf_sounding(path, None)
    assert len(sounding.gph_m) == 5
    assert "1 sample after the highest point left out" in sounding.notes


@pytest.mark.parametrize(
    ("change", "units", "reason"),
    [
        ({"pres": None}, {}, "has no variable pres"),
        ({"tdry": None, "u_wind": None}, {}, "no variable tdry, no u_wind and v_wind"),
        ({}, {"tdry": "F"}, "variable tdry: has the unit 'F'; allowed: c, degc, k"),
        ({}, {"pres": ""}, "variable pres: has the unit ''"),
        ({"tdry": [1.0] * 4}, {}, "variable tdry: has 4 values, pres has 6"),
        ({"time_offset": [1.0] * 4}, {}, "variable time_offset: has 4 values"),
        ({"alt": [3.28 * h for h in (0, 1000, 5000, 10_000, 20_000, 27_000)]}, {}, "not feet"),
    ],
)
def test_wrong_files_say_what_is_wrong(
    change: dict[str, object], units: dict[str, str], reason: str, tmp_path: Path
) -> None:
    path = make(tmp_path / "wrong.nc", change, **units)
    with pytest.raises(SourceError, match=reason):
        read_netcdf_sounding(path, None)


def test_damaged_file_is_refused(tmp_path: Path, authorities: Path) -> None:
    path = tmp_path / "cut.nc"
    path.write_bytes((authorities / "darwin_20060119_231600.cdf").read_bytes()[:700])
    with pytest.raises(SourceError, match="cannot be read as NetCDF"):
        read_netcdf_sounding(path, None)
