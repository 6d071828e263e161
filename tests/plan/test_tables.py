"""Tables: rows by fill and by height against the laws they come from."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from farglide.air.column import Sounding
from farglide.air.standard import pressure_altitude_m
from farglide.chances.stage import Stage, set_stage
from farglide.earth.sun import dusk_t_s, sunset_t_s
from farglide.flightfile.flightfile import FlightFile
from farglide.glider.polar import Air, Polar, steady_glide
from farglide.glider.release import pull_out
from farglide.plan.home.glides import middle_stage
from farglide.plan.rise import ascent_outlook
from farglide.plan.tables import fill_outlook, glider_rows, pack_ends, sun_outlook
from farglide.sortie.grain import Asked
from farglide.sortie.spec import Known, Sortie


@pytest.fixture(scope="module")
def sortie(demo_flight: FlightFile) -> Sortie:
    return demo_flight.sortie


@pytest.fixture(scope="module")
def stage(sortie: Sortie, demo_sounding: Sounding) -> Stage:
    asked = Asked(n_draws=60, prices_mps=(8.0,), slab=5)
    return set_stage(sortie, demo_sounding, asked)


@pytest.fixture(scope="module")
def middle(stage: Stage, demo_sounding: Sounding) -> Stage:
    return middle_stage(stage, demo_sounding)


# --- fill ----------------------------------------------------------------------------------------


def test_the_fill_s_own_row_is_the_error_free_climb(middle: Stage) -> None:
    found = fill_outlook(middle)
    own = found.rows[1]
    assert own.neck_lift_kg == found.neck_lift_kg == 1.6
    assert own.burst_amsl_m == pytest.approx(float(middle.burst.amsl_m[0]), abs=0.1)
    assert own.burst_after_launch_s == pytest.approx(float(middle.burst.after_launch_s[0]), abs=0.1)
    at_5_min = float(middle.tracks.amsl_m[0, round(300.0 / middle.tracks.step_s)])
    assert own.height_at_5_min_amsl_m == pytest.approx(at_5_min, abs=0.1)


def test_volume_and_free_lift_follow_from_the_neck_lift(middle: Stage) -> None:
    found = fill_outlook(middle)
    assert found.free_lift_kg == pytest.approx(1.6 - 0.68 - 0.14)
    # displaced air less hydrogen carries balloon and neck lift: V (rho - rho M_H2 / M_air) = 2.6 kg
    layers = middle.column.layers
    rho = float(layers.rho_kgpm3[0]) * np.exp((250.0 - 240.0) / 8500.0)
    assert found.volume_m3 == pytest.approx(2.6 / (rho * (1.0 - 2.016 / 28.96)), rel=2e-3)
    # a 50 l bottle at 200 bar holds some 9 m3
    assert found.bottle_ratio == pytest.approx(found.volume_m3 / 9.0, rel=0.12)


def test_more_gas_is_higher_at_five_minutes_and_bursts_lower_and_sooner(middle: Stage) -> None:
    rows = fill_outlook(middle).rows
    assert [row.neck_lift_kg for row in rows] == pytest.approx([1.5, 1.6, 1.7])
    for less, more in pairwise(rows):
        assert more.height_at_5_min_amsl_m > less.height_at_5_min_amsl_m + 20.0
        assert more.burst_amsl_m < less.burst_amsl_m - 50.0
        assert more.burst_after_launch_s < less.burst_after_launch_s - 60.0
        assert more.drift_m < less.drift_m - 500.0


def test_a_fill_that_does_not_lift_has_no_row(middle: Stage) -> None:
    known = Known(value=middle.sortie.hanging_kg + 0.05)
    weak = replace(middle.sortie, balloon=replace(middle.sortie.balloon, neck_lift_kg=known))
    rows = fill_outlook(replace(middle, sortie=weak)).rows
    assert [row.neck_lift_kg for row in rows] == pytest.approx([known.value, known.value + 0.1])


# --- glider --------------------------------------------------------------------------------------


def drag_at(polar: Polar, eas: float, rho: float, mu: float) -> float:
    """Return drag over weight in level flight: the quadratic polar with its Reynolds number."""
    q = 0.5 * 1.225 * eas**2
    lift = polar.weight_n / (q * polar.area_m2)
    reynolds = rho * eas * np.sqrt(1.225 / rho) * polar.chord_m / mu
    growth = max(polar.reference_reynolds / reynolds, 1.0) ** polar.reynolds_exponent
    return float((polar.zero_lift_drag * growth + polar.induced_drag * lift**2) / lift)


def test_glider_rows_are_the_polar_s(middle: Stage) -> None:
    layers, polar = middle.column.layers, middle.polar
    rows = glider_rows(middle)
    assert [row.amsl_m for row in rows] == [5e3, 1e4, 1.5e4, 2e4, 2.5e4, 3e4]
    for row in rows:
        k = int((row.amsl_m - layers.base_amsl_m) / layers.step_m)
        rho, mu, ratio = (
            float(layers.rho_kgpm3[k]),
            float(layers.viscosity_pas[k]),
            float(layers.tas_per_eas[k]),
        )
        stall_eas = np.sqrt(2.0 * polar.weight_n / (1.225 * polar.area_m2 * polar.lift_max))
        assert row.stall_tas_mps == pytest.approx(stall_eas * ratio, rel=1e-12)
        assert row.best_tas_mps == pytest.approx(row.best_eas_mps * ratio)
        assert row.mach == pytest.approx(row.best_tas_mps / float(layers.sound_mps[k]))
        assert row.reynolds == pytest.approx(rho * row.best_tas_mps * polar.chord_m / mu, rel=1e-9)
        assert row.top_tas_mps <= 32.0 * ratio + 1e-9
        assert row.top_tas_mps <= 0.55 * float(layers.sound_mps[k]) + 1e-9
        slowing = float(layers.slowing_s2pm2[k]) * row.best_eas_mps**2
        glide_ratio = (1.0 + slowing) / drag_at(polar, row.best_eas_mps, rho, mu)
        # the steeper the path, the less lift it takes and the more gravity shrinks: some 1 %
        assert row.glide_ratio == pytest.approx(glide_ratio, rel=0.02)
        tas = row.best_tas_mps
        assert row.sink_mps == pytest.approx(tas / np.hypot(1.0, row.glide_ratio), rel=1e-9)
        lost = pull_out(polar, middle.drop, middle.column, row.amsl_m, middle.best_eas_mps)
        assert row.pullout_m == lost.level_lost_m
        # a turn at 30 degrees of bank on the same lift coefficient, so faster by 1 / sqrt(cos 30):
        # V^2 cos^2(path) / (g sin 30): less lift to carry, and only the level part of V turns
        path = row.glide_ratio / np.hypot(1.0, row.glide_ratio)
        assert row.turn_radius_m == pytest.approx(tas**2 * path**2 / (9.80665 * 0.5), rel=1e-3)


def test_no_other_speed_glides_flatter(middle: Stage) -> None:
    layers = middle.column.layers
    for row in glider_rows(middle):
        k = int((row.amsl_m - layers.base_amsl_m) / layers.step_m)
        air = Air(
            float(layers.rho_kgpm3[k]),
            float(layers.viscosity_pas[k]),
            float(layers.tas_per_eas[k]),
            float(layers.slowing_s2pm2[k]),
            float(layers.gravity_mps2[k]) / 9.80665,
        )
        for share in (1.0, 1.02, 1.1, 1.3):
            glide = steady_glide(middle.polar, row.best_eas_mps * share, air)
            assert glide.level_mps / glide.sink_mps <= row.glide_ratio * (1.0 + 1e-6)


def test_the_glider_falls_deeper_and_glides_worse_on_high(middle: Stage) -> None:
    for low, high in pairwise(glider_rows(middle)):
        assert high.pullout_m > low.pullout_m
        assert high.sink_mps > low.sink_mps
        assert high.reynolds < low.reynolds
        assert high.mach > low.mach


# --- packs, sun, flight levels -------------------------------------------------------------------


def test_packs_end_without_the_reserve(stage: Stage) -> None:
    (pack,) = pack_ends(stage)
    # 26 Wh x 0.65 / 7 W = 144.9 min, switched on at T-15
    assert pack.after_launch_s.p50 / 60.0 == pytest.approx(129.9, abs=0.1)
    assert pack.after_launch_s.p10 == pack.after_launch_s.p50  # taken as exact
    loose = replace(stage.sortie.packs[0], energy_wh=Known(value=26.0, sd=2.6))
    other = replace(stage, sortie=replace(stage.sortie, packs=(loose,)))
    (wide,) = pack_ends(other)
    # a tenth of 144.9 min, and 1.2816 standard deviations to the 10 % point
    assert (wide.after_launch_s.p90 - wide.after_launch_s.p50) / 60.0 == pytest.approx(
        1.2816 * 14.49, abs=0.02
    )


def test_sun_and_bearing_of_home(stage: Stage) -> None:
    moment = round(76 * 60.0 / stage.tracks.step_s)
    found, launch = sun_outlook(stage, moment, 0), stage.sortie.launch
    home = stage.sortie.fields[0]
    sunset, dusk = (f(launch.t_s, home.lat_deg, home.lon_deg) for f in (sunset_t_s, dusk_t_s))
    assert sunset is not None
    assert dusk is not None
    assert found.sunset_after_launch_s == sunset - launch.t_s
    assert found.dusk_after_launch_s == dusk - launch.t_s
    assert found.sunset_after_launch_s < found.dusk_after_launch_s
    # late in the afternoon of a southern summer the sun stands in the west
    assert 220.0 < found.azimuth_deg < 300.0
    north = float(np.median(stage.tracks.north_rad[:, moment]))
    east = float(np.median(stage.tracks.east_rad[:, moment])) * np.cos(np.radians(launch.lat_deg))
    back = np.degrees(np.arctan2(-east, -north)) % 360.0
    assert found.field_bearing_deg == pytest.approx(back, abs=0.5)


def test_flight_levels_are_passed_where_the_pressure_says(stage: Stage) -> None:
    layers = stage.column.layers
    for level in ascent_outlook(stage).levels:
        k = [pressure_altitude_m(float(p)) >= level.flight_level * 30.48 for p in layers.p_pa]
        amsl_m = layers.base_amsl_m + layers.step_m * (k.index(True) + 0.5)
        at = level.after_launch_s.p50 / stage.tracks.step_s
        j = int(at)
        heights = np.median(stage.tracks.amsl_m, axis=0)
        here = heights[j] + (at - j) * (heights[j + 1] - heights[j])
        assert here == pytest.approx(amsl_m, abs=150.0)
