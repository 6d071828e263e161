"""Bands of a climb: interpolation, shares of the time, and errors that leave the mean alone."""

import numpy as np
import pytest

from farglide.balloon.bands import (
    BAND_M,
    N_BANDS,
    USUAL_BAND_RATIO,
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
    factors = 1.0 + USUAL_BAND_RATIO * band_errors(normals, share)
    speeds = factors @ hats(TO_30_KM).T
    mean = len(TO_30_KM) / (1.0 / speeds).sum(axis=1)  # of a climb through these even steps
    assert mean.std() < 0.012  # the bands alone hardly touch the mean: second order
    band = np.minimum(TO_30_KM // BAND_M, N_BANDS - 1).astype(int)
    off = [(speeds[:, band == i].mean(axis=1) / mean) for i in range(6)]
    halves = [0.5 * float(np.diff(np.quantile(one, [0.1, 0.9]))[0]) for one in off]
    print("10 to 90 % by band:", np.round(halves, 3))
    assert np.mean(halves) == pytest.approx(0.11, abs=0.01)
    assert min(halves) > 0.09
    assert max(halves) < 0.14


def test_neighbours_hang_together() -> None:
    normals = np.random.default_rng(4).standard_normal((20_000, N_BANDS))
    errors = band_errors(normals, stay_ratios(TO_30_KM))
    r = np.corrcoef(errors.T)
    near = [r[i, i + 1] for i in range(5)]
    far = [r[i, i + 3] for i in range(3)]
    assert np.mean(near) == pytest.approx(0.14, abs=0.04)  # 0.14 in 18 open soundings
    assert max(far) < 0.0  # what one is faster another must be slower
    assert np.abs(errors @ stay_ratios(TO_30_KM)).max() < 1e-12
