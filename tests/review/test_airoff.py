"""Air off: an injected jet comes back, and the sizes of errors against those told."""

import numpy as np
import pytest

from farglide.chances.ensemble import Ensemble
from farglide.live.rehearse.surprises import Changes
from farglide.review.airoff import LEAST, deep_shown, sizes_of, winds_off
from farglide.review.parted import parted
from farglide.rig.airdoubts import air_doubts_of
from farglide.sim.core.learnt import Measured, crossed_with, scaled, seen_with
from farglide.track.drift import measured_winds

from .made import flight


def measured_of(planned: Ensemble, changes: Changes, seed: int = 0) -> Measured:
    made = flight(planned, changes, seed, 4200.0)
    parts = parted(made.flown, planned.sortie.launch, planned.air.scene)
    return measured_winds(planned.air.scene, parts.carried, 10.0)


def test_a_jet_9_mps_faster_is_found_within_1_mps(planned: Ensemble) -> None:
    doubts = air_doubts_of(planned.sortie, planned.air.column)
    rows = winds_off(planned.air.scene, doubts, measured_of(planned, Changes(jet_mps=9.0)))
    jet = rows[0]
    assert jet.where == "the jet"
    assert 8000.0 <= jet.from_amsl_m < jet.to_amsl_m <= 12_000.0
    assert jet.faster_mps == pytest.approx(9.0, abs=1.0)
    assert jet.to_right_mps == pytest.approx(0.0, abs=0.5)
    low = next(row for row in rows if row.where == "below 3 km")
    assert low.faster_mps == pytest.approx(0.0, abs=0.5)
    assert 0.5 < low.told_sd_mps < 4.0


def test_a_turned_wind_is_off_to_the_right(planned: Ensemble) -> None:
    doubts = air_doubts_of(planned.sortie, planned.air.column)
    rows = winds_off(planned.air.scene, doubts, measured_of(planned, Changes(turn_deg=20.0)))
    middle = next(row for row in rows if row.where == "8 to 12 km")
    told = middle.told_mps
    assert middle.to_right_mps == pytest.approx(told * np.sin(np.radians(20.0)), rel=0.1)


@pytest.mark.parametrize("ratio", [0.6, 1.0, 2.0])
def test_errors_so_many_times_as_wide_look_so(planned: Ensemble, ratio: float) -> None:
    """Over 12 days drawn from their own law, each day by what it says without the belief."""
    doubts = air_doubts_of(planned.sortie, planned.air.column)
    pattern = measured_of(planned, Changes())
    wide = scaled(doubts, ratio)
    covariance = seen_with(crossed_with(wide, pattern.share_ratio), pattern)
    root, rng = np.linalg.cholesky(covariance), np.random.default_rng(5)
    told = -pattern.share_ratio @ (doubts.slower_mps[:, None] * np.stack(doubts.along, axis=1))
    logs, weights = [], []
    for _ in range(12):
        off = told + (root @ rng.standard_normal(len(root))).reshape(-1, 2)
        found = sizes_of(doubts, pattern._replace(off_mps=off))
        shown = deep_shown(found)
        assert found is not None
        assert shown is not None
        assert 0.05 < found.deep_log_sd < 0.35
        logs.append(shown.value)
        weights.append(shown.sd**-2.0)
    assert np.exp(np.average(logs, weights=weights)) == pytest.approx(ratio, rel=0.25)


def test_winds_as_told_look_narrow(planned: Ensemble) -> None:
    doubts = air_doubts_of(planned.sortie, planned.air.column)
    found = sizes_of(doubts, measured_of(planned, Changes()))
    assert found is not None
    assert found.deep_ratio < 0.8


def test_too_few_stretches_size_nothing(planned: Ensemble) -> None:
    doubts = air_doubts_of(planned.sortie, planned.air.column)
    few = measured_of(planned, Changes()).rows(np.arange(LEAST - 1))
    assert sizes_of(doubts, few) is None
    assert deep_shown(None) is None
    assert winds_off(planned.air.scene, doubts, few.rows(np.arange(0))) == ()
