"""Profiles: the reference flight against the climb and the glide it is made of."""

import numpy as np
import pytest

from farglide.air.column import AirColumn
from farglide.air.sounding import Sounding
from farglide.chances.case import with_plain
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.plan.home.homeward import homeward
from farglide.rig.profile import (
    FlightProfile,
    around_of,
    first_on_s,
    planned_profile,
    reference_profile,
)
from farglide.sim.fly.over import Turn
from farglide.sim.fly.stay import Flyer, stay_over
from farglide.sim.reach.drawnglider import DrawnGlider
from farglide.sim.reach.reach import Descent
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Sortie


@pytest.fixture(scope="module")
def plain(sortie: Sortie, demo_sounding: Sounding) -> Ensemble:
    asked = Grain(n_draws=50, prices_mps=(8.0,), slab=5)
    return with_plain(drawn_ensemble(sortie, demo_sounding, asked)).plain


@pytest.fixture(scope="module")
def profile(sortie: Sortie, column: AirColumn) -> FlightProfile:
    return reference_profile(sortie, column, -900.0)


def test_it_waits_climbs_to_the_burst_and_comes_down(
    profile: FlightProfile, sortie: Sortie, plain: Ensemble
) -> None:
    t, z, v = profile
    assert t[0] == -900.0
    assert np.ptp(np.diff(t)) == 0.0
    assert (z[t < 0.0] == sortie.launch.amsl_m).all()
    assert (v[t < 0.0] == 0.0).all()
    burst_s, burst_m = plain.climbs.burst.after_launch_s[0], plain.climbs.burst.amsl_m[0]
    assert z.max() == pytest.approx(burst_m, abs=250.0)  # at most 30 s below it
    assert t[np.argmax(z)] == pytest.approx(burst_s, abs=30.0)
    k = round(1800.0 / plain.climbs.tracks.step_s)
    assert np.interp(1800.0, t, z) == pytest.approx(plain.climbs.tracks.amsl_m[0, k], abs=1.0)
    assert (z[-200:] == sortie.launch.amsl_m).all()
    assert (v[-200:] == 0.0).all()


def test_the_way_down_lasts_as_long_as_gentle_circles_in_still_air(
    profile: FlightProfile, plain: Ensemble
) -> None:
    t, z, _ = profile
    top, low = float(z.max()), float(z[-1])
    craft = DrawnGlider(plain.craft.polar, plain.craft.limits, float(plain.draws.glide_factor[0]))
    scene, still = plain.air.scene, np.zeros_like(plain.air.scene.layers.u_mps)
    calm = scene._replace(layers=scene.layers._replace(u_mps=still, v_mps=still))
    flyer = Flyer(craft, plain.reach.reaches.speeds)
    wanted_s = stay_over(calm, flyer, Descent(top, low), Turn()).seconds
    landed_s = t[np.argmax((t > t[np.argmax(z)]) & (z <= low))]
    # there the speed is the best of each layer, here one equivalent airspeed
    assert landed_s - t[np.argmax(z)] == pytest.approx(wanted_s, rel=0.04)


def test_airspeeds_are_those_of_balloon_and_glider(profile: FlightProfile, plain: Ensemble) -> None:
    t, z, v = profile
    rising = (t > 300.0) & (t < 4500.0)
    assert 4.0 < v[rising].min() < v[rising].max() < 10.0
    gliding = (t > t[np.argmax(z)] + 60.0) & (z > 1000.0)
    ratio = np.sqrt(
        1.225 / around_of(plain.air.column, profile, np.zeros(len(t)), 1.0).rho_kgpm3[0]
    )
    np.testing.assert_allclose(v[gliding], plain.craft.best_eas_mps * ratio[gliding], rtol=0.02)


def test_the_air_around_is_that_of_the_column(profile: FlightProfile, column: AirColumn) -> None:
    heat_w = np.linspace(1.0, 2.0, len(profile.amsl_m))
    around = around_of(column, profile, heat_w, 0.2)
    k = int(np.argmin(np.abs(profile.amsl_m - 11_050.0)))
    layer = int((profile.amsl_m[k] - column.layers.base_amsl_m) / column.layers.step_m)
    assert around.step_s == 30.0
    assert around.air_k[0, k] == pytest.approx(column.layers.t_k[layer], abs=0.4)
    assert around.rho_kgpm3[0, k] == pytest.approx(column.layers.rho_kgpm3[layer], rel=0.01)
    np.testing.assert_allclose(around.speed_mps[0], 0.2 * profile.speed_mps)
    np.testing.assert_array_equal(around.sky_k, around.air_k)
    np.testing.assert_array_equal(around.heat_w[0], heat_w)


def test_the_planned_flight_passes_release_and_field(sortie: Sortie, plain: Ensemble) -> None:
    moment = round(76.0 * 60.0 / plain.climbs.tracks.step_s)
    flight = homeward(plain, moment, 0)
    assert flight is not None
    climbed_m, step_s = plain.climbs.tracks.amsl_m[0, : moment + 1], plain.climbs.tracks.step_s
    t, z, v = planned_profile(sortie, plain.air.column, climbed_m, step_s, flight.quickest)
    assert t[0] == first_on_s(sortie) == -900.0
    assert z.max() == pytest.approx(float(climbed_m[-1]), abs=1.0)
    end_s, end_m = float(flight.quickest.after_s[-1]), float(flight.quickest.amsl_m[-1])
    assert np.interp(end_s, t, z) == pytest.approx(end_m, abs=40.0)
    assert z[-1] < end_m
    assert v.max() > 60.0
    down = planned_profile(sortie, plain.air.column, climbed_m, step_s, None)
    assert down.amsl_m.max() == pytest.approx(z.max())
    assert down.after_launch_s[-1] > t[-1]  # nobody hurries
