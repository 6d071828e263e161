"""Afterwards: where a glider is that hangs on no whole balloon, now and if it is let alone."""

from dataclasses import replace

import numpy as np
import pytest
from tests.chances.bare import low_of

from farglide import fall
from farglide.air.sounding import Sounding
from farglide.chances.after.afterwards import (
    TIED_S,
    Loosened,
    idle_states,
    in_circuit,
    sinks_alone,
    states_now,
    tied_sinks,
)
from farglide.chances.case import Case
from farglide.chances.ensemble import Ensemble, plain_ensemble
from farglide.chances.falls import tangled
from farglide.chances.onward import Seen
from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.after import Stage
from farglide.sim.core.states import CLIMBING, FALLING, GLIDING
from farglide.sortie.grain import Grain
from farglide.sortie.known import Known

BURST_S = 78.3 * 60.0


@pytest.fixture(scope="module")
def plain(demo_flight: FlightFile, demo_sounding: Sounding) -> Ensemble:
    return plain_ensemble(low_of(demo_flight.sortie), demo_sounding, Grain(slowing=False))


@pytest.fixture(scope="module")
def drawn(demo_case: Case) -> Ensemble:
    return demo_case.drawn


def seen_at(ensemble: Ensemble, t_s: float) -> Seen:
    """Return where the middle draw is at a moment of its climb."""
    tracks = ensemble.climbs.tracks
    known = np.flatnonzero(np.isfinite(tracks.amsl_m).any(axis=0))
    rows = (np.nanmedian(one[:, known], axis=0) for one in tracks.places)
    return Seen(t_s, *(float(np.interp(t_s, tracks.step_s * known, one)) for one in rows))


def with_area(ensemble: Ensemble, area_m2: float) -> Ensemble:
    """Return an ensemble whose remains fall as 1.57 kg do on a drag area."""
    sortie = ensemble.sortie
    mass_kg = sortie.balloon.mass_kg + sortie.hanging_kg
    area = Known(value=area_m2 * mass_kg / 1.57)
    train = replace(sortie.train, remains_drag_area_m2=area)
    return replace(ensemble, sortie=replace(ensemble.sortie, train=train))


def test_the_heights_of_a_tied_on_fall_are_the_independent_ones(
    plain: Ensemble, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Independent, heights to 2 %: 23.9 km after 60 s, 16.3 km after 240 s on 0.2 m2.
    monkeypatch.setattr(fall, "THIN_EXPONENT", 0.0)
    ensemble = with_area(plain, 0.2)
    at = seen_at(ensemble, BURST_S)
    loosened = Loosened(Stage.TIED_ON, at, at)
    states = idle_states(ensemble, loosened, states_now(ensemble, loosened, BURST_S))
    high_m = np.interp([60.0, 240.0], TIED_S, states.amsl_m[0])
    assert high_m == pytest.approx([23_900.0, 16_300.0], rel=0.02)
    assert (states.kind == FALLING).all()


def test_a_fall_that_is_seen_goes_on_as_fast_as_it_was_seen(drawn: Ensemble) -> None:
    left, at = seen_at(drawn, 4500.0), seen_at(drawn, 4560.0)
    at = at._replace(after_launch_s=4600.0)
    loosened = Loosened(Stage.TIED_ON, left, at, sink_mps=30.0)
    states = idle_states(drawn, loosened, states_now(drawn, loosened, 4600.0))
    fallen_m = states.amsl_m[:, 0] - states.amsl_m[:, TIED_S.index(15.0)]
    assert np.median(fallen_m) / 15.0 == pytest.approx(30.0, rel=0.03)
    unseen = tied_sinks(drawn, loosened._replace(sink_mps=None))
    assert np.array_equal(unseen.eas_mps, tangled(drawn).sinks.eas_mps)


def test_what_just_dropped_is_released_where_it_left(drawn: Ensemble) -> None:
    left, at = seen_at(drawn, 4500.0), seen_at(drawn, 4510.0)
    loosened = Loosened(Stage.DROPPED, left, at)
    now = states_now(drawn, loosened, 4512.0)
    assert (now.kind == CLIMBING).all()
    assert now.amsl_m[0, 0] == left.amsl_m
    later = idle_states(drawn, loosened, now)
    assert (later.kind[:, 1:] == GLIDING).all()


def test_low_over_a_field_less_height_is_enough(drawn: Ensemble) -> None:
    ground_m = drawn.goals.ground_amsl_m
    for agl_m, wanted_m in ((5000.0, 300.0), (600.0, 300.0), (300.0, 150.0), (40.0, 20.0)):
        goals = in_circuit(drawn.goals, float(ground_m[0]) + agl_m)
        assert goals.arrival_amsl_m[0] - ground_m[0] == pytest.approx(wanted_m)


def test_a_glider_that_nobody_timed_circles_at_its_flattest_glide(drawn: Ensemble) -> None:
    glider = replace(drawn.sortie.glider, hands_off_sink_eas_mps=None)
    bare = replace(drawn, sortie=replace(drawn.sortie, glider=glider))
    at = seen_at(drawn, 4500.0)
    loosened = Loosened(Stage.UNSTEERED, at, at)
    assert np.median(sinks_alone(bare, loosened, "hands off").eas_mps) == pytest.approx(
        1.4, rel=0.35
    )
