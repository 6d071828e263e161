"""Bands of a climb: interpolation, shares of the time, and errors that leave the mean alone."""

import numpy as np
import pytest

from farglide.balloon.bands import (
    BAND_M,
    N_BANDS,
    _band_ratio,
    band_errors,
    hats,
    stay_ratios,
)
from farglide.errors import InputError
from farglide.kernel import door

ask_band_ratio = door(_band_ratio)
MIDDLES_M = BAND_M * (np.arange(N_BANDS) + 0.5)
TO_30_KM = np.arange(240.0, 30_000.0, 150.0)  # 5 m/s, every 30 s


def test_between_the_middles_of_bands_a_factor_changes_evenly() -> None:
    factors = np.linspace(0.8, 1.2, N_BANDS) ** 2
    heights = np.array([-300.0, 0.0, 2500.0, 4000.0, 17_500.0, 29_999.0, 37_500.0, 44_000.0])
    told = [ask_band_ratio(factors, float(z)) for z in heights]
    assert told == pytest.approx(np.interp(heights, MIDDLES_M, factors).tolist(), abs=1e-6)
    assert hats(heights) @ factors == pytest.approx(told, abs=1e-6)


def test_shares_of_the_time_add_to_one_and_follow_the_heights() -> None:
    share = stay_ratios(TO_30_KM)
    assert share.sum() == pytest.approx(1.0)
    # even speed: a full band has a sixth; the top one reaches half a band on, at half its height
    assert share[1:5] == pytest.approx(1.0 / 6.0, abs=0.002)
    assert share[6] == pytest.approx(0.125 / 6.0, abs=0.002)
    assert share[7] == 0.0


def test_no_climb_has_no_shares() -> None:
    with pytest.raises(InputError, match="amsl_m is empty"):
        stay_ratios(np.empty(0))


def test_of_drawn_climbs_a_band_is_off_its_mean_as_real_ones_are() -> None:
    # 47 open soundings: 10 to 90 % within 0.11 either way in every band
    share = stay_ratios(TO_30_KM)
    normals = np.random.default_rng(3).standard_normal((20_000, N_BANDS))
    factors = np.exp(0.086 * band_errors(normals, share))
    speeds = factors @ hats(TO_30_KM).T
    mean = len(TO_30_KM) / (1.0 / speeds).sum(axis=1)  # of a climb through these even steps
    assert mean.std() < 0.012  # the bands alone hardly touch the mean: second order
    band = np.minimum(TO_30_KM // BAND_M, N_BANDS - 1).astype(int)
    off = [(speeds[:, band == i].mean(axis=1) / mean) for i in range(6)]
    halves = [0.5 * float(np.diff(np.quantile(one, [0.1, 0.9]))[0]) for one in off]
    print("10 to 90 % by band:", np.round(halves, 3))
    assert halves == pytest.approx([0.11] * 6, abs=0.01)


def test_neighbours_hang_together() -> None:
    normals = np.random.default_rng(4).standard_normal((20_000, N_BANDS))
    errors = band_errors(normals, stay_ratios(TO_30_KM))
    r = np.corrcoef(errors.T)
    apart = [float(np.mean([r[i, i + n] for i in range(6 - n)])) for n in (1, 2, 3)]
    print("one, two, three bands apart:", np.round(apart, 2))
    # 18 open soundings: 0.22 (-0.06 to 0.42), -0.32, -0.65 (-0.85 to -0.33)
    assert -0.06 < apart[0] < 0.42
    assert apart[1] == pytest.approx(-0.32, abs=0.1)
    assert -0.85 < apart[2] < -0.33


@pytest.mark.parametrize("top_m", [3000.0, 12_000.0, 22_000.0, 36_000.0])
def test_the_mean_of_a_climb_to_any_height_stays_as_it_is(top_m: float) -> None:
    normals = np.random.default_rng(4).standard_normal((500, N_BANDS))
    share = stay_ratios(np.arange(240.0, top_m, 150.0))
    assert np.abs(band_errors(normals, share) @ share).max() < 1e-12
