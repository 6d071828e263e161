"""Humidity from what forecasts tell of it."""

import numpy as np
import pytest
from CoolProp.HumidAirProp import HAPropsSI

from farglide.sources.grids.humidity import relative_humidity


def one(value: float) -> np.ndarray:  # type: ignore[type-arg]
    return np.full((1, 1, 1, 1, 1), value, np.float32)


@pytest.mark.parametrize(("t_k", "p_pa", "ratio"), [(293.15, 1e5, 0.6), (278.15, 8e4, 0.9)])
def test_specific_humidity_against_a_library(t_k: float, p_pa: float, ratio: float) -> None:
    mixing = HAPropsSI("W", "T", t_k, "P", p_pa, "R", ratio)
    values = {"t_k": one(t_k), "q_ratio": one(mixing / (1.0 + mixing))}
    found = relative_humidity(values, np.array([p_pa]))
    # CoolProp knows the forces between molecules as well: 0.5 %.
    assert found is not None
    assert found[0, 0, 0, 0, 0] == pytest.approx(ratio, rel=0.006)


def test_what_is_told_goes_before_what_is_computed() -> None:
    values = {"t_k": one(290.0), "q_ratio": one(0.005), "rh_ratio": one(0.25)}
    told = relative_humidity(values, np.array([1e5]))
    assert told is not None
    assert told.ravel().tolist() == [0.25]
    computed = relative_humidity(values | {"rh_ratio": one(np.nan)}, np.array([1e5]))
    assert computed is not None
    assert 0.3 < computed.ravel()[0] < 0.5


def test_humidity_has_limits_and_may_not_be_told() -> None:
    assert relative_humidity({"t_k": one(290.0)}, np.array([1e5])) is None
    for told, taken in ((1.6, 1.2), (-0.1, 0.0)):
        found = relative_humidity({"rh_ratio": one(told)}, np.array([1e5]))
        assert found is not None
        assert found.ravel().tolist() == [pytest.approx(taken)]
