"""Cautions: of the gas that is used and no other, and what an open field stands for."""

import numpy as np
import pytest

from farglide.balloon.gas import Gas
from farglide.chances.holding import Holding
from farglide.plan.cautions import cautions


def holding(*purposes: str) -> Holding:
    nothing = np.zeros((1, 1, len(purposes)))
    stand = np.zeros((1, 1), dtype=np.int64)
    return Holding(ratio=nothing, by_purpose=nothing, purposes=purposes, stand=stand)


@pytest.mark.parametrize(("gas", "other"), [("helium", "ydrogen"), ("hydrogen", "elium")])
def test_only_the_gas_that_is_used_is_warned_of(gas: Gas, other: str) -> None:
    text = " ".join(cautions(gas, None))
    assert text.lower().count(gas) == 1
    assert other not in text


def test_what_open_means_names_the_links_that_count() -> None:
    both = cautions("helium", holding("command", "picture"))
    assert "packs, light, and command and picture last on a straight way" in both[0]
    assert "Links or stands are not stated" in cautions("helium", None)[0]
    assert "This plan is no permission." in both[1]
    assert "legal speed" in both[2]
    assert len(both) == 6
