"""What follows from a glider's few numbers: stall, flattest glide, drag of one glide, Mach."""

import math

import numpy as np
import pytest

from farglide.flightfile.reading.keys import Numbers, Stated
from farglide.flightfile.wing import (
    critical_mach,
    drag_of_glide,
    flattest_eas_mps,
    flattest_ratio,
    induced_drag_factor,
    level_stall_eas_mps,
    stall_of,
)
from farglide.glider.polar import GlideAir, speed_to_fly, steady_glide
from farglide.glider.wing import Wing, polar_of
from farglide.sortie.known import Tag

WING = {
    "mass_kg": 0.68, "area_m2": 0.15, "chord_m": 0.17, "aspect_ratio": 5.2, "lift_max": 0.85,
    "span_efficiency_ratio": 0.78, "zero_lift_drag": 0.034, "reference_reynolds": 2e5,
    "reynolds_exponent": 0.4,
}  # fmt: skip


def numbers(**other: float) -> Numbers:
    values = WING | other
    return {k: Stated(value=v, sd=0.0, tag=Tag.MEASURED, given=True) for k, v in values.items()}


def test_the_flattest_glide_is_that_of_the_law_of_gliding() -> None:
    # the law itself, near sea level in standard air (ISO 2533: 1.225 kg/m3, 1.7894e-5 Pa s)
    wing = Wing(0.68, 0.15, 0.17, 5.2, 0.78, 0.034, 2e5, 0.4, 0.85)
    air = GlideAir(1.225, 1.7894e-5, 1.0)
    eas_mps = speed_to_fly(polar_of(wing), air, 30.0)
    glide = steady_glide(polar_of(wing), eas_mps, air)
    assert flattest_eas_mps(numbers()) == pytest.approx(eas_mps, rel=0.02)
    assert flattest_ratio(numbers()) == pytest.approx(glide.level_mps / glide.sink_mps, rel=0.02)


@pytest.mark.parametrize("drag", [0.01, 0.034, 0.1])
def test_the_drag_of_a_glide_gives_that_glide_back(drag: float) -> None:
    ratio = flattest_ratio(numbers(zero_lift_drag=drag))
    assert drag_of_glide(numbers(), ratio) == pytest.approx(drag, rel=1e-9)


def test_a_glide_that_no_drag_gives_ends_at_the_range() -> None:
    assert drag_of_glide(numbers(), 60.0) == pytest.approx(0.004)
    assert drag_of_glide(numbers(), 1.1) == pytest.approx(0.3)


def test_mach_falls_with_the_lift_that_a_wing_is_flown_at() -> None:
    # Korn's relation and Lock's rule by hand: 0.87 - 0.10 - 0.1 x 0.8 x lift - (0.1 / 80)^(1/3)
    lifts = np.array([0.3, 0.85, 2.0])
    by_hand = 0.77 - 0.08 * lifts - 0.10772
    assert [critical_mach(lift) for lift in lifts] == pytest.approx(by_hand.tolist(), abs=1e-5)


def test_stall_and_induced_drag_by_hand() -> None:
    by_hand = math.sqrt(2.0 * 0.68 * 9.80665 / (1.225 * 0.15 * 0.85))
    assert level_stall_eas_mps(0.68, 0.15, 0.85) == pytest.approx(by_hand)
    assert stall_of(numbers()) == pytest.approx(by_hand)
    assert induced_drag_factor(5.2, 0.78) == pytest.approx(1.0 / (math.pi * 4.056))
