"""Doubts: what the draws vary, out of a sortie and its air."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.air.column import Column
from farglide.power.packs import ends_after_launch_s, runs_for_s
from farglide.rig.doubts import pack_end
from farglide.sim.core.draws import Uncertain
from farglide.sortie.spec import Known, Sortie


def test_one_share_is_told_to_the_last_bit_as_before(sortie: Sortie, column: Column) -> None:
    (simple,) = sortie.packs
    assert simple.cold_ratio is not None
    loose = replace(
        simple, energy_wh=Known(value=26.0, sd=2.6), cold_ratio=Known(value=0.65, sd=0.065)
    )
    runs_s = runs_for_s(26.0, 0.65, 7.0)
    wanted = Uncertain(
        mean=ends_after_launch_s(runs_s, -900.0) - 180.0,
        sd=float(np.hypot(0.1, 0.1)) * runs_s,
    )
    assert pack_end(sortie, column, loose) == wanted


def test_age_takes_its_share(sortie: Sortie, column: Column) -> None:
    (simple,) = sortie.packs
    aged = pack_end(sortie, column, replace(simple, ageing_ratio=0.8))
    assert aged.mean == pytest.approx(0.8 * runs_for_s(26.0, 0.65, 7.0) - 900.0 - 180.0)
