"""The law of the burst: normal with an even tail of early ones; a record by hand."""

import math
from statistics import NormalDist

import numpy as np
import pytest
from scipy.integrate import quad

from farglide.balloon.burst import (
    Bursting,
    Record,
    _burst_ratio,
    _whole_ratio,
    burst_diameters_m,
    learnt_early_ratio,
)
from farglide.errors import InputError

NORMAL = Bursting(6.6, 0.396, 0.0, 1.6)
TAILED = Bursting(6.6, 0.396, 0.03, 1.6)
EXACT = Bursting(6.6, 0.0, 0.0, 1.6)


def test_burst_ratio_is_the_normal_law() -> None:
    law = NormalDist(6.6, 0.396)
    for metres in (5.0, 5.8, 6.6, 7.0, 8.0):
        assert _burst_ratio(metres, NORMAL) == pytest.approx(law.cdf(metres), rel=1e-9)
    # ten standard deviations below the mean the digits still hold (normal tail, 7.62e-24)
    assert _burst_ratio(6.6 - 3.96, NORMAL) == pytest.approx(7.62e-24, rel=1e-3)


def test_exact_bursting_diameter_is_a_step() -> None:
    assert _burst_ratio(6.59, EXACT) == 0.0
    assert _burst_ratio(6.6, EXACT) == 1.0
    tailed = EXACT._replace(early_ratio=0.1)
    assert [_burst_ratio(d, tailed) for d in (1.0, 6.59, 6.6)] == pytest.approx([0.0, 0.1, 1.0])


def test_nan_comes_through() -> None:
    assert math.isnan(_burst_ratio(math.nan, NORMAL))
    assert math.isnan(_burst_ratio(math.nan, EXACT))


def test_early_bursts_are_spread_evenly_from_the_fill_to_nine_tenths() -> None:
    # 0.9 x 6.6 = 5.94 m; halfway from 1.6 m is 3.77 m, where no normal burst comes yet
    assert _burst_ratio(1.6, TAILED) == pytest.approx(0.0, abs=1e-12)
    assert _burst_ratio(3.77, TAILED) == pytest.approx(0.015, abs=1e-9)
    usual = NormalDist(6.6, 0.396).cdf(5.94)
    assert _burst_ratio(5.94, TAILED) == pytest.approx(0.03 + 0.97 * usual, rel=1e-9)


@pytest.mark.parametrize("law", [NORMAL, TAILED, EXACT, TAILED._replace(fill_diameter_m=6.5)])
def test_burst_and_whole_are_all(law: Bursting) -> None:
    for metres in (1.0, 3.0, 5.9, 6.2, 6.6, 7.4):
        both = _burst_ratio(metres, law) + _whole_ratio(metres, law)
        assert both == pytest.approx(1.0, abs=1e-12)


def test_drawn_diameters_have_the_law_and_keep_their_order() -> None:
    z = np.linspace(-3.9, 3.9, 2001)
    drawn = burst_diameters_m(TAILED, z)
    assert (np.diff(drawn) > 0.0).all()
    share = [_burst_ratio(float(d), TAILED) for d in drawn]
    assert share == pytest.approx([NormalDist().cdf(float(x)) for x in z], abs=1e-9)
    assert drawn[-1] == pytest.approx(burst_diameters_m(NORMAL, z)[-1], abs=0.01)


def test_without_early_bursts_it_is_the_normal_number_itself() -> None:
    z = np.array([-9.0, -1.0, 0.0, 2.5])
    wanted = 6.6 + 0.396 * np.array([-4.0, -1.0, 0.0, 2.5])
    np.testing.assert_allclose(burst_diameters_m(NORMAL, z), wanted, rtol=1e-12)
    assert burst_diameters_m(Bursting(0.5, 0.3, 0.0, 0.2), z)[0] == 0.3


def by_integral(prior: float, record: Record, told: float) -> float:
    """Return the mean of a beta prior worth 30 flights after the record, (1 - s g) kept exact."""
    a, b = 30.0 * prior, 30.0 * (1.0 - prior)

    def weight(s: float) -> float:
        whole = (1.0 - told * s) ** (record.n_flights - record.n_early)
        return float(s ** (a - 1.0 + record.n_early) * (1.0 - s) ** (b - 1.0) * whole)

    up = quad(lambda s: s * weight(s), 0.0, 1.0, limit=200)[0]
    return float(up / quad(weight, 0.0, 1.0, limit=200)[0])


@pytest.mark.parametrize(
    ("record", "fill_ratio", "told"),
    [
        (Record(20, 0, 0.9), 0.25, 1.0),
        (Record(20, 3, 0.9), 0.25, 1.0),
        (Record(40, 2, 0.575), 0.25, 0.5),  # let go halfway from the fill to nine tenths
        (Record(12, 0, 0.2), 0.25, 0.0),  # let go at once: tells nothing
    ],
)
def test_a_record_counts_as_bayes_says(record: Record, fill_ratio: float, told: float) -> None:
    found = learnt_early_ratio(0.04, record, fill_ratio)
    assert found == pytest.approx(by_integral(0.04, record, told), rel=0.02)


def test_by_hand() -> None:
    # (30 x 0.03 + 2) / (30 + 30)
    assert learnt_early_ratio(0.03, Record(30, 2, 0.9), 0.25) == pytest.approx(2.9 / 60.0)


@pytest.mark.parametrize("record", [Record(3, 4, 0.9), Record(3, -1, 0.9)])
def test_records_that_cannot_be_are_refused(record: Record) -> None:
    with pytest.raises(InputError, match="early bursts among them"):
        learnt_early_ratio(0.03, record, 0.25)
