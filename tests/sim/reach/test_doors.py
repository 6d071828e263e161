"""Doors: which fields are open when, in the demo and where one limit after the other shuts them."""

from dataclasses import replace
from typing import Final

import numpy as np
import pytest
from numpy.typing import NDArray

from farglide.chances.ensemble import Ensemble, plain_ensemble, with_winds
from farglide.errors import InputError
from farglide.glider.polar import steady_glide
from farglide.glider.release import pull_out
from farglide.kernel import door
from farglide.sim.core.losses import LOSS_STEP_M, N_LOSS, Fleet, Losses, drawn_losses, drop_losses
from farglide.sim.core.release import Haste, begin_glide, field_offset
from farglide.sim.core.states import states_of_climbs
from farglide.sim.core.step import Offset, apart_m
from farglide.sim.core.tracks import Point
from farglide.sim.reach.doors import (
    IN_TIME,
    REACHED,
    SET_ASIDE,
    Doors,
    doors,
    floors_of,
)
from farglide.sim.reach.drawnglider import glide_air
from farglide.sim.reach.reach import FREE, Descent, sum_reach
from farglide.sim.reach.rose import farthest_m
from farglide.sim.reach.straight import made_good
from farglide.sim.reach.support import FactorRange, tabulate
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie

ask_glide_air = door(glide_air)

HOME, TANSY, BRACKMOOR, CORRAND = range(4)
LAST_MIN: Final = 83.0  # the burst is at T+83.2
BOTH: Final = REACHED | IN_TIME
STEP_MIN: Final = 0.5


def opened(
    ensemble: Ensemble,
    haste: Haste | None = None,
    losses: Losses | None = None,
    until_min: float = LAST_MIN,
) -> Doors:
    """Return the doors every half minute from the launch."""
    moments = np.arange(int(until_min / STEP_MIN) + 1, dtype=np.int64)
    releases = ensemble.released
    releases = releases._replace(losses=losses or releases.losses, haste=haste or releases.haste)
    reaches, scene = ensemble.reach.reaches, ensemble.air.scene
    floors = floors_of(scene, releases, reaches, ensemble.goals)
    states = states_of_climbs(ensemble.climbs.tracks, ensemble.climbs.burst_share, moments)
    return doors(ensemble.air.scene, releases, states, ensemble.reach.reaches, floors)


def changes(state: NDArray[np.uint8]) -> list[tuple[float, bool]]:
    """Return the minutes at which a field opens (true) or shuts (false)."""
    is_open = state == BOTH
    at = np.nonzero(is_open[1:] != is_open[:-1])[0] + 1
    return [(float(j * STEP_MIN), bool(is_open[j])) for j in at]


# --- the demo's times, each computed by tests/by_hand, +-1 min -----------------------------------


@pytest.mark.parametrize(
    ("field", "expected"),
    [
        # open T+3 to T+28 (8.0 km), shut T+28.5 to T+62.5, open from T+63 (20.4 km)
        (HOME, [(3.0, True), (28.5, False), (63.0, True)]),
        # from T+8.5, shut T+42.5 to T+49.5
        (TANSY, [(8.5, True), (42.5, False), (50.0, True)]),
        (BRACKMOOR, [(12.5, True)]),
        (CORRAND, [(16.0, True)]),
    ],
)
def test_demo_fields_open_and_shut(
    low_demo: Ensemble, field: int, expected: list[tuple[float, bool]]
) -> None:
    found = changes(opened(low_demo).state[0, :, field])
    assert [way for _, way in found] == [way for _, way in expected]
    for (minute, _), (wanted, _) in zip(found, expected, strict=True):
        assert minute == pytest.approx(wanted, abs=1.0)


def test_demo_heights_where_home_shuts_and_opens(low_demo: Ensemble) -> None:
    # 8.0 and 20.4 km, +-2 %
    (_, shut, reopened) = changes(opened(low_demo).state[0, :, HOME])
    heights = low_demo.climbs.tracks.amsl_m[0]
    assert heights[round(shut[0] / STEP_MIN) - 1] == pytest.approx(8_000.0, rel=0.02)
    assert heights[round(reopened[0] / STEP_MIN)] == pytest.approx(20_400.0, rel=0.02)


