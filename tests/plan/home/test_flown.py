"""Flown: the whole flights of all draws, summed up for a reader, against what the reach says."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.air.column import Sounding
from farglide.chances.chances import chances_of_climb
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.compute import on_threads
from farglide.flightfile.flightfile import FlightFile
from farglide.plan.home.flown import flown_outlook
from farglide.sim.fly.glide import Craft, Turn
from farglide.sim.fly.passage import descent_s
from farglide.sim.reach.reach import Descent
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Known, Sortie

HOME_S, SHORT_S = 75 * 60.0, 45 * 60.0
ASKED = Grain(n_draws=300, clock_s=60.0, prices_mps=(8.0, 30.0, 1000.0), slab=5)


@pytest.fixture(scope="module")
def sortie(demo_flight: FlightFile) -> Sortie:
    return demo_flight.sortie


@pytest.fixture(scope="module")
def ensemble(sortie: Sortie, demo_sounding: Sounding) -> Ensemble:
    return drawn_ensemble(sortie, demo_sounding, ASKED)


def test_most_of_those_with_home_in_reach_come_home(ensemble: Ensemble) -> None:
    """Steered straight and in ignorance of the wind it does a little worse than the reach allows.

    Those that burst before are released lower or higher than the order, mostly still in reach.
    """
    found = flown_outlook(ensemble, 0, HOME_S)
    assert found is not None
    reach = float(chances_of_climb(ensemble, np.array([75])).reach_ratio[0, 0])
    assert reach - 0.12 < found.over_field_ratio < reach + 0.02
    assert found.release_after_launch_s == HOME_S
    bursts = float((ensemble.climbs.burst.after_launch_s < HOME_S).mean())
    assert found.burst_before_ratio == pytest.approx(bursts, abs=0.004)


def test_over_home_it_has_less_than_the_best_way_keeps(ensemble: Ensemble) -> None:
    found = flown_outlook(ensemble, 0, HOME_S)
    assert found is not None
    over = found.over_field_amsl_m
    assert 540.0 < over.p10 < over.p50 < over.p90 < 24_000.0
    # the best way keeps 15.9 km from T+76 by an independent script; steered straight it is less
    assert 11_000.0 < over.p50 < 16_500.0
    down = found.down_after_launch_s
    assert down.p10 < down.p50 < down.p90
    # over home at about T+102, as the most spare way is, and down from there in gentle circles, or
    # faster than in these where the wind must be faced
    load = 1.0 / np.cos(np.radians(ensemble.sortie.glider.gentle_bank_deg))
    turn = Turn(ensemble.craft.best_eas_mps * float(np.sqrt(load)), float(load))
    craft = Craft(ensemble.craft.polar, ensemble.craft.limits, 1.0)
    circling_s = descent_s(ensemble.air.scene, craft, Descent(over.p50, 240.0), turn)
    assert 0.7 * circling_s < down.p50 - 102.0 * 60.0 < circling_s
    assert 0.1 < found.peak_mach < 1.0


def test_those_that_miss_come_down_beyond(ensemble: Ensemble) -> None:
    found = flown_outlook(ensemble, 0, SHORT_S)
    assert found is not None
    assert found.over_field_ratio < 0.1
    assert found.burst_before_ratio == 0.0
    assert found.missed_lat_deg is not None
    assert found.missed_lon_deg is not None
    # blown off to the south-east, where the drift goes
    launch = ensemble.sortie.launch
    assert found.missed_lat_deg < launch.lat_deg
    assert found.missed_lon_deg > launch.lon_deg


def test_a_near_field_is_never_missed(sortie: Sortie, demo_sounding: Sounding) -> None:
    exact = replace(
        sortie,
        doubt=replace(sortie.doubt, wind_mps=0.0, wind_ratio=0.0, ascent_ratio=0.0),
        balloon=replace(
            sortie.balloon,
            burst_diameter_m=replace(sortie.balloon.burst_diameter_m, sd=0.0),
        ),
        glider=replace(sortie.glider, glide_factor=Known(value=1.0)),
    )
    ensemble = drawn_ensemble(exact, demo_sounding, replace(ASKED, n_draws=50))
    found = flown_outlook(ensemble, 3, HOME_S)
    assert found is not None
    assert found.over_field_ratio == 1.0
    assert (found.missed_lat_deg, found.missed_lon_deg) == (None, None)
    assert found.over_field_amsl_m.p10 == pytest.approx(found.over_field_amsl_m.p90, rel=1e-3)


def test_a_crew_that_knows_its_glider_comes_home_as_often_however_it_says_so(
    sortie: Sortie, demo_sounding: Sounding
) -> None:
    """A glide factor of 0.85 and a flown ratio of 0.85 are the same glider and the same crew."""
    factor = sortie.glider.glide_factor
    worse = replace(factor, value=0.85, sd=0.085)
    one = replace(sortie, glider=replace(sortie.glider, glide_factor=worse))
    other = replace(sortie, glider=replace(sortie.glider, flown_ratio=0.85))
    both = (drawn_ensemble(s, demo_sounding, ASKED) for s in (one, other))
    first, second = (flown_outlook(ensemble, 0, HOME_S) for ensemble in both)
    assert first is not None
    assert second is not None
    assert first.over_field_ratio == second.over_field_ratio
    assert first.over_field_amsl_m.p50 == pytest.approx(second.over_field_amsl_m.p50, rel=1e-9)


def test_threads_change_nothing(ensemble: Ensemble) -> None:
    assert flown_outlook(ensemble, 0, HOME_S) == flown_outlook(
        replace(ensemble, workers=on_threads(2)), 0, HOME_S
    )


def test_a_leaking_balloon_is_not_flown(ensemble: Ensemble) -> None:
    envelope = ensemble.climbs.balloon.envelope._replace(leak_ratio_ps=1e-5)
    balloon = ensemble.climbs.balloon._replace(envelope=envelope)
    leaking = replace(ensemble, climbs=replace(ensemble.climbs, balloon=balloon))
    assert flown_outlook(leaking, 0, HOME_S) is None
