"""What physics gives back of what a file leaves out."""

from pathlib import Path

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.errors import SourceError
from farglide.sources.levels.filling import (
    check_hydrostatic,
    fill_between,
    fill_heights,
    fill_pressures,
    pressure_from_sea_level_pa,
    standard_temperature_k,
)
from farglide.sources.levels.levels import Levels, Report, blank_levels
from farglide.sources.soundings.bufr_temp import read_bufr


@pytest.fixture
def report() -> Report:
    return Report(path="made.csv", noun="line", origin="made up")


def as_levels(sounding: Sounding) -> Levels:
    levels = blank_levels(len(sounding.gph_m))
    for name in ("gph_m", "p_pa", "t_k", "u_mps", "v_mps"):
        levels[name] = getattr(sounding, name)
    return levels


def test_heights_left_out_come_back(authorities: Path, report: Report) -> None:
    """Real reported heights, taken away between the standard pressure levels, return."""
    for sounding in read_bufr(authorities / "prague_20071120.bufr")[0]:
        levels = as_levels(sounding)
        standard = np.isin(sounding.p_pa, [85e3, 70e3, 50e3, 40e3, 30e3, 20e3, 10e3, 5e3, 3e3])
        levels["gph_m"][~standard] = np.nan
        filled = fill_heights(levels, report)
        inside = (sounding.p_pa < 85e3) & (sounding.p_pa > 3e3)
        # Heights are rounded to 1 m and pressures to 10 Pa: 15 m at 50 hPa, 25 m at 30 hPa.
        error_m = np.abs(filled["gph_m"] - sounding.gph_m)
        assert error_m[inside].max() < 30.0
        assert np.median(error_m[inside]) < 5.0
        # Above the last height kept the gas law alone carries on, some 10 km at the most.
        assert error_m[-1] < 0.01 * (sounding.gph_m[-1] - 23_000.0) + 60.0


def test_isothermal_heights_are_exact(report: Report) -> None:
    levels = blank_levels(4)
    levels["p_pa"] = 1e5 * np.exp(-np.arange(4.0))
    levels["t_k"] = 250.0
    levels["gph_m"][0] = 100.0
    filled = fill_heights(levels, report)
    # R T / g0 = 287.05287 * 250 / 9.80665 = 7317.811 m per factor e: ISO 2533:1975.
    np.testing.assert_allclose(filled["gph_m"], 100.0 + 7317.811 * np.arange(4.0), atol=0.01)
    assert report.notes == ["3 heights computed from pressure and temperature"]


def test_heights_are_not_computed_beyond_temperatures(report: Report) -> None:
    levels = blank_levels(4)
    levels["p_pa"] = 1e5 * np.exp(-np.arange(4.0))
    levels["t_k"][:3] = 250.0
    levels["gph_m"][0] = 100.0
    assert len(fill_heights(levels, report)) == 3
    assert any("beyond the reported temperatures left out" in note for note in report.notes)


def test_no_height_at_all_is_refused(report: Report) -> None:
    levels = blank_levels(3)
    levels["p_pa"], levels["t_k"] = [1e5, 5e4, 1e4], 250.0
    with pytest.raises(SourceError, match="reports no height"):
        fill_heights(levels, report)


def test_pressures_at_heights_alone_lie_between(report: Report) -> None:
    located, alone = blank_levels(2), blank_levels(2)
    located["gph_m"], located["p_pa"] = [0.0, 10_000.0], [1e5, 2.5e4]
    alone["gph_m"] = [5000.0, 12_000.0]
    joined = fill_pressures(located, alone, report)
    # Half way in height is half way in the logarithm: sqrt(1e5 * 2.5e4).
    assert joined["p_pa"].tolist() == pytest.approx([1e5, 2.5e4, 5e4])
    assert any("beyond the reported pressures, 0 to 10000 m" in note for note in report.notes)


def test_values_between_reports_are_linear_in_log_pressure(report: Report) -> None:
    levels = blank_levels(4)
    levels["gph_m"] = [0.0, 5000.0, 10_000.0, 15_000.0]
    levels["p_pa"] = [1e5, 5e4, 2.5e4, 1.25e4]
    levels["t_k"] = [290.0, 270.0, np.nan, 230.0]
    levels["u_mps"] = [0.0, np.nan, np.nan, 30.0]
    levels["v_mps"] = [0.0, np.nan, np.nan, -30.0]
    filled = fill_between(levels, report)
    assert filled["t_k"].tolist() == pytest.approx([290.0, 270.0, 250.0, 230.0])
    assert filled["u_mps"].tolist() == pytest.approx([0.0, 10.0, 20.0, 30.0])
    assert filled["v_mps"].tolist() == pytest.approx([0.0, -10.0, -20.0, -30.0])
    assert np.isnan(filled["rh_ratio"]).all()


def test_wind_and_temperature_apart_are_refused(report: Report) -> None:
    levels = blank_levels(6)
    levels["gph_m"] = np.arange(6) * 1000.0
    levels["p_pa"] = 1e5 - np.arange(6) * 9000.0
    levels["t_k"][:3] = 280.0
    levels["u_mps"][3:] = levels["v_mps"][3:] = 5.0
    with pytest.raises(SourceError, match="over different heights"):
        fill_between(levels, report)
    levels["u_mps"] = levels["v_mps"] = np.nan
    with pytest.raises(SourceError, match="share no level"):
        fill_between(levels, report)


def test_sea_level_pressure_is_that_of_the_standard() -> None:
    gph_m = np.array([1000.0, 5000.0, 11_000.0, 20_000.0, 32_000.0])
    p_pa = pressure_from_sea_level_pa(gph_m, standard_temperature_k(gph_m))
    # ISO 2533:1975, tables 5 to 7 (32 km: US Standard Atmosphere 1976, table I).
    np.testing.assert_allclose(p_pa, [89_874.6, 54_019.9, 22_632.0, 5474.87, 868.02], rtol=3e-5)


def test_heights_in_feet_break_the_gas_law(report: Report) -> None:
    levels = blank_levels(3)
    levels["gph_m"], levels["p_pa"] = [0.0, 5000.0, 11_000.0], [101_325.0, 54_019.9, 22_632.0]
    levels["t_k"] = [288.15, 255.65, 216.65]
    check_hydrostatic(levels, report)
    levels["gph_m"] /= 0.3048
    with pytest.raises(SourceError, match=r"rise by 36089 m, but air .* is 11\d\d\d m thick"):
        check_hydrostatic(levels, report)
