"""Transmitters along the demo's flight: warmth against balances, and what moves it."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.chances.ensemble import Ensemble
from farglide.constants import STEFAN_BOLTZMANN_WPM2K4
from farglide.flightfile.flightfile import FlightFile
from farglide.plan.faults.heat import case_k, transmitter_heats
from farglide.plan.home.homeward import Homeward, homeward
from farglide.power.convection import _convection_wpm2k
from farglide.rig.profile import FlightProfile, planned_profile
from farglide.sortie.spec import CaseSpec, Sortie

RELEASE_S = 76.0 * 60.0


@pytest.fixture(scope="module")
def sortie(demo_flight: FlightFile) -> Sortie:
    """Return the demo with its links."""
    return demo_flight.sortie


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
    climbed = (plain.climbs.tracks.amsl_m[0, : moment + 1], plain.climbs.tracks.step_s)
    assert flight.timely is not None
    return planned_profile(plain.sortie, plain.air.column, climbed, flight.timely.passage)


@pytest.fixture(scope="module")
def case(sortie: Sortie) -> CaseSpec:
    found = sortie.links[0].case
    assert found is not None
    return found


def with_case(plain: Ensemble, case: CaseSpec) -> Ensemble:
    picture, command = plain.sortie.links
    links = (replace(picture, case=case), command)
    return replace(plain, sortie=replace(plain.sortie, links=links))


def test_on_top_heat_in_and_out_are_nearly_even(
    plain: Ensemble, case: CaseSpec, profile: FlightProfile
) -> None:
    # 36 J/K over about 0.03 W/K: 20 min, so the balance lags a little behind
    k = int(np.argmax(profile.amsl_m))
    warm_k = float(case_k(plain, case, profile)[k])
    layer = int((profile.amsl_m[k] - plain.air.column.layers.base_amsl_m) / 100.0)
    air_k = float(plain.air.column.layers.t_k[layer])
    rho = float(plain.air.column.layers.rho_kgpm3[layer])
    h = _convection_wpm2k((rho, air_k), warm_k, 0.1 * float(profile.speed_mps[k - 1]), 0.0316)
    out_w = case.area_m2 * (
        h * (warm_k - air_k)
        + case.emissivity_ratio * STEFAN_BOLTZMANN_WPM2K4 * (warm_k**4 - air_k**4)
    )
    rise_w = 36.0 * float(np.gradient(case_k(plain, case, profile), 30.0)[k - 1])
    assert out_w + rise_w == pytest.approx(case.heat_w, rel=0.06)


def test_the_demo_is_told(plain: Ensemble, moment: int, flight: Homeward) -> None:
    (heat,) = transmitter_heats(plain, moment, flight)
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
    plain: Ensemble, moment: int, flight: Homeward, case: CaseSpec
) -> None:
    small = replace(case, area_m2=45e-4, limit_k=328.15)
    (heat,) = transmitter_heats(with_case(plain, small), moment, flight)
    before, aloft = heat.over_limit[0], heat.over_limit[-1]
    assert before[0] < 0.0 < before[1] < 1800.0
    assert before[1] < aloft[0] < RELEASE_S
    assert RELEASE_S <= aloft[1] < RELEASE_S + 600.0  # the glide cools it
    assert heat.hottest_k > 328.15


def test_without_a_limit_nothing_is_over_it(
    plain: Ensemble, moment: int, flight: Homeward, case: CaseSpec
) -> None:
    (heat,) = transmitter_heats(with_case(plain, replace(case, limit_k=None)), moment, flight)
    assert (heat.limit_k, heat.over_limit) == (None, ())


def test_without_a_way_home_it_is_told_all_the_same(plain: Ensemble, moment: int) -> None:
    (heat,) = transmitter_heats(plain, moment, None)
    assert heat.at_release_k - 273.15 == pytest.approx(43.0, abs=2.0)


def test_no_case_no_word(plain: Ensemble, moment: int, flight: Homeward) -> None:
    links = tuple(replace(link, case=None) for link in plain.sortie.links)
    other = replace(plain, sortie=replace(plain.sortie, links=links))
    assert transmitter_heats(other, moment, flight) == ()


def test_wind_area_paint_and_heat_move_it_as_they_must(
    plain: Ensemble, case: CaseSpec, profile: FlightProfile
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


def test_sun_counts_while_it_is_up(plain: Ensemble, case: CaseSpec, profile: FlightProfile) -> None:
    sunny = replace(case, sun_w=1.0)
    shade_k, sun_k = (case_k(plain, one, profile) for one in (case, sunny))
    k = int(np.argmax(profile.amsl_m))
    assert sun_k[k] - shade_k[k] > 10.0
    # T+173 min: sunset at the ground; one flown at night takes up nothing
    launch = replace(plain.sortie.launch, t_s=plain.sortie.launch.t_s + 6 * 3600.0)
    night = replace(plain, sortie=replace(plain.sortie, launch=launch))
    np.testing.assert_array_equal(case_k(night, sunny, profile), shade_k)
