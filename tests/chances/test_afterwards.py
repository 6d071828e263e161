"""Afterwards: what is still open once no whole balloon carries the glider, and for how long."""

from dataclasses import replace

import numpy as np
import pytest

from farglide import fall
from farglide.air.sounding import Sounding
from farglide.chances.afterwards import (
    IDLE_S,
    TIED_S,
    Loosened,
    falls_below_s,
    hands_off,
    idle_states,
    in_circuit,
    loose,
    states_now,
    still_powered,
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

from .bare import low_of

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


@pytest.mark.parametrize(
    ("area_m2", "home_s", "tansy_s"),
    [(0.12, 116.0, 204.0), (0.2, 146.0, 260.0), (0.3, 180.0, 318.0)],
)
def test_the_seconds_left_count_down_from_a_burst_with_all_tied_on(
    plain: Ensemble,
    area_m2: float,
    home_s: float,
    tansy_s: float,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    # Independent, to 15 %: burst at T+78.3 at 27 475 m, 1.57 kg on one drag area at all heights.
    monkeypatch.setattr(fall, "THIN_EXPONENT", 0.0)
    ensemble = with_area(plain, area_m2)
    at = seen_at(ensemble, BURST_S)
    assert at.amsl_m == pytest.approx(27_475.0, rel=0.02)
    loosened = Loosened(Stage.TIED_ON, at, at)
    found = loose(ensemble, loosened, states_now(ensemble, loosened, BURST_S))
    for field, wanted_s in ((0, home_s), (1, tansy_s)):
        left_s = falls_below_s(TIED_S, found.idle.reach_ratio[:, field], 0.5)
        assert left_s == pytest.approx(wanted_s, rel=0.15)
    assert found.idle.reach_ratio[np.array(TIED_S) < 440.0, 2].all()  # Brackmoor: 452 s or more
    # and a minute later the same count has run down by a minute
    later = idle_states(ensemble, loosened, states_now(ensemble, loosened, BURST_S))
    k = TIED_S.index(60.0)
    place = Seen(BURST_S + 60.0, *(float(one[0, k]) for one in later[2:5]))
    again = Loosened(Stage.TIED_ON, at, place)
    left = loose(ensemble, again, states_now(ensemble, again, BURST_S + 60.0))
    left_s = falls_below_s(TIED_S, left.idle.reach_ratio[:, 0], 0.5)
    assert left_s is not None
    assert left_s + 60.0 == pytest.approx(home_s, rel=0.15)


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


def test_hands_off_it_circles_down_and_drifts(drawn: Ensemble) -> None:
    at = seen_at(drawn, 4500.0)
    loosened = Loosened(Stage.GLIDING, at, at)
    found = loose(drawn, loosened, states_now(drawn, loosened, 4500.0))
    heights_m = np.nanmedian(found.states.amsl_m, axis=0)
    assert (np.diff(heights_m) < 0.0).all()
    faster = np.interp(heights_m[0], drawn.air.column.middles_amsl_m,
                       drawn.air.column.layers.tas_per_eas)  # fmt: skip
    sink_mps = (heights_m[0] - heights_m[1]) / IDLE_S[1]
    assert sink_mps == pytest.approx(1.4 * faster, rel=0.06)  # 1.4 m/s as timed low
    # home opens and shuts: open now, shut once it has sunk into the jet
    assert found.open_ratio[0, 0] > 0.9 > found.open_ratio[-1, 0]
    assert np.nanmedian(found.spare_m[:, 0]) > 10_000.0


def test_a_glider_that_nobody_timed_circles_at_its_flattest_glide(drawn: Ensemble) -> None:
    glider = replace(drawn.sortie.glider, hands_off_sink_eas_mps=None)
    bare = replace(drawn, sortie=replace(drawn.sortie, glider=glider))
    assert np.median(hands_off(bare).eas_mps) == pytest.approx(1.4, rel=0.35)


def test_low_over_a_field_less_height_is_enough(drawn: Ensemble) -> None:
    ground_m = drawn.goals.ground_amsl_m
    for agl_m, wanted_m in ((5000.0, 300.0), (600.0, 300.0), (300.0, 150.0), (40.0, 20.0)):
        goals = in_circuit(drawn.goals, float(ground_m[0]) + agl_m)
        assert goals.arrival_amsl_m[0] - ground_m[0] == pytest.approx(wanted_m)


def test_what_is_heard_has_packs_that_last(drawn: Ensemble) -> None:
    n = len(drawn.draws.pack_end_s)
    ends_s = drawn.draws.pack_end_s + np.linspace(-600.0, 600.0, n)
    drawn = replace(drawn, draws=drawn.draws._replace(pack_end_s=ends_s))
    heard_s = float(np.quantile(ends_s, 0.4))
    found = still_powered(drawn, heard_s)
    own_s = found.draws.pack_end_s
    assert (own_s > heard_s).all()
    assert np.array_equal(own_s[ends_s > heard_s], ends_s[ends_s > heard_s])
    # all together follow the law of those that last: the same middle as theirs
    middle_s = float(np.median(ends_s[ends_s > heard_s]))
    assert np.median(own_s) == pytest.approx(middle_s, abs=0.1 * float(np.std(ends_s)))
    assert (found.reach.haste.end_s <= own_s).all()
    assert still_powered(drawn, 0.0) is drawn
    assert still_powered(drawn, 1e6) is drawn


def test_when_a_share_falls_below_a_bound() -> None:
    ratio = np.array([1.0, 0.8, 0.2])
    assert falls_below_s((0.0, 60.0, 120.0), ratio, 0.5) == pytest.approx(90.0)
    assert falls_below_s((0.0, 60.0, 120.0), ratio, 0.1) is None
    assert falls_below_s((30.0, 60.0, 120.0), ratio[::-1].copy(), 0.5) == 30.0


def test_what_a_link_costs_now_it_costs_later(heard_demo: Ensemble) -> None:
    at = seen_at(heard_demo, 4500.0)
    loosened = Loosened(Stage.GLIDING, at, at)
    found = loose(heard_demo, loosened, states_now(heard_demo, loosened, 4500.0))
    assert found.chances.holding is not None
    assert found.idle.holding is None
    assert found.open_ratio[0] == pytest.approx(found.chances.open_ratio[0])
    assert (found.open_ratio <= found.idle.timely_ratio + 1e-12).all()
