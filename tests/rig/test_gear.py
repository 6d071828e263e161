"""Gear: what the kernels read of a sortie, against sums done by hand."""

import math
from dataclasses import replace

import numpy as np
import pytest

from farglide.air.column import AirColumn
from farglide.air.sounding import Sounding
from farglide.errors import FarglideError
from farglide.rig.gear import (
    advised_limits,
    best_glide_eas_mps,
    bursting_of,
    column_of,
    craft_of,
    envelope_of,
    goals_of,
    launch_fill,
    light_end_s,
)
from farglide.sim.reach.drawnglider import Limits
from farglide.sortie.grain import Grain
from farglide.sortie.known import Known, Tag
from farglide.sortie.spec import Sortie


def test_the_column_begins_under_the_lowest_place(sortie: Sortie, demo_sounding: Sounding) -> None:
    pit = replace(sortie.fields[1], amsl_m=-120.0)
    deep = column_of(replace(sortie, fields=(pit,)), demo_sounding, Grain())
    assert deep.layers.base_amsl_m <= -120.0
    assert column_of(sortie, demo_sounding, Grain()).layers.base_amsl_m <= 240.0


def test_without_slowing_the_air_takes_no_energy(
    sortie: Sortie, demo_sounding: Sounding, column: AirColumn
) -> None:
    low = column_of(sortie, demo_sounding, Grain(slowing=False))
    assert column.layers.slowing_s2pm2.any()
    assert not low.layers.slowing_s2pm2.any()
    assert np.array_equal(low.layers.rho_kgpm3, column.layers.rho_kgpm3)


def test_the_fill_carries_neck_lift_and_balloon(sortie: Sortie, column: AirColumn) -> None:
    """Hydrogen weighs 2.016 of the air's 28.96 g/mol: 14.37 kg of air for each kg of gas."""
    fill = launch_fill(sortie, column)
    gas_kg = (1.6 + 1.0) / (28.9647 / 2.01588 - 1.0)
    assert fill.gas_kg == pytest.approx(gas_kg, rel=2e-3)
    envelope = envelope_of(sortie, fill)
    assert envelope.gas_kg == fill.gas_kg
    assert envelope.gas_per_air_constant == pytest.approx(28.9647 / 2.01588, rel=1e-3)
    assert envelope.burst_diameter_m == 6.6
    assert envelope.slack_diameter_m <= 100.0


def test_a_balloon_let_go_low_tells_little_of_early_bursts(
    sortie: Sortie, column: AirColumn
) -> None:
    """Seen whole halfway from the fill (1.65 m) to 0.9 of 6.6 m, a flight counts half."""
    fill = launch_fill(sortie, column)
    guessed = replace(sortie.balloon, early_burst_ratio=Known(value=0.03), n_flights=20)
    half = (bursting_of(sortie, fill).fill_diameter_m / 6.6 + 0.9) / 2.0
    for seen, counted in ((0.9, 20.0), (half, 10.0), (0.1, 0.0)):
        told = replace(sortie, balloon=replace(guessed, seen_to_ratio=seen))
        law = bursting_of(told, fill)
        assert law.early_ratio == pytest.approx(0.9 / (30.0 + counted))
        assert (law.mean_m, law.sd_m) == (6.6, pytest.approx(0.396))


def test_the_glider_is_as_written(sortie: Sortie) -> None:
    polar, limits, drop = craft_of(sortie, Grain())
    assert limits.top_eas_mps == sortie.glider.top_eas_mps == 32.0
    assert drop.level_angle_rad == pytest.approx(math.radians(sortie.drop.level_angle_deg))
    best_mps = best_glide_eas_mps(polar, limits)
    stall_mps = math.sqrt(2.0 * 0.68 * 9.80665 / (1.225 * 0.15 * 0.85))
    assert stall_mps == pytest.approx(9.2, abs=0.1)  # as farglide check tells it
    assert stall_mps < best_mps < limits.top_eas_mps


def test_the_light_ends_at_civil_dusk(sortie: Sortie) -> None:
    """Sunset at T+173 min, dusk half an hour later; at midnight it is dark already."""
    assert 195.0 < light_end_s(sortie) / 60.0 < 215.0
    night = replace(sortie, launch=replace(sortie.launch, t_s=sortie.launch.t_s + 6 * 3600.0))
    assert light_end_s(night) == 0.0
    launch = replace(sortie.launch, lat_deg=-80.0)
    assert light_end_s(replace(sortie, launch=launch, fields=())) == math.inf  # midnight sun


def test_goals_are_offsets_from_the_launch(sortie: Sortie) -> None:
    goals = goals_of(sortie, sortie.fields)
    assert (goals.north_rad[0], goals.east_rad[0]) == pytest.approx((0.0, 0.0), abs=1e-9)
    tansy = sortie.fields[1]
    assert goals.north_rad[1] == pytest.approx(math.radians(tansy.lat_deg + 46.5))
    assert goals.arrival_amsl_m == pytest.approx(
        [field.amsl_m + sortie.wish.arrival_agl_m for field in sortie.fields]
    )
    assert len(goals_of(sortie, ()).north_rad) == 0
    with pytest.raises(FarglideError, match="Tansy Lea"):
        goals_of(sortie, (tansy, tansy))


def test_no_advised_speed_uses_the_margin_below_the_limits(sortie: Sortie) -> None:
    _, limits, _ = craft_of(sortie, Grain(held_eas_mps=14.0))
    told = advised_limits(sortie, limits)
    assert told == pytest.approx(Limits(0.95 * 32.0, 0.95 * 0.55, 14.0))  # 5 % where none is stated
    bold = replace(sortie, glider=replace(sortie.glider, speed_margin_ratio=0.0))
    assert advised_limits(bold, limits) == limits


def test_a_margin_leaves_the_best_glide_and_a_stand_in_for_the_top_speed(sortie: Sortie) -> None:
    polar, limits, _ = craft_of(sortie, Grain())
    best_mps = best_glide_eas_mps(polar, limits)
    wide = replace(sortie, glider=replace(sortie.glider, speed_margin_ratio=0.5))
    slow = limits._replace(top_eas_mps=best_mps + 0.1)
    assert advised_limits(wide, slow).top_eas_mps == pytest.approx(best_mps)
    guessed = replace(sortie, tags={**sortie.tags, "glider.top_eas_mps": Tag.GUESS})
    assert advised_limits(guessed, slow).top_eas_mps == slow.top_eas_mps
