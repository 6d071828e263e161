"""Diameter: a burst seen is its own diameter, one let go whole is cut off there."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.chances.ensemble import Ensemble
from farglide.live.rehearse.surprises import Changes
from farglide.review.diameter import diameter_shown, is_early
from farglide.review.parted import Parted, parted
from farglide.review.pooled import Shown

from .made import Made, been, flight

NECK = Shown(1.6, 0.0)


def parts_of(planned: Ensemble, made: Made) -> Parted:
    return parted(made.flown, planned.sortie.launch, planned.air.scene)


@pytest.mark.parametrize("sd", [-2.0, 0.0, 1.5])
def test_a_burst_seen_is_the_diameter_of_that_balloon(
    planned: Ensemble, demo_sounding: Sounding, sd: float
) -> None:
    made = flight(planned, Changes(burst_sd=sd), 0, None)
    found = diameter_shown(planned.sortie, demo_sounding, parts_of(planned, made), NECK)
    known = planned.sortie.balloon.burst_diameter_m
    assert found is not None
    assert not found.at_least
    assert found.value == pytest.approx(known.value + sd * known.sd, rel=0.01)


def test_one_let_go_whole_would_have_burst_wider(
    planned: Ensemble, demo_sounding: Sounding, as_told: Made
) -> None:
    found = diameter_shown(planned.sortie, demo_sounding, parts_of(planned, as_told), NECK)
    assert found is not None
    assert found.at_least
    assert found.value < planned.sortie.balloon.burst_diameter_m.value


def test_more_gas_is_a_wider_balloon(
    planned: Ensemble, demo_sounding: Sounding, as_told: Made
) -> None:
    parts = parts_of(planned, as_told)
    plain = diameter_shown(planned.sortie, demo_sounding, parts, NECK)
    more = diameter_shown(planned.sortie, demo_sounding, parts, Shown(1.9, 0.2))
    assert plain is not None
    assert more is not None
    assert more.value / plain.value == pytest.approx(np.cbrt(2.9 / 2.6), rel=1e-6)
    assert more.sd > plain.sd


def test_a_balloon_that_lost_gas_or_was_not_seen_tells_nothing(
    planned: Ensemble, demo_sounding: Sounding, as_told: Made
) -> None:
    parts = parts_of(planned, as_told)
    for other in (replace(parts, ended="topped"), replace(parts, top_m=None),
                  replace(parts, top_m=60_000.0, carried=been([0.0], [60_000.0]))):  # fmt: skip
        assert diameter_shown(planned.sortie, demo_sounding, other, NECK) is None


def test_early_bursts_are_told_apart() -> None:
    assert is_early(Shown(4.0, 0.1), 6.6)
    assert not is_early(Shown(5.9, 0.1), 6.6)
    assert not is_early(Shown(4.0, 0.1, at_least=True), 6.6)
