"""Doubts: what the draws vary, out of a sortie and its air."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.air.column import AirColumn
from farglide.power.packs import ends_after_launch_s, runs_for_s
from farglide.rig.doubts import doubts_of, pack_end
from farglide.sim.core.draws import Uncertain
from farglide.sortie.grain import Grain
from farglide.sortie.known import Known
from farglide.sortie.spec import Sortie


def test_one_share_is_told_to_the_last_bit_as_before(sortie: Sortie, column: AirColumn) -> None:
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


def test_age_takes_its_share(sortie: Sortie, column: AirColumn) -> None:
    (simple,) = sortie.packs
    aged = pack_end(sortie, column, replace(simple, ageing_ratio=0.8))
    assert aged.mean == pytest.approx(0.8 * runs_for_s(26.0, 0.65, 7.0) - 900.0 - 180.0)


def test_doubts_are_those_of_the_file(sortie: Sortie, column: AirColumn) -> None:
    found = doubts_of(sortie, column, Grain())
    balloon, drop = sortie.balloon, sortie.drop
    assert found.bursting.mean_m == balloon.burst_diameter_m.value == 6.6
    assert found.bursting.sd_m == pytest.approx(0.396)
    assert found.bursting.fill_diameter_m == pytest.approx(1.64, abs=0.02)  # 2.3 m3
    assert found.climb.common_ratio == sortie.doubt.ascent_ratio == 0.05
    assert sum(found.climb.stay_ratio) == pytest.approx(1.0)
    assert found.climb.stay_ratio[-1] == 0.0  # it bursts at 30 km
    assert (found.reaction_s.mean, found.reaction_s.sd) == (
        drop.reaction_s.value, drop.reaction_s.sd,
    )  # fmt: skip
    assert found.pack_ends_s == (pack_end(sortie, column, sortie.packs[0]),)


def test_the_doubt_about_a_stated_climb_takes_the_place_of_its_drag(
    sortie: Sortie, column: AirColumn
) -> None:
    drag = Known(value=1.0, sd=0.1)
    loose = replace(sortie, balloon=replace(sortie.balloon, drag_factor=drag))
    stated = doubts_of(loose, column, Grain())
    assert (stated.climb.common_ratio, stated.drag_factor.sd) == (0.05, 0.0)
    unstated = replace(loose, doubt=replace(loose.doubt, ascent_ratio=None))
    found = doubts_of(unstated, column, Grain())
    assert (found.climb.common_ratio, found.drag_factor.sd) == (0.0, 0.1)


def test_a_doubt_about_the_neck_lift_is_one_about_the_gas(
    sortie: Sortie, column: AirColumn
) -> None:
    """2.6 kg of gross lift: 0.13 kg of doubt are a twentieth of the gas."""
    neck = replace(sortie.balloon.neck_lift_kg, sd=0.13)
    loose = replace(sortie, balloon=replace(sortie.balloon, neck_lift_kg=neck))
    gas_kg = doubts_of(loose, column, Grain()).gas_kg
    assert gas_kg.sd == pytest.approx(0.05 * gas_kg.mean)


def test_a_flown_share_scales_the_glide_and_its_doubt(sortie: Sortie, column: AirColumn) -> None:
    glider = replace(sortie.glider, glide_factor=Known(value=1.0, sd=0.1), flown_ratio=0.8)
    glide = doubts_of(replace(sortie, glider=glider), column, Grain()).glide_factor
    assert (glide.mean, glide.sd) == pytest.approx((0.8, 0.08))


def test_a_wait_on_the_ground_takes_its_time_of_the_pack(sortie: Sortie, column: AirColumn) -> None:
    (now,) = doubts_of(sortie, column, Grain()).pack_ends_s
    (late,) = doubts_of(sortie, column, Grain(delay_s=600.0)).pack_ends_s
    assert now.mean - late.mean == pytest.approx(600.0)
