"""Polarisations of two ends, over the rolls of the one that flies."""

import math

import numpy as np
import pytest

from farglide.radio.ends.end import End
from farglide.radio.ends.gear import PolarisationGear, polarisation_gear, tilt_at_deg


def crossed(one: str, other: str, swing_deg: float | None = None) -> PolarisationGear:
    aloft = End(polarisation=one, aboard=True, swing_deg=swing_deg)
    found = polarisation_gear(aloft, End(polarisation=other))
    assert found is not None
    assert polarisation_gear(End(polarisation=other), aloft) == pytest.approx(found, abs=1e-9)
    return found


@pytest.mark.parametrize(
    ("one", "other", "swing_deg", "mean_db", "worst_db"),
    [
        ("linear upright", "right circular", None, 3.01, 3.01),
        ("linear upright", "linear upright", None, 6.02, 30.0),
        ("linear upright", "linear upright", 0.0, 0.0, 0.0),
        ("right circular", "right circular", None, 0.0, 0.0),
        ("right circular", "left circular", None, 30.0, 30.0),
        ("linear level", "linear upright", 0.0, 30.0, 30.0),
    ],
)
def test_mean_and_worst(
    one: str, other: str, swing_deg: float | None, mean_db: float, worst_db: float
) -> None:
    found = crossed(one, other, swing_deg)
    assert found.mean_db == pytest.approx(mean_db, abs=0.01)
    assert found.worst_db == pytest.approx(worst_db, abs=0.01)


def test_a_swing_has_the_mean_over_its_tilts() -> None:
    found = crossed("linear upright", "linear upright", 30.0)
    sides = np.linspace(0.0, 2.0 * math.pi, 100_000, endpoint=False)
    lost_db = -20.0 * np.log10(np.cos(np.radians(30.0) * np.sin(sides)))
    assert found.mean_db == pytest.approx(float(lost_db.mean()), abs=0.01)
    assert found.sd_db == pytest.approx(float(lost_db.std()), abs=0.01)
    assert found.worst_db == pytest.approx(1.25, abs=0.01)  # cos^2 of 30 degrees
    assert found.best_db == 0.0


def test_axial_ratios_open_the_wrong_hand() -> None:
    sender = End(polarisation="right circular", aboard=True, axial_ratio_db=3.0)
    found = polarisation_gear(sender, End(polarisation="left circular", axial_ratio_db=3.0))
    assert found is not None
    # two circles 3 dB off let 9.6 dB less than all through at best: the best case of the pair
    assert 9.6 < found.mean_db < found.worst_db == 30.0
    assert found.best_db == pytest.approx(9.6, abs=0.05)


def test_where_one_is_not_stated_nothing_is_known() -> None:
    assert polarisation_gear(End(), End(polarisation="linear level")) is None
    assert polarisation_gear(End(polarisation="linear level"), End()) is None


@pytest.mark.parametrize(
    ("polarisation", "tilt_deg"),
    [("linear level", 0.0), ("linear upright", 90.0), ("left circular", 45.0), ("unstated", 45.0)],
)
def test_tilts(polarisation: str, tilt_deg: float) -> None:
    assert tilt_at_deg(End(polarisation=polarisation)) == tilt_deg