def test_demo_packs_and_light(low_demo: Ensemble) -> None:
    # packs end T+129.9, 3 min kept: T+126.9; dusk comes later
    assert low_demo.reach.haste.end_s[0] / 60.0 == pytest.approx(126.9, abs=0.1)
    assert low_demo.reach.light_end_s > low_demo.reach.haste.end_s[0]


def test_margin_is_negative_just_where_a_field_is_out_of_reach(low_demo: Ensemble) -> None:
    found = opened(low_demo)
    margin, reached = found.margin_m[0], (found.state[0] & REACHED) > 0
    above = np.isfinite(margin)
    assert ((margin >= 0.0) == reached)[above].all()
    assert not reached[~above].any()
    # it moves without jumps but where the field is passed and the bearing turns round: at most
    # 6 km in half a minute, drift and climb together
    steps = [np.abs(np.diff(column[np.isfinite(column)])) for column in margin.T]
    assert max(np.sort(step)[-3] for step in steps) < 6_000.0


def test_one_fixed_speed_keeps_home_shut_longer(demo: tuple[Sortie, Pack]) -> None:
    # fixed still-air speed (10.3 m/s EAS): home shut T+20 to T+80.5
    sortie, pack = demo
    low = replace(sortie, launch=replace(sortie.launch, amsl_m=0.0))
    asked = Grain(slowing=False, held_eas_mps=10.34)
    ensemble = plain_ensemble(low, pack.sounding, asked)
    reached = (opened(ensemble).state[0, :, HOME] & REACHED) > 0
    at = np.nonzero(reached[1:] != reached[:-1])[0] + 1
    assert [j * STEP_MIN for j in at[1:]] == pytest.approx([20.0, 80.5], abs=1.0)


# --- time ----------------------------------------------------------------------------------------


def fastest_down_s(ensemble: Ensemble, from_amsl_m: float, to_amsl_m: float) -> float:
    """Return the least time down, at the fastest EAS that every height on the way allows."""
    layers = ensemble.air.scene.layers
    total, z = 0.0, from_amsl_m
    while z > to_amsl_m:
        k = int((z - 1e-6 - layers.base_amsl_m) / layers.step_m)
        low = max(layers.base_amsl_m + k * layers.step_m, to_amsl_m)
        by_mach = ensemble.craft.limits.top_mach * layers.sound_mps[k] / layers.tas_per_eas[k]
        fastest = min(ensemble.craft.limits.top_eas_mps, float(by_mach))
        air = ask_glide_air(layers, k)
        total += (z - low) / steady_glide(ensemble.craft.polar, float(fastest), air).sink_mps
        z = low
    return total


def test_no_field_is_in_time_before_the_fastest_way_down_ends(low_demo: Ensemble) -> None:
    """Straight below or not: a flight cannot end sooner than a dive at the caps."""
    j = round(76.0 / STEP_MIN)
    ensemble = low_demo
    z = float(ensemble.climbs.tracks.amsl_m[0, j])
    result = pull_out(
        ensemble.craft.polar,
        ensemble.craft.drop,
        ensemble.air.column,
        z,
        ensemble.craft.best_eas_mps,
    )
    arrival = float(ensemble.goals.arrival_amsl_m[CORRAND])
    least_s = result.level_s + fastest_down_s(ensemble, z - result.level_lost_m, arrival)
    assert least_s == pytest.approx(13.3 * 60.0, abs=30.0)

    def state(after_s: float) -> int:
        haste = ensemble.reach.haste._replace(end_s=np.array([76.0 * 60.0 + after_s]))
        return int(opened(ensemble, haste).state[0, j, CORRAND])

    # Corrand lies 6 km away: what counts is the way down. Ten per cent are left for layers taken by
    # threes and for the highest price of time, which must be high against every airspeed.
    assert state(0.9 * least_s) == REACHED
    assert state(1.1 * least_s) == BOTH


