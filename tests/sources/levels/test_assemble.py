"""Assembling: what levels make, what is left out of them, and when they make no sounding."""

import math

import numpy as np
import pytest

from farglide.errors import SourceError
from farglide.sources.levels.assemble import to_sounding
from farglide.sources.levels.levels import Levels, Report, blank_levels


@pytest.fixture
def report() -> Report:
    return Report(path="made.nc", noun="level", origin="made up", ground_gph_m=0.0)


@pytest.fixture
def levels() -> Levels:
    """Return five levels of the standard atmosphere: ISO 2533:1975, tables 5 to 7."""
    made = blank_levels(5)
    made["gph_m"] = [0.0, 2000.0, 5000.0, 11_000.0, 20_000.0]
    made["p_pa"] = [101_325.0, 79_495.2, 54_019.9, 22_632.0, 5474.87]
    made["t_k"] = [288.15, 275.15, 255.65, 216.65, 216.65]
    made["u_mps"], made["v_mps"] = 10.0, 0.0
    return made


def test_whole_levels_are_kept_in_order_of_height(levels: Levels, report: Report) -> None:
    found = to_sounding(levels[::-1], report)
    assert found.gph_m.tolist() == levels["gph_m"].tolist()
    assert found.p_pa.tolist() == levels["p_pa"].tolist()
    assert set(found.u_mps) == {10.0}
    assert found.origin == "made up"
    assert [note for note in found.notes if "left out" in note] == []


def test_a_level_below_the_ground_goes(levels: Levels, report: Report) -> None:
    levels["gph_m"][0] = -50.0
    found = to_sounding(levels, report)
    assert len(found.gph_m) == 4
    assert "1 level below the ground at 0 m left out" in found.notes


def test_a_missing_temperature_is_filled_in_between(levels: Levels, report: Report) -> None:
    """From 255.65 K at 540 hPa to 216.65 K at 55 hPa, evenly in the logarithm of pressure."""
    levels["t_k"][3] = np.nan
    share = math.log(54_019.9 / 22_632.0) / math.log(54_019.9 / 5474.87)
    found = to_sounding(levels, report)
    assert found.t_k[3] == pytest.approx(255.65 - 39.0 * share)


def test_levels_that_cannot_be_placed_are_too_few(levels: Levels, report: Report) -> None:
    levels["gph_m"][2:] = levels["p_pa"][2:] = np.nan
    with pytest.raises(SourceError, match="only 2 levels have a height") as caught:
        to_sounding(levels, report)
    assert "Take a full sounding" in caught.value.remedy
    assert report.notes == ["3 levels with neither height nor pressure left out"]


def test_air_that_cannot_be_is_refused_by_its_file(levels: Levels, report: Report) -> None:
    levels["u_mps"][4] = 250.0
    with pytest.raises(SourceError, match="allowed: -200") as caught:
        to_sounding(levels, report)
    assert caught.value.path == "made.nc"
    assert "u_mps at level 5" in str(caught.value)


@pytest.mark.parametrize("timed", [False, True])
def test_heights_without_any_pressure_make_no_sounding(
    levels: Levels, report: Report, timed: bool
) -> None:
    levels["p_pa"] = np.nan
    levels["elapsed_s"] = np.linspace(0.0, 4000.0, 5) if timed else np.nan
    with pytest.raises(SourceError, match="no level has a pressure; allowed: 3 or more"):
        to_sounding(levels, report)


@pytest.mark.parametrize("ground_m", [20_002.0, 1e300, math.inf])
def test_a_station_above_all_its_levels_is_told(levels: Levels, ground_m: float) -> None:
    report = Report(path="made.bufr", noun="level", origin="made up", ground_gph_m=ground_m)
    with pytest.raises(SourceError, match=r"said to lie at .* m, above all its levels"):
        to_sounding(levels, report)


def test_more_levels_than_a_sounding_has_are_refused(report: Report) -> None:
    with pytest.raises(SourceError, match="has 100001 levels; allowed: up to 100000"):
        to_sounding(blank_levels(100_001), report)


def test_a_stretch_without_a_wind_is_kept_as_one(levels: Levels, report: Report) -> None:
    levels["u_mps"][[2, 3]] = levels["v_mps"][[2, 3]] = np.nan
    found = to_sounding(levels, report)
    assert found.windless_gph_m == ((0.0, 2000.0), (2000.0, 20_000.0))
    assert "no wind reported from 2.0 to 20.0 km: interpolated there" in found.notes
