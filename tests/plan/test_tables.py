"""Tables: rows by fill and by height against the laws they come from."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.air.standard import pressure_altitude_m
from farglide.chances.case import with_plain
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.constants import STEFAN_BOLTZMANN_WPM2K4
from farglide.earth.sun import dusk_t_s, sunset_t_s
from farglide.flightfile.flightfile import FlightFile
from farglide.glider.polar import GlideAir, steady_glide
from farglide.glider.release import pull_out
from farglide.glider.wing import Polar
from farglide.plan.ascent import ascent_outlook
from farglide.plan.home.homeward import Homeward, homeward
from farglide.plan.tables import (
    case_k,
    fill_outlook,
    glider_rows,
    pack_ends,
    sender_heats,
    sun_outlook,
)
from farglide.power.convection import _convection_wpm2k
from farglide.rig.profile import FlightProfile, planned_profile
from farglide.sortie.gear import HousingSpec
from farglide.sortie.grain import Grain
from farglide.sortie.known import Known
from farglide.sortie.spec import Sortie

RELEASE_S = 76.0 * 60.0


@pytest.fixture(scope="module")
def sortie(demo_flight: FlightFile) -> Sortie:
    return demo_flight.sortie


@pytest.fixture(scope="module")
def ensemble(sortie: Sortie, demo_sounding: Sounding) -> Ensemble:
    asked = Grain(n_draws=60, prices_mps=(8.0,), slab=5)
    return drawn_ensemble(sortie, demo_sounding, asked)


@pytest.fixture(scope="module")
def plain(ensemble: Ensemble, demo_sounding: Sounding) -> Ensemble:
    return with_plain(ensemble).plain


# --- fill ----------------------------------------------------------------------------------------


def test_the_fill_s_own_row_is_the_error_free_climb(plain: Ensemble) -> None:
    found = fill_outlook(plain)
    own = found.rows[1]
    assert own.neck_lift_kg == found.neck_lift_kg == 1.6
    assert own.burst_amsl_m == pytest.approx(float(plain.climbs.burst.amsl_m[0]), abs=0.1)
    assert own.burst_after_launch_s == pytest.approx(
        float(plain.climbs.burst.after_launch_s[0]), abs=0.1
    )
    at_5_min = float(plain.climbs.tracks.amsl_m[0, round(300.0 / plain.climbs.tracks.step_s)])
    assert own.height_at_5_min_amsl_m == pytest.approx(at_5_min, abs=0.1)


def test_volume_and_free_lift_follow_from_the_neck_lift(plain: Ensemble) -> None:
    found = fill_outlook(plain)
    assert found.free_lift_kg == pytest.approx(1.6 - 0.68 - 0.14)
    # displaced air less hydrogen carries balloon and neck lift: V (rho - rho M_H2 / M_air) = 2.6 kg
    layers = plain.air.column.layers
    rho = float(layers.rho_kgpm3[0]) * np.exp((250.0 - 240.0) / 8500.0)
    assert found.volume_m3 == pytest.approx(2.6 / (rho * (1.0 - 2.016 / 28.96)), rel=2e-3)
    # a 50 l bottle at 200 bar holds some 9 m3
    assert found.bottle_ratio == pytest.approx(found.volume_m3 / 9.0, rel=0.12)


def test_more_gas_is_higher_at_five_minutes_and_bursts_lower_and_sooner(plain: Ensemble) -> None:
    rows = fill_outlook(plain).rows
    assert [row.neck_lift_kg for row in rows] == pytest.approx([1.5, 1.6, 1.7])
    for less, more in pairwise(rows):
        assert more.height_at_5_min_amsl_m > less.height_at_5_min_amsl_m + 20.0
        assert more.burst_amsl_m < less.burst_amsl_m - 50.0
        assert more.burst_after_launch_s < less.burst_after_launch_s - 60.0
        assert more.drift_m < less.drift_m - 500.0


def test_a_fill_that_does_not_lift_has_no_row(plain: Ensemble) -> None:
    known = Known(value=plain.sortie.hanging_kg + 0.05)
    weak = replace(plain.sortie, balloon=replace(plain.sortie.balloon, neck_lift_kg=known))
    rows = fill_outlook(replace(plain, sortie=weak)).rows
    assert [row.neck_lift_kg for row in rows] == pytest.approx([known.value, known.value + 0.1])


# --- glider --------------------------------------------------------------------------------------


def drag_at(polar: Polar, eas: float, rho: float, mu: float) -> float:
    """Return drag over weight in level flight: the quadratic polar with its Reynolds number."""
    q = 0.5 * 1.225 * eas**2
    lift = polar.weight_n / (q * polar.area_m2)
    reynolds = rho * eas * np.sqrt(1.225 / rho) * polar.chord_m / mu
    growth = max(polar.reference_reynolds / reynolds, 1.0) ** polar.reynolds_exponent
    return float((polar.zero_lift_drag * growth + polar.induced_drag * lift**2) / lift)


def test_glider_rows_are_the_polar_s(plain: Ensemble) -> None:
    layers, polar = plain.air.column.layers, plain.craft.polar
    rows = glider_rows(plain)
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
        lost = pull_out(
            polar, plain.craft.drop, plain.air.column, row.amsl_m, plain.craft.best_eas_mps
        )
        assert row.pullout_m == lost.level_lost_m
        # a turn at 30 degrees of bank on the same lift coefficient, so faster by 1 / sqrt(cos 30):
        # V^2 cos^2(path) / (g sin 30): less lift to carry, and only the level part of V turns
        path = row.glide_ratio / np.hypot(1.0, row.glide_ratio)
        assert row.turn_radius_m == pytest.approx(tas**2 * path**2 / (9.80665 * 0.5), rel=1e-3)


def test_no_other_speed_glides_flatter(plain: Ensemble) -> None:
    layers = plain.air.column.layers
    for row in glider_rows(plain):
        k = int((row.amsl_m - layers.base_amsl_m) / layers.step_m)
        air = GlideAir(
            float(layers.rho_kgpm3[k]),
            float(layers.viscosity_pas[k]),
            float(layers.tas_per_eas[k]),
            float(layers.slowing_s2pm2[k]),
            float(layers.gravity_mps2[k]) / 9.80665,
        )
        for share in (1.0, 1.02, 1.1, 1.3):
            glide = steady_glide(plain.craft.polar, row.best_eas_mps * share, air)
            assert glide.level_mps / glide.sink_mps <= row.glide_ratio * (1.0 + 1e-6)


def test_the_glider_falls_deeper_and_glides_worse_on_high(plain: Ensemble) -> None:
    for low, high in pairwise(glider_rows(plain)):
        assert high.pullout_m > low.pullout_m
        assert high.sink_mps > low.sink_mps
        assert high.reynolds < low.reynolds
        assert high.mach > low.mach


# --- packs, sun, flight levels -------------------------------------------------------------------


def test_packs_end_without_the_reserve(ensemble: Ensemble) -> None:
    (pack,) = pack_ends(ensemble)
    # 26 Wh x 0.65 / 7 W = 144.9 min, switched on at T-15
    assert pack.after_launch_s.p50 / 60.0 == pytest.approx(129.9, abs=0.1)
    assert pack.after_launch_s.p10 == pack.after_launch_s.p50  # taken as exact
    loose = replace(ensemble.sortie.packs[0], energy_wh=Known(value=26.0, sd=2.6))
    other = replace(ensemble, sortie=replace(ensemble.sortie, packs=(loose,)))
    (wide,) = pack_ends(other)
    # a tenth of 144.9 min, and 1.2816 standard deviations to the 10 % point
    assert (wide.after_launch_s.p90 - wide.after_launch_s.p50) / 60.0 == pytest.approx(
        1.2816 * 14.49, abs=0.02
    )


def test_sun_and_bearing_of_home(ensemble: Ensemble) -> None:
    moment = round(76 * 60.0 / ensemble.climbs.tracks.step_s)
    found, launch = sun_outlook(ensemble, moment, 0), ensemble.sortie.launch
    home = ensemble.sortie.fields[0]
    sunset, dusk = (f(launch.t_s, home.lat_deg, home.lon_deg) for f in (sunset_t_s, dusk_t_s))
    assert sunset is not None
    assert dusk is not None
    assert found.sunset_after_launch_s == sunset - launch.t_s
    assert found.dusk_after_launch_s == dusk - launch.t_s
    assert found.sunset_after_launch_s < found.dusk_after_launch_s
    # late in the afternoon of a southern summer the sun stands in the west
    assert 220.0 < found.azimuth_deg < 300.0
    north = float(np.median(ensemble.climbs.tracks.north_rad[:, moment]))
    east = float(np.median(ensemble.climbs.tracks.east_rad[:, moment])) * np.cos(
        np.radians(launch.lat_deg)
    )
    back = np.degrees(np.arctan2(-east, -north)) % 360.0
    assert found.field_bearing_deg == pytest.approx(back, abs=0.5)


def test_flight_levels_are_passed_where_the_pressure_says(ensemble: Ensemble) -> None:
    layers = ensemble.air.column.layers
    for level in ascent_outlook(ensemble).levels:
        k = [pressure_altitude_m(float(p)) >= level.flight_level * 30.48 for p in layers.p_pa]
        amsl_m = layers.base_amsl_m + layers.step_m * (k.index(True) + 0.5)
        at = level.after_launch_s.p50 / ensemble.climbs.tracks.step_s
        j = int(at)
        heights = np.median(ensemble.climbs.tracks.amsl_m, axis=0)
        here = heights[j] + (at - j) * (heights[j + 1] - heights[j])
        assert here == pytest.approx(amsl_m, abs=150.0)


@pytest.fixture(scope="module")
def moment(plain: Ensemble) -> int:
    return round(RELEASE_S / plain.climbs.tracks.step_s)


@pytest.fixture(scope="module")
def flight(plain: Ensemble, moment: int) -> Homeward:
    found = homeward(plain, moment, 0)
    assert found is not None
    return found


@pytest.fixture(scope="module")
def profile(plain: Ensemble, moment: int, flight: Homeward) -> FlightProfile:
    climbed_m, step_s = plain.climbs.tracks.amsl_m[0, : moment + 1], plain.climbs.tracks.step_s
    assert flight.timely is not None
    glide = flight.timely.passage
    return planned_profile(plain.sortie, plain.air.column, climbed_m, step_s, glide)


@pytest.fixture(scope="module")
def case(sortie: Sortie) -> HousingSpec:
    found = sortie.links[0].case
    assert found is not None
    return found


def with_case(plain: Ensemble, case: HousingSpec) -> Ensemble:
    picture, command = plain.sortie.links
    links = (replace(picture, case=case), command)
    return replace(plain, sortie=replace(plain.sortie, links=links))


def test_on_top_heat_in_and_out_are_nearly_even(
    plain: Ensemble, case: HousingSpec, profile: FlightProfile
) -> None:
    # 36 J/K over about 0.03 W/K: 20 min, so the balance lags a little behind
    k = int(np.argmax(profile.amsl_m))
    warm_k = float(case_k(plain, case, profile)[k])
    layer = int((profile.amsl_m[k] - plain.air.column.layers.base_amsl_m) / 100.0)
    air_k = float(plain.air.column.layers.t_k[layer])
    rho = float(plain.air.column.layers.rho_kgpm3[layer])
    h = _convection_wpm2k(rho, air_k, warm_k, 0.1 * float(profile.speed_mps[k - 1]), 0.0316)
    out_w = case.area_m2 * (
        h * (warm_k - air_k)
        + case.emissivity_ratio * STEFAN_BOLTZMANN_WPM2K4 * (warm_k**4 - air_k**4)
    )
    rise_w = 36.0 * float(np.gradient(case_k(plain, case, profile), 30.0)[k - 1])
    assert out_w + rise_w == pytest.approx(case.heat_w, rel=0.06)


def test_the_demo_is_told(plain: Ensemble, moment: int, flight: Homeward) -> None:
    (heat,) = sender_heats(plain, moment, flight)
    assert heat.link == "picture"
    # invented gear: the wait in still air warms it more than thin but cold air
    assert heat.at_launch_k - 273.15 == pytest.approx(62.0, abs=2.0)
    assert heat.at_release_k - 273.15 == pytest.approx(43.0, abs=2.0)
    assert heat.hottest_k >= heat.at_launch_k > heat.at_release_k
    assert -120.0 <= heat.hottest_after_launch_s <= 0.0
    assert heat.hottest_amsl_m == plain.sortie.launch.amsl_m
    assert heat.limit_k == pytest.approx(358.15)
    assert heat.over_limit == ()


def test_a_small_case_passes_its_limit_twice_and_comes_back(
    plain: Ensemble, moment: int, flight: Homeward, case: HousingSpec
) -> None:
    small = replace(case, area_m2=45e-4, limit_k=328.15)
    (heat,) = sender_heats(with_case(plain, small), moment, flight)
    before, aloft = heat.over_limit[0], heat.over_limit[-1]
    assert before[0] < 0.0 < before[1] < 1800.0
    assert before[1] < aloft[0] < RELEASE_S
    assert RELEASE_S <= aloft[1] < RELEASE_S + 600.0  # the glide cools it
    assert heat.hottest_k > 328.15


def test_without_a_limit_nothing_is_over_it(
    plain: Ensemble, moment: int, flight: Homeward, case: HousingSpec
) -> None:
    (heat,) = sender_heats(with_case(plain, replace(case, limit_k=None)), moment, flight)
    assert (heat.limit_k, heat.over_limit) == (None, ())


def test_without_a_way_home_it_is_told_all_the_same(plain: Ensemble, moment: int) -> None:
    (heat,) = sender_heats(plain, moment, None)
    assert heat.at_release_k - 273.15 == pytest.approx(43.0, abs=2.0)


def test_no_case_no_word(plain: Ensemble, moment: int, flight: Homeward) -> None:
    links = tuple(replace(link, case=None) for link in plain.sortie.links)
    other = replace(plain, sortie=replace(plain.sortie, links=links))
    assert sender_heats(other, moment, flight) == ()


def test_wind_area_paint_and_heat_move_it_as_they_must(
    plain: Ensemble, case: HousingSpec, profile: FlightProfile
) -> None:
    k = int(np.argmax(profile.amsl_m))
    on_top = {
        name: [float(case_k(plain, replace(case, **{name: value}), profile)[k]) for value in values]
        for name, values in {
            "flow_ratio": (0.0, 0.1, 0.5),
            "area_m2": (30e-4, 60e-4, 120e-4),
            "emissivity_ratio": (0.1, 0.5, 0.9),
            "heat_w": (6.0, 4.2, 2.0),
        }.items()
    }
    for name, kelvins in on_top.items():
        assert kelvins == sorted(kelvins, reverse=True), name
        assert kelvins[0] - kelvins[-1] > 20.0, name


def test_sun_counts_while_it_is_up(
    plain: Ensemble, case: HousingSpec, profile: FlightProfile
) -> None:
    sunny = replace(case, sun_w=1.0)
    shade_k, sun_k = (case_k(plain, one, profile) for one in (case, sunny))
    k = int(np.argmax(profile.amsl_m))
    assert sun_k[k] - shade_k[k] > 10.0
    # T+173 min: sunset at the ground; one flown at night takes up nothing
    launch = replace(plain.sortie.launch, t_s=plain.sortie.launch.t_s + 6 * 3600.0)
    night = replace(plain, sortie=replace(plain.sortie, launch=launch))
    np.testing.assert_array_equal(case_k(night, sunny, profile), shade_k)