@pytest.mark.parametrize(("late_min", "state"), [(-1.0, REACHED), (1.0, BOTH)])
def test_a_limit_at_the_quickest_time_decides(
    low_demo: Ensemble, late_min: float, state: int
) -> None:
    # from T+76 the quickest flight is 300 m over home at T+98.4 (+-1 min)
    haste = low_demo.reach.haste._replace(end_s=np.array([60.0 * (98.4 + late_min)]))
    assert opened(low_demo, haste).state[0, round(76.0 / STEP_MIN), HOME] == state


def test_an_end_before_the_release_leaves_reach_only(low_demo: Ensemble) -> None:
    haste = low_demo.reach.haste._replace(end_s=np.array([70.0 * 60.0]))
    state = opened(low_demo, haste).state[0]
    assert not (state[140:] & IN_TIME).any()
    assert (state[152] & REACHED).all()
    assert (state[6] == BOTH).any()


def test_more_time_never_shuts_a_field(low_demo: Ensemble) -> None:
    before = None
    for end_min in (60.0, 80.0, 95.0, 100.0, 110.0, 126.9, 400.0):
        haste = low_demo.reach.haste._replace(end_s=np.array([60.0 * end_min]))
        in_time = (opened(low_demo, haste).state[0] & IN_TIME) > 0
        if before is not None:
            assert (in_time | ~before).all()
        before = in_time


def test_dusk_ends_the_day(demo: tuple[Sortie, Pack]) -> None:
    """Launched two hours before dusk, with packs for ever: the light is what ends."""
    sortie, pack = demo
    # dusk at T+208.5 for the demo's launch; launched 118 min later it comes at T+90
    launch = replace(sortie.launch, amsl_m=0.0, t_s=sortie.launch.t_s + 118.0 * 60.0)
    late = replace(sortie, launch=launch, packs=())
    ensemble = plain_ensemble(late, pack.sounding, Grain(slowing=False))
    assert ensemble.reach.light_end_s / 60.0 == pytest.approx(90.5, abs=1.0)
    assert ensemble.reach.haste.end_s[0] == ensemble.reach.light_end_s
    state = opened(ensemble).state[0]
    assert state[round(76.0 / STEP_MIN), HOME] == REACHED  # home needs until T+98.4
    assert state[round(63.5 / STEP_MIN), HOME] in (REACHED, BOTH)
    assert state[round(10.0 / STEP_MIN), HOME] == BOTH


# --- wind at the field, heading, losses ----------------------------------------------------------


def test_a_field_in_a_gale_is_never_open(low_demo: Ensemble) -> None:
    """50 m/s below 540 m: the glider gets over the field, but cannot stay over it."""
    ensemble = low_demo
    layers = ensemble.air.scene.layers
    east = layers.u_mps.copy()
    east[0, :6] = 50.0
    scene = ensemble.air.scene._replace(layers=layers._replace(u_mps=east))
    blown = with_winds(ensemble, replace(ensemble.air, scene=scene), ensemble.draws)
    found = opened(blown)
    assert (found.state[0] == 0).all()
    assert (found.margin_m[0, 152] > 0.0).all()  # though all lie in reach by height


def test_time_to_find_the_heading_costs_height(low_demo: Ensemble) -> None:
    # a minute at best glide's sink, 15 m/s at 26 km (rather less at 25): about 800 m
    haste = low_demo.reach.haste._replace(heading_s=np.array([60.0]))
    quick, slow = opened(low_demo), opened(low_demo, haste)
    lost = quick.margin_m[0, 130:, HOME] - slow.margin_m[0, 130:, HOME]
    assert ((lost > 1_000.0) & (lost < 15_000.0)).all()
    assert len(changes(slow.state[0, :, HOME])) == 3
    assert changes(slow.state[0, :, HOME])[2][0] > changes(quick.state[0, :, HOME])[2][0]


