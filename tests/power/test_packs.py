"""Packs: hand-computed run times, and the straight lines of the cold table."""

import math

import pytest

from farglide.errors import InputError
from farglide.power.packs import cold_ratio, ends_after_launch_s, runs_for_s

# A general text on batteries, second-hand: 100 % at 27 C, about 50 % at -18 C
GENERAL_TABLE = [(255.15, 0.5), (300.15, 1.0)]


@pytest.mark.parametrize(
    ("energy_wh", "cold", "load_w", "minutes"),
    # hand computed: 26 x 0.65 / 7 h = 144.9 min; 20 x 0.70 / 7 h = 120.0 min
    [(26.0, 0.65, 7.0, 144.857), (20.0, 0.70, 7.0, 120.0)],
)
def test_run_time(energy_wh: float, cold: float, load_w: float, minutes: float) -> None:
    assert runs_for_s(energy_wh, cold, load_w) / 60.0 == pytest.approx(minutes, abs=0.001)


def test_end_on_the_clock_of_the_launch() -> None:
    # switched on 15 min before the launch: 144.9 - 15 = 129.9 min after it
    end_s = ends_after_launch_s(runs_for_s(26.0, 0.65, 7.0), -900.0)
    assert end_s / 60.0 == pytest.approx(129.857, abs=0.001)


def test_cold_table_is_hit_and_joined_by_lines() -> None:
    assert cold_ratio(255.15, GENERAL_TABLE) == 0.5
    assert cold_ratio(300.15, GENERAL_TABLE) == 1.0
    assert cold_ratio(277.65, GENERAL_TABLE) == pytest.approx(0.75, rel=1e-12)  # halfway
    bent = [(233.15, 0.3), (253.15, 0.6), (293.15, 1.0)]
    assert cold_ratio(253.15, bent) == pytest.approx(0.6, rel=1e-12)
    assert cold_ratio(243.15, bent) == pytest.approx(0.45, rel=1e-12)
    assert cold_ratio(273.15, bent) == pytest.approx(0.8, rel=1e-12)


@pytest.mark.parametrize("kelvin", [250.0, 310.0, math.nan])
def test_cold_table_is_not_stretched(kelvin: float) -> None:
    with pytest.raises(InputError, match="ends of the table"):
        cold_ratio(kelvin, GENERAL_TABLE)


def test_milliampere_hours_are_found() -> None:
    with pytest.raises(InputError, match=r"2400 Wh.*mAh.*25\.9 Wh"):
        runs_for_s(2400.0, 0.65, 7.0)


def test_bad_packs_are_refused() -> None:
    for energy_wh in (0.0, -1.0, math.nan):
        with pytest.raises(InputError, match="energy_wh"):
            runs_for_s(energy_wh, 0.65, 7.0)
    with pytest.raises(InputError, match=r"65 % as 0\.65"):
        runs_for_s(26.0, 65.0, 7.0)
    with pytest.raises(InputError, match="milliwatts"):
        runs_for_s(26.0, 0.65, 7000.0)
    with pytest.raises(InputError, match="runs_s"):
        ends_after_launch_s(0.0, -900.0)
    with pytest.raises(InputError, match="one day either side"):
        ends_after_launch_s(7000.0, -100_000.0)
    with pytest.raises(InputError, match="2 rows"):
        cold_ratio(270.0, GENERAL_TABLE[:1])
    with pytest.raises(InputError, match="Sort the rows"):
        cold_ratio(270.0, GENERAL_TABLE[::-1])
    with pytest.raises(InputError, match=r"253\.15"):
        cold_ratio(270.0, [(-18.0, 0.5), (27.0, 1.0)])
    with pytest.raises(InputError, match="table ratio"):
        cold_ratio(270.0, [(255.15, 50.0), (300.15, 100.0)])
