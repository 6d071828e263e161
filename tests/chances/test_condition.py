"""Condition: burst, leak, fill and winds as the climb has made them."""

import numpy as np
import pytest

from farglide.chances.advising import advice_of
from farglide.chances.condition import air_now, burst_ahead, fill_now, leak_now
from farglide.chances.informed import Informed
from farglide.outlook.advice import Advice


def test_without_news_the_burst_keeps_its_hour(hour: Informed) -> None:
    fresh, blind = (advice_of(hour, 3600.0, 3600.0 + wait_s) for wait_s in (0.0, 300.0))
    assert blind.burst == fresh.burst
    assert fresh.burst is not None
    spread = fresh.burst.after_launch_s
    assert spread.p10 < spread.p50 < spread.p90
    assert spread.p50 / 60.0 == pytest.approx(82.2, abs=1.0)  # T+82.15 from the strip


def test_what_was_measured_is_told_as_a_share(advice: Advice, hour: Informed) -> None:
    assert 0.0 < advice.air.ahead_ratio < advice.air.measured_ratio < 1.0
    assert advice.air.spread_ratio == float(hour.spread_ratio.max())


def test_a_leak_is_dated_once_it_is_likely_and_a_float_at_once(hour: Informed) -> None:
    sound = leak_now(hour)
    assert sound.chance_ratio < 0.5
    assert (sound.since_after_launch_s, sound.floats_since_after_launch_s) == (None, None)
    assert sound.top_amsl_m.p10 <= sound.top_amsl_m.p50 <= sound.top_amsl_m.p90
    assert leak_now(hour._replace(floats_since_s=3000.0)).floats_since_after_launch_s == 3000.0


def test_the_fill_of_a_climb_as_planned_is_the_one_told(hour: Informed) -> None:
    fill, told = fill_now(hour.ensemble), hour.ensemble.sortie.balloon.neck_lift_kg
    assert (fill.told_kg, fill.told_sd_kg) == (told.value, told.sd)
    assert fill.neck_lift_kg.p10 <= fill.neck_lift_kg.p50 <= fill.neck_lift_kg.p90
    assert fill.neck_lift_kg.p50 == pytest.approx(told.value, abs=0.1)


def test_higher_up_less_is_left_to_measure(hour: Informed) -> None:
    low, high = (air_now(hour, z_m) for z_m in (2000.0, 20_000.0))
    assert low.spread_ratio == high.spread_ratio
    assert low.ahead_ratio > high.ahead_ratio
    assert np.isfinite(burst_ahead(hour.ensemble).amsl_m.p50)