def test_losses_are_those_of_single_pull_outs(low_demo: Ensemble) -> None:
    ensemble = low_demo
    factors, drags = np.array([1.0, 0.8, 1.2]), np.array([0.10, 0.06, 0.2])
    fleet = Fleet(ensemble.craft.polar, ensemble.craft.drop, factors, drags)
    losses = drop_losses(ensemble.air.scene.layers, fleet, ensemble.craft.best_eas_mps)
    assert losses.lost_m.shape == (3, N_LOSS)
    for j in range(1, min(N_LOSS, int(39_000.0 / LOSS_STEP_M) + 1)):
        single = pull_out(
            ensemble.craft.polar,
            ensemble.craft.drop,
            ensemble.air.column,
            j * LOSS_STEP_M,
            ensemble.craft.best_eas_mps,
        )
        assert losses.lost_m[0, j] == pytest.approx(single.level_lost_m, rel=1e-9)
        assert losses.elapsed_s[0, j] == pytest.approx(single.level_s, rel=1e-9)
    assert (np.diff(losses.lost_m, axis=1) > 0.0).all()
    # a cleaner fall is faster when there is enough air: sooner level
    assert (losses.elapsed_s[1, 1:] < losses.elapsed_s[2, 1:]).all()


@pytest.mark.parametrize("minute", [10.0, 33.0, 47.0, 62.0, 70.0, 80.0])
def test_height_lost_between_the_table_s_heights(low_demo: Ensemble, minute: float) -> None:
    """The margin of a straight drop shows the loss: compare with a table of exact losses."""
    ensemble = low_demo
    j = round(minute / STEP_MIN)
    z = float(ensemble.climbs.tracks.amsl_m[0, j])
    exact = pull_out(
        ensemble.craft.polar,
        ensemble.craft.drop,
        ensemble.air.column,
        z,
        ensemble.craft.best_eas_mps,
    )
    same = Losses(np.full((1, N_LOSS), exact.level_lost_m), np.full((1, N_LOSS), exact.level_s))
    found = (
        opened(ensemble).margin_m[0, j, HOME] - opened(ensemble, losses=same).margin_m[0, j, HOME]
    )
    # glide ratios of 5 to 9 turn 10 m of height into less than 90 m
    assert abs(found) < 90.0


def test_a_glider_that_never_comes_level_has_no_open_field(low_demo: Ensemble) -> None:
    never = Losses(np.full((1, N_LOSS), np.nan), np.full((1, N_LOSS), np.nan))
    found = opened(low_demo, losses=never)
    assert (found.state == 0).all()


def test_moments_after_the_column_have_no_answer(low_demo: Ensemble) -> None:
    beyond = np.isnan(low_demo.climbs.tracks.amsl_m[0])
    moments = np.arange(len(beyond), dtype=np.int64)
    climbs = low_demo.climbs
    states = states_of_climbs(climbs.tracks, climbs.burst_share, moments)
    scene, reaches = low_demo.air.scene, low_demo.reach.reaches
    floors = floors_of(scene, low_demo.released, reaches, low_demo.goals)
    found = doors(low_demo.air.scene, low_demo.released, states, low_demo.reach.reaches, floors)
    assert np.isnan(found.margin_m[0, beyond]).all()
    assert (found.state[0, beyond] == 0).all()
    assert beyond.any()


def test_losses_from_the_grid_are_those_of_each_draw(low_demo: Ensemble) -> None:
    rng = np.random.default_rng(5)
    factor, drag = rng.uniform(0.6, 1.4, 20), rng.uniform(0.05, 0.3, 20)
    fleet = Fleet(low_demo.craft.polar, low_demo.craft.drop, factor, drag)
    layers, eas = low_demo.air.scene.layers, low_demo.craft.best_eas_mps
    grid = drawn_losses(layers, fleet, eas)
    single = drop_losses(layers, fleet, eas)
    np.testing.assert_allclose(grid.lost_m, single.lost_m, rtol=5e-3)
    np.testing.assert_allclose(grid.elapsed_s, single.elapsed_s, rtol=5e-3)


