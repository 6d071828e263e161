"""Glide: the glide ratio of made-up flights comes back, and the sink of one left to itself."""

from collections.abc import Callable

import numpy as np
import pytest

from farglide.chances.ensemble import Ensemble
from farglide.review.glide import LEAST, Stretches, glide_shown, sink_shown, stretches_of
from farglide.review.parted import parted
from farglide.rig.airdoubts import air_doubts_of
from farglide.sim.core.learnt import learnt
from farglide.track.drift import measured_winds

from .made import Made, been


def stretches(planned: Ensemble, made: Made) -> Stretches:
    parts = parted(made.flown, planned.sortie.launch, planned.air.scene)
    measured = measured_winds(planned.air.scene, parts.carried, 10.0)
    known = learnt(air_doubts_of(planned.sortie, planned.air.column), measured)
    return stretches_of(planned.air.scene, known.home, parts.freed)


def test_drawn_glide_ratios_come_back_within_7_percent(
    planned: Ensemble, drawn: Callable[[int], Made]
) -> None:
    off, scores = [], []
    for seed in range(1, 9):
        made = drawn(seed)
        if made.rehearsed is None:
            continue
        found = glide_shown(planned.craft.polar, planned.air.scene, stretches(planned, made))
        true = float(made.truth.drawn.glide_factor[0])
        assert found is not None
        off.append(found.value / true - 1.0)
        scores.append((found.value - true) / found.sd)
    assert len(off) >= 5
    assert np.abs(off).max() < 0.07
    assert np.sqrt(np.mean(np.square(scores))) < 2.0


def test_stretches_are_the_air_s_way(planned: Ensemble, as_told: Made) -> None:
    """In winds as told the speed through the air is within the glider's own speeds."""
    some = stretches(planned, as_told)
    assert len(some.level_mps) > 50
    straight = some.level_mps[5:20]
    assert (straight > 15.0).all()
    assert (some.sink_mps > 0.0).all()


def test_too_few_straight_parts_tell_nothing(planned: Ensemble, as_told: Made) -> None:
    some = stretches(planned, as_told)
    few = Stretches(*(one[: LEAST - 1] for one in some))
    assert glide_shown(planned.craft.polar, planned.air.scene, few) is None
    turning = some._replace(heading_deg=np.arange(len(some.amsl_m)) * 60.0)
    assert glide_shown(planned.craft.polar, planned.air.scene, turning) is None


def test_a_sink_at_sea_level_is_found_at_any_height(planned: Ensemble) -> None:
    layers = planned.air.scene.layers
    heights_m = layers.base_amsl_m + layers.step_m * (np.arange(len(layers.p_pa)) + 0.5)
    t_s, z = [0.0], [18_000.0]
    while z[-1] > 6000.0:
        ratio = float(np.interp(z[-1], heights_m, layers.tas_per_eas))
        z.append(z[-1] - 1.4 * ratio * 5.0)
        t_s.append(t_s[-1] + 5.0)
    found = sink_shown(planned.air.scene, been(t_s, z))
    assert found is not None
    assert found.value == pytest.approx(1.4, rel=0.01)
    assert sink_shown(planned.air.scene, been(t_s[:3], z[:3])) is None
    assert sink_shown(planned.air.scene, been(t_s[:20], [9000.0] * 20)) is None
