"""Cells: when a pack ends, against hand-made sums and the simple way."""

import math

import numpy as np
import pytest

from farglide.errors import InputError
from farglide.power.cells import ends_s
from farglide.power.packs import cold_ratio, runs_for_s

TABLE = [(233.15, 0.3), (253.15, 0.6), (293.15, 1.0)]


def test_one_temperature_is_the_simple_way() -> None:
    for kelvin in (240.0, 253.15, 270.0, 293.15):
        steady = np.full((2, 500), kelvin)
        wanted = runs_for_s(26.0, cold_ratio(kelvin, TABLE), 7.0)
        np.testing.assert_allclose(ends_s(steady, 30.0, 7.0, 26.0, TABLE), wanted, rtol=1e-12)


def test_two_temperatures_by_hand() -> None:
    # 7 W for one hour at share 1 takes 7 Wh of 26; the other 19 Wh at share 0.6 last 1.629 h.
    # The step between holds half an hour's second of each.
    kelvins = np.where(np.arange(40_000) < 3600, 293.15, 253.15)[None, :]
    end_s = float(ends_s(kelvins, 1.0, 7.0, 26.0, TABLE)[0])
    assert end_s == pytest.approx(3600.0 + 19.0 * 3600.0 * 0.6 / 7.0, abs=1.0)


def test_a_straight_line_of_cold_against_the_integral() -> None:
    # share 1 - t / (2 T): the energy drawn is P x 2 T x ln(1 / share)
    n, span_s = 7201, 7200.0
    kelvins = np.linspace(293.15, 253.15, n)[None, :]
    share = 1.0 - 0.4 * np.arange(n) / (n - 1)
    drawn_wh = 7.0 * span_s / 0.4 * math.log(1.0 / share[5000]) / 3600.0
    end_s = float(ends_s(kelvins, span_s / (n - 1), 7.0, drawn_wh, TABLE)[0])
    assert end_s == pytest.approx(5000.0, abs=0.01)


def test_after_the_last_temperature_its_share_goes_on() -> None:
    short = np.full((1, 3), 253.15)
    wanted = runs_for_s(26.0, 0.6, 7.0)
    assert float(ends_s(short, 30.0, 7.0, 26.0, TABLE)[0]) == pytest.approx(wanted, rel=1e-12)


def test_warmer_than_the_table_is_held_and_colder_is_not_known() -> None:
    hot = ends_s(np.full((1, 3), 310.0), 30.0, 7.0, 26.0, TABLE)
    assert float(hot[0]) == pytest.approx(runs_for_s(26.0, 1.0, 7.0), rel=1e-12)
    cold = np.full((3, 500), 260.0)
    cold[0, 10] = 233.0  # before the end
    cold[1, 490] = 233.0  # 4 h 5 min: long after it
    found = ends_s(cold, 30.0, 7.0, 26.0, TABLE)
    assert math.isnan(found[0])
    assert found[1] == found[2] > 0.0


def test_a_share_of_nothing_ends_the_pack_at_once() -> None:
    dead = [(233.15, 0.0), (253.15, 0.6)]
    kelvins = np.array([[253.15, 233.15, 253.15]])
    assert float(ends_s(kelvins, 30.0, 7.0, 26.0, dead)[0]) == 0.0
    assert float(ends_s(np.full((1, 3), 233.15), 30.0, 7.0, 26.0, dead)[0]) == 0.0


def test_bad_input_is_refused() -> None:
    good = np.full((1, 3), 260.0)
    with pytest.raises(InputError, match="milliwatts"):
        ends_s(good, 30.0, 7000.0, 26.0, TABLE)
    with pytest.raises(InputError, match="energy_wh"):
        ends_s(good, 30.0, 7.0, math.nan, TABLE)
    with pytest.raises(InputError, match="step_s"):
        ends_s(good, 0.0, 7.0, 26.0, TABLE)
    with pytest.raises(InputError, match="Sort the rows"):
        ends_s(good, 30.0, 7.0, 26.0, TABLE[::-1])
    for bad in (good[0], good[:, :1], np.full((1, 3), math.nan)):
        with pytest.raises(InputError, match="temperature_k"):
            ends_s(bad, 30.0, 7.0, 26.0, TABLE)


def test_any_flight_ends_between_its_coldest_and_its_warmest() -> None:
    rng = np.random.default_rng(5)
    for _ in range(200):
        kelvins = rng.uniform(234.0, 293.0, size=(1, int(rng.integers(2, 400))))
        load_w, energy_wh = float(rng.uniform(0.1, 20.0)), float(rng.uniform(1.0, 40.0))
        end_s = float(ends_s(kelvins, 30.0, load_w, energy_wh, TABLE)[0])
        low, high = (
            runs_for_s(energy_wh, cold_ratio(float(k), TABLE), load_w)
            for k in (kelvins.min(), kelvins.max())
        )
        assert low * (1.0 - 1e-12) <= end_s <= high * (1.0 + 1e-12)
