"""What may come down by itself: as many stories as were measured, each draw at its own sink."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.chances.ensemble import Ensemble
from farglide.chances.falls import (
    HANDS_OFF,
    SPIN,
    SPIRAL,
    falls_of,
    freed_fall,
    glider_falls,
    tangled,
)
from farglide.sortie.known import Known


def test_the_glider_comes_down_as_it_was_measured(ensemble: Ensemble) -> None:
    assert [one.what for one in glider_falls(ensemble)] == [HANDS_OFF, SPIRAL, SPIN]
    known = Known(value=1.5, sd=0.3)
    glider = replace(
        ensemble.sortie.glider,
        hands_off_sink_eas_mps=known, spiral_sink_eas_mps=None, spin_sink_eas_mps=None,
    )  # fmt: skip
    measured = replace(ensemble, sortie=replace(ensemble.sortie, glider=glider))
    (fall,) = glider_falls(measured)
    assert np.median(fall.sinks.eas_mps) == pytest.approx(1.5, rel=0.1)
    assert fall.share == pytest.approx(np.exp(0.2 * ensemble.draws.story_normal[:, 0]))


def test_the_freed_balloon_falls_slower_than_all_together(ensemble: Ensemble) -> None:
    """Drag as much, mass less by the glider's: as the root of the masses."""
    sortie = ensemble.sortie
    less_kg = sortie.balloon.mass_kg + sortie.train.line_kg
    all_kg = sortie.balloon.mass_kg + sortie.hanging_kg
    ratio = freed_fall(ensemble).sinks.eas_mps / tangled(ensemble).sinks.eas_mps
    assert ratio == pytest.approx(np.sqrt(less_kg / all_kg))


def test_what_nobody_steers_is_down_at_home(ensemble: Ensemble) -> None:
    starts = np.zeros((50, 4))
    falls = falls_of(ensemble, tangled(ensemble), starts)
    assert falls.to_amsl_m == ensemble.sortie.fields[0].amsl_m
