"""Levels in order: the climb, merging, and heights that rise."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from farglide.errors import SourceError
from farglide.sources.levels.levels import Levels, Report, blank_levels, drop_impossible
from farglide.sources.levels.order import (
    climb_only,
    merge_equal,
    rising_heights,
    sorted_by_height,
    steadied,
)


@pytest.fixture
def report() -> Report:
    return Report(path="made.nc", noun="sample", origin="made up")


def test_climb_ends_at_the_highest_sample(report: Report) -> None:
    levels = blank_levels(6)
    levels["elapsed_s"] = [0, 20, 10, 30, 40, 50]
    levels["gph_m"] = [0, 200, 100, 300, 250, 50]
    climb, is_timed = climb_only(levels, report)
    assert is_timed
    assert climb["gph_m"].tolist() == [0, 100, 200, 300]
    assert report.notes == ["2 samples after the highest point left out"]


def test_climb_by_pressure_where_no_height_is_reported(report: Report) -> None:
    levels = blank_levels(4)
    levels["elapsed_s"] = [0, 1, 2, 3]
    levels["p_pa"] = [1e5, 5e4, 2e4, 3e4]
    climb, _ = climb_only(levels, report)
    assert climb["p_pa"].tolist() == [1e5, 5e4, 2e4]


def test_levels_without_times_keep_their_order(report: Report) -> None:
    levels = blank_levels(3)
    levels["gph_m"] = [0, 300, 100]
    climb, is_timed = climb_only(levels, report)
    assert not is_timed
    assert climb["gph_m"].tolist() == [0, 300, 100]


def test_one_wild_height_costs_one_level(report: Report) -> None:
    levels = blank_levels(10)
    levels["gph_m"] = [0, 100, 9999, 200, 300, 400, 500, 600, 700, 800]
    assert rising_heights(levels, report)["gph_m"].tolist() == [0, *range(100, 801, 100)]
    assert report.notes == ["1 sample not above the one before left out"]


def test_heights_against_pressures_are_refused(report: Report) -> None:
    levels = blank_levels(5)
    levels["gph_m"] = [500, 400, 300, 200, 100]
    with pytest.raises(SourceError, match="at 4 of 5 samples the height does not rise"):
        rising_heights(levels, report)


@given(st.lists(st.integers(0, 30), min_size=1, max_size=60))
def test_rising_heights_rise_and_none_more_could_stay(heights: list[int]) -> None:
    levels = blank_levels(len(heights))
    levels["gph_m"] = heights
    # The slow twin: longest strictly rising subsequence ending at each place.
    longest: list[int] = []
    for i, height in enumerate(heights):
        before = [n for n, other in zip(longest, heights[:i], strict=True) if other < height]
        longest.append(1 + max(before, default=0))
    report = Report(path="made.nc", noun="sample", origin="made up")
    if len(heights) - max(longest) > 0.2 * len(heights):
        with pytest.raises(SourceError):
            rising_heights(levels, report)
        return
    kept = rising_heights(levels, report)["gph_m"]
    assert len(kept) == max(longest)
    assert (np.diff(kept) > 0.0).all()


def test_levels_that_complete_each_other_are_merged(report: Report) -> None:
    levels = blank_levels(3)
    levels["p_pa"] = [5e4, 5e4, 4e4]
    levels["t_k"] = [250.0, np.nan, 240.0]
    levels["u_mps"] = [np.nan, 10.0, 12.0]
    merged = merge_equal(levels, "p_pa", report)
    assert merged["t_k"].tolist() == [250.0, 240.0]
    assert merged["u_mps"].tolist() == [10.0, 12.0]
    assert report.notes == ["1 sample of the same p_pa merged"]


def test_levels_that_contradict_each_other_are_refused(report: Report) -> None:
    levels = blank_levels(2)
    levels["p_pa"], levels["t_k"] = 5e4, [250.0, 252.0]
    with pytest.raises(SourceError, match="samples 1, 2: give t_k 250 and 252 for the same p_pa"):
        merge_equal(levels, "p_pa", report)


def test_equal_heights_stand_with_the_higher_pressure_first() -> None:
    levels = blank_levels(3)
    levels["gph_m"], levels["p_pa"] = [100, 0, 100], [900, 1000, 950]
    assert sorted_by_height(levels)["p_pa"].tolist() == [1000, 950, 900]


def test_impossible_values_are_dropped_and_counted(report: Report) -> None:
    levels = blank_levels(3)
    levels["t_k"] = [288.0, 20.0, 250.0]
    levels["u_mps"], levels["v_mps"] = [1.0, 2.0, 300.0], [1.0, 2.0, 3.0]
    clean = drop_impossible(levels, report)
    assert np.isnan(clean["t_k"]).tolist() == [False, True, False]
    assert np.isnan(clean["v_mps"]).tolist() == [False, False, True]  # half a wind is none
    assert report.notes[0] == (
        "1 value of t_k left out: outside 150 to 330 K, the first 20 at sample 2"
    )
    assert levels["t_k"][1] == 20.0  # the caller's levels stay as they were


def test_no_level_at_all_is_left_so(report: Report) -> None:
    """As where a damaged report has every level below the ground."""
    levels, is_timed = climb_only(blank_levels(0), report)
    assert not is_timed
    assert len(merge_equal(levels, "p_pa", report)) == 0
    assert report.notes == []


def flickering(n: int, back_ratio: float) -> Levels:
    """Return levels whose every second pressure lies above the one before it."""
    levels = blank_levels(n)
    levels["gph_m"] = 20_000.0 + 5.0 * np.arange(n)
    levels["p_pa"] = 5000.0 * np.exp(-5.0 * np.arange(n) / 7000.0)
    levels["p_pa"][1::2] = levels["p_pa"][::2] * (1.0 + back_ratio)
    return levels


def test_a_pressure_that_flickers_is_sorted_along_the_heights_and_told(report: Report) -> None:
    levels = flickering(200, 0.008)
    steady = steadied(levels, report)
    assert steady["gph_m"].tolist() == levels["gph_m"].tolist()
    assert sorted(steady["p_pa"]) == sorted(levels["p_pa"])
    assert (np.diff(steady["p_pa"]) <= 0.0).all()
    assert np.abs(steady["p_pa"] / levels["p_pa"] - 1.0).max() <= 0.01
    assert report.notes == ["pressure steps back at 100 samples by up to 0.8 %: sorted"]
    assert len(rising_heights(steady, report)) == 200


def test_more_than_flicker_is_left_to_be_refused(report: Report) -> None:
    steady = steadied(flickering(200, 0.02), report)
    assert report.notes == []
    with pytest.raises(SourceError, match="the height does not rise as the pressure falls"):
        rising_heights(steady, report)


def test_levels_without_height_keep_their_place_by_pressure(report: Report) -> None:
    levels = blank_levels(5)
    levels["p_pa"] = [1000.0, 900.0, 950.0, 800.0, 850.0]
    levels["gph_m"] = [0.0, 900.0, np.nan, 1800.0, np.nan]
    assert steadied(levels, report)["p_pa"].tolist() == [1000.0, 950.0, 900.0, 850.0, 800.0]
    assert report.notes == []
    assert len(steadied(blank_levels(0), report)) == 0


def test_one_pressure_a_little_higher_each_time_is_several_levels(report: Report) -> None:
    levels = blank_levels(4)
    levels["p_pa"] = [2850.0, 2850.0, 2850.0, 2840.0]
    levels["gph_m"] = [23_866.0, 23_876.0, 23_887.0, 23_910.0]
    levels["u_mps"] = [1.0, 4.0, 7.0, 9.0]
    assert len(merge_equal(levels, "p_pa", report)) == 4
    assert report.notes == []
    levels["gph_m"][2] = 24_100.0  # 3 % of the pressure lie between
    with pytest.raises(SourceError, match="give gph_m 23866 and 24100 for the same p_pa 2850"):
        merge_equal(levels, "p_pa", report)