@pytest.mark.parametrize("end_min", [95.0, 115.0, 130.0])
def test_prices_left_out_would_not_have_decided(drawn_demo: Ensemble, end_min: float) -> None:
    """The fields in time are those that meet every price, asked one by one in plain numpy."""
    ensemble = drawn_demo
    n = len(ensemble.reach.haste.end_s)
    haste = ensemble.reach.haste._replace(end_s=np.full(n, 60.0 * end_min))
    found = opened(ensemble, haste, until_min=40.0)
    priced, prices = ensemble.reach.reaches.priced, ensemble.reach.reaches.price_mps
    releases = ensemble.released._replace(haste=haste)
    n_close = n_asked = 0
    for i in range(0, n, 7):
        for j in np.arange(20, 81, 12):
            tracks = ensemble.climbs.tracks
            place = (tracks.amsl_m[i, j], tracks.north_rad[i, j], tracks.east_rad[i, j])
            at = begin_glide(ensemble.air.scene, releases, i, Point(tracks.step_s * j, *place))
            left_s = haste.end_s[i] - at.t_s
            for f in np.nonzero(found.state[i, j] & REACHED)[0]:
                here, goal = Offset(at.north_rad, at.east_rad), field_offset(ensemble.goals, f)
                away = apart_m(ensemble.air.scene.frame, here, goal)
                down = Descent(at.amsl_m, float(ensemble.goals.arrival_amsl_m[f]))
                spare = np.inf
                for q in range(len(prices)):
                    made = made_good(priced, down, away, q * n + i)
                    spare = min(spare, made.inside_m + prices[q] * left_s)
                n_asked += 1
                if abs(spare) < 50.0:
                    n_close += 1
                    continue
                assert (found.state[i, j, f] == BOTH) == (spare > 0.0 and left_s > 0.0)
    assert n_asked > 50
    assert n_close < 0.1 * n_asked


# --- off the straight track ----------------------------------------------------------------------


def test_the_straight_track_costs_little_against_the_best_path(low_demo: Ensemble) -> None:
    """The independent times above are those of the best path through these winds, which only a
    pilot finds who knows them all. In the demo the straight track shares them to half a minute: its
    winds turn little below 20 km."""
    ensemble, found = low_demo, opened(low_demo).state[0, :, HOME] & REACHED
    support = tabulate(
        ensemble.air.scene.layers, ensemble.craft.polar, ensemble.craft.limits, FactorRange(1, 1)
    )
    free = sum_reach(ensemble.air.scene, support, ensemble.draws, FREE)
    tracks, goals, best = ensemble.climbs.tracks, ensemble.goals, []
    for j in range(len(found)):
        place = (float(one[0, j]) for one in tracks.places)
        at = begin_glide(ensemble.air.scene, ensemble.released, 0, Point(tracks.step_s * j, *place))
        here = Offset(at.north_rad, at.east_rad)
        away = apart_m(ensemble.air.scene.frame, here, field_offset(goals, HOME))
        down = Descent(at.amsl_m, float(goals.arrival_amsl_m[HOME]))
        above = at.amsl_m > down.to_amsl_m
        best.append(above and farthest_m(free, down, away) >= np.hypot(*away))
    lost = np.array(best) & (found == 0)
    assert not (found.astype(bool) & ~np.array(best)).any()
    assert lost.sum() * STEP_MIN <= 1.0


def test_a_field_across_a_jet_is_left_to_be_flown(low_demo: Ensemble) -> None:
    layers = low_demo.air.scene.layers
    east, north = np.zeros_like(layers.u_mps), np.zeros_like(layers.v_mps)
    # home lies to the north-west: 75 m/s across, between 9 and 12 km
    east[0, 90:120] = north[0, 90:120] = 75.0 * np.sqrt(0.5)
    scene = low_demo.air.scene._replace(layers=layers._replace(u_mps=east, v_mps=north))
    blown = with_winds(low_demo, replace(low_demo.air, scene=scene), low_demo.draws)
    state = opened(blown).state[0, :, HOME]
    heights = low_demo.climbs.tracks.amsl_m[0, : len(state)]
    assert (state[heights < 8_500.0] != SET_ASIDE).all()
    assert (state[heights > 14_000.0] == SET_ASIDE).all()


def test_without_tables_no_kernel_reads_beyond_them(low_demo: Ensemble) -> None:
    reaches = low_demo.reach.reaches
    few = reaches._replace(free=reaches.free._replace(made_m=reaches.free.made_m[:0]))
    with pytest.raises(InputError, match=r"0 tables; allowed: 1, one for each draw\. Ask before"):
        floors_of(low_demo.air.scene, low_demo.released, few, low_demo.goals)
