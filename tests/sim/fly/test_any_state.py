"""Any state: a march cut anywhere and gone on with ends where the uncut one does."""

from dataclasses import replace
from typing import Final

import numpy as np
import pytest
from numpy.typing import NDArray

from farglide.air.column import build_column
from farglide.air.doubt import WindDoubt
from farglide.air.sounding import Sounding
from farglide.balloon.ascent import balance_of
from farglide.balloon.bands import N_BANDS
from farglide.balloon.envelope import Envelope, slack_diameter_m
from farglide.chances.ensemble import Ensemble
from farglide.errors import InputError
from farglide.fall import Sink, remains_story
from farglide.kernel import door
from farglide.sim.core.cube import no_cube
from farglide.sim.core.losses import Fleet
from farglide.sim.core.scene import Balloon, Scene, Swarm
from farglide.sim.core.states import CLIMBING, FALLING, GLIDING
from farglide.sim.core.step import frame_of
from farglide.sim.core.tracks import Burst, Point, Tracks
from farglide.sim.core.wind import no_errors
from farglide.sim.fly.climb import Aloft, Clock, climb, climb_on
from farglide.sim.fly.descend import (
    Falling,
    Falls,
    Sinking,
    descend,
    fall_for,
    one_eas,
    plunges,
    trails,
)
from farglide.sim.fly.flight import flown_track, fly
from farglide.sim.fly.glide import Course, Gliding, Way, glide_layer
from farglide.sim.fly.homing import Goal
from farglide.sim.fly.orders import Begins, Ends, Gear, Orders, climbing, gliding
from farglide.sim.fly.passage import fly_way
from farglide.sim.reach.drawnglider import DrawnGlider

ask_fall_for = door(fall_for)
SETTLED = Sinking(Sink(12.0, 0.0, 1.0), 0.0)
ask_glide_layer = door(glide_layer)

FloatArray = NDArray[np.float64]
EARTH_M: Final = 6.37e6
CLOCK_S: Final = 30.0
LEAK: Final = 0.00034  # share of the gas a second where the air is as dense as at sea level
N: Final = 6


def tied_on(states: FloatArray, fall_mps: FloatArray) -> Begins:
    """Return the begins of flights that fall with the remains; nobody has seen the burst yet."""
    n = len(states)
    return Begins(np.full(n, FALLING), states, np.zeros(n), fall_mps)


@pytest.fixture(scope="module")
def scene(demo_sounding: Sounding) -> Scene:
    column = build_column(demo_sounding, 0.0, WindDoubt())
    return Scene(column.layers, frame_of(-46.5, 108.0), no_cube())


def swarm_of(scene: Scene, up_sd_mps: float = 0.2) -> Swarm:
    rng, layers = np.random.default_rng(5), np.arange(len(scene.layers.p_pa))

    def errors(sd: float) -> NDArray[np.float32]:
        knots = layers[::5]  # smooth between every half kilometre
        drawn = [np.interp(layers, knots, sd * rng.standard_normal(len(knots))) for _ in range(N)]
        return np.array(drawn, dtype=np.float32)

    return Swarm(
        0.1945 * (1.0 + 0.02 * rng.standard_normal(N)),
        1.0 + 0.1 * rng.standard_normal(N),
        6.6 + 0.3 * rng.standard_normal(N),
        5.0 * rng.standard_normal(N),
        rng.uniform(0.85, 1.15, (N, N_BANDS)),
        *(errors(sd) for sd in (3.0, 3.0, 3.0, 3.0, up_sd_mps)),
        np.arange(N),
    )


def balloon_of(leak_ratio_ps: float = 0.0, leak_from_s: float = 0.0, film: float = 0.0) -> Balloon:
    slack_m = slack_diameter_m(1.0, film) if film else 100.0
    envelope = Envelope(
        1.0, 0.1945, 14.368, 0.0, film, slack_m, 6.6, 1.0, leak_ratio_ps, leak_from_s
    )
    return Balloon(envelope, balance_of(((1e5, 0.30),)), 0.82, np.ones(N_BANDS))


def cut_at(scene: Scene, swarm: Swarm, balloon: Balloon, t_s: float) -> Aloft:
    """Return the balloons at a time after the launch."""
    tracks, _ = climb(scene, swarm, balloon, Clock(240.0, t_s, t_s))
    places = (tracks.amsl_m[:, 1], tracks.north_rad[:, 1], tracks.east_rad[:, 1])
    states = np.stack([np.full(N, t_s), *places], axis=1)
    return Aloft(states, np.ascontiguousarray(tracks.gas_kg[:, 1]))


def apart_m(a: Tracks | Burst, b: Tracks | Burst) -> tuple[float, float]:
    """Return the largest differences in height and in place, where both are known."""
    up_m = np.abs(a.amsl_m - b.amsl_m)
    along_m = EARTH_M * np.hypot(a.north_rad - b.north_rad, 0.69 * (a.east_rad - b.east_rad))
    assert np.isfinite(up_m).any()
    return float(np.nanmax(up_m)), float(np.nanmax(along_m))


# --- the climb -----------------------------------------------------------------------------------


@pytest.mark.parametrize("film", [0.0, 50.0])
@pytest.mark.parametrize("cut_s", [210.0, 2411.3, 4527.9])
def test_a_climb_cut_and_continued_is_the_uncut_one(
    scene: Scene, cut_s: float, film: float
) -> None:
    swarm, balloon = swarm_of(scene), balloon_of(film=film)
    clock = Clock(240.0, CLOCK_S, 7200.0)
    whole, burst = climb(scene, swarm, balloon, clock)
    later, burst_later = climb_on(
        scene, swarm, balloon, cut_at(scene, swarm, balloon, cut_s), clock
    )
    j = int(np.ceil(cut_s / CLOCK_S))
    assert np.isnan(later.amsl_m[:, :j]).all()
    assert not np.isnan(later.amsl_m[:, j : j + 20]).any()
    assert max(apart_m(whole, later)) < 1.0
    # those whole until the cut: a climb goes on as if whole, and one cut late begins burst
    unburst = burst.after_launch_s > cut_s
    assert unburst.any()
    for one, other in zip(burst, burst_later, strict=True):
        np.testing.assert_allclose(other[unburst], one[unburst], rtol=5e-5, atol=1e-7)


@pytest.mark.parametrize(
    ("from_s", "cut_s"),
    [(0.0, 600.0), (0.0, 811.3), (2280.0, 1200.0), (2280.0, 2711.3), (2280.0, 5418.9)],
)
def test_a_leaking_climb_cut_and_continued_is_the_uncut_one(
    scene: Scene, cut_s: float, from_s: float
) -> None:
    even = cut_s % CLOCK_S == 0.0  # elsewhere the steps of 5 s cross the layers at other heights,
    up_sd_mps = 0.2 if even else 0.0  # each with its own wind
    swarm, balloon = swarm_of(scene, up_sd_mps), balloon_of(LEAK, from_s)
    clock = Clock(240.0, CLOCK_S, 7200.0)
    whole, _ = climb(scene, swarm, balloon, clock)
    begun = cut_at(scene, swarm, balloon, cut_s)
    later, _ = climb_on(scene, swarm, balloon, begun, clock)
    up_m, along_m = apart_m(whole, later)
    assert up_m < (1e-6 if even else 1.0)
    assert along_m < (1e-6 if even else 15.0)
    j = int(np.ceil(cut_s / CLOCK_S))
    left_kg = np.nanmin(later.gas_kg[:, j:], axis=1)
    assert (left_kg < begun.gas_kg).all()


def test_a_leak_started_in_the_air_is_one_foreseen(scene: Scene) -> None:
    # a whole balloon that is found to leak at T+38 goes on as one whose leak was known before
    swarm, clock = swarm_of(scene), Clock(240.0, CLOCK_S, 6000.0)
    foreseen, _ = climb(scene, swarm, balloon_of(LEAK, 2280.0), clock)
    begun = cut_at(scene, swarm, balloon_of(), 2280.0)
    later, _ = climb_on(scene, swarm, balloon_of(LEAK, 2280.0), begun, clock)
    up_m, along_m = apart_m(later, foreseen)
    assert up_m < 25.0  # until then one goes by layers and one by steps of 5 s
    assert along_m < 80.0
    assert later.gas_kg[:, 78] == pytest.approx(foreseen.gas_kg[:, 78], rel=1e-4)
    assert (np.nanmax(later.amsl_m, axis=1) < 30_000.0).all()


# --- glides --------------------------------------------------------------------------------------


@pytest.mark.parametrize("price_mps", [0.0, 12.0])
@pytest.mark.parametrize("held_eas_mps", [0.0, 14.0])
@pytest.mark.parametrize("cut_m", [24_000.0, 11_111.1, 612.3])
def test_a_glide_cut_and_continued_is_the_uncut_one(
    low_demo: Ensemble, price_mps: float, held_eas_mps: float, cut_m: float
) -> None:
    scene, way = low_demo.air.scene, Way(0.3, -0.29, price_mps)
    limits = low_demo.craft.limits._replace(held_eas_mps=held_eas_mps)
    craft, begin = (
        DrawnGlider(low_demo.craft.polar, limits, 1.0),
        Point(4600.0, 28_000.0, 0.1, -0.02),
    )
    whole = fly_way(scene, craft, way, begin, 300.0)
    half = fly_way(scene, craft, way, begin, cut_m)
    at = Point(*(float(row[-1]) for row in half[:4]))
    assert at.amsl_m == cut_m
    rest = fly_way(scene, craft, way, at, 300.0)
    for one, other in zip(whole[:4], rest[:4], strict=True):
        assert other[-1] == pytest.approx(one[-1], rel=1e-9, abs=1e-9)
    still = Course(0.0, 0.0)
    step = ask_glide_layer(scene, no_errors(scene), Gliding(craft, way), still, at, 300.0)
    assert step.to == pytest.approx([row[1] for row in rest[:4]])
    assert step.eas_mps == pytest.approx(rest.eas_mps[0])


# --- falls ---------------------------------------------------------------------------------------


def test_a_settled_fall_cut_and_continued_is_the_uncut_one(scene: Scene) -> None:
    swarm, starts = swarm_of(scene), np.tile([100.0, 27_000.0, 0.01, 0.02], (N, 1))
    sinks = np.linspace(1.4, 12.0, N)
    whole = descend(scene, swarm, Falls(starts, one_eas(sinks), 240.0))
    half = descend(scene, swarm, Falls(starts, one_eas(sinks), 9_876.5))
    rest = descend(scene, swarm, Falls(half, one_eas(sinks), 240.0))
    np.testing.assert_allclose(rest, whole, rtol=1e-9, atol=1e-9)
    told = trails(scene, swarm, Falls(half, one_eas(sinks), 240.0), np.array([half[0, 0] + 60.0]))
    assert told.amsl_m[0, 0] < 9_876.5


@pytest.mark.parametrize(
    ("area_m2", "one_km", "four_km"), [(0.12, 23.0, 14.4), (0.2, 23.9, 16.3), (0.3, 24.4, 17.8)]
)
def test_remains_fall_from_rest_as_computed_elsewhere(
    scene: Scene, area_m2: float, one_km: float, four_km: float
) -> None:
    """A burst at 27 475 m, 1.57 kg tied together: heights after 1 and 4 min by another script."""
    calm = Swarm(*(np.zeros((1, *one.shape[1:]), one.dtype) for one in swarm_of(scene)))
    start = np.array([[4698.0, 27_475.0, 0.0, 0.0]])
    falls = Falls(start, one_eas(np.array([remains_story(1.57, area_m2).sink_eas_mps])), 500.0)
    found = plunges(scene, calm, falls, np.array([0.0, 60.0, 240.0, 3600.0]))
    assert found.amsl_m[0, 0] == 27_475.0
    # heights are rounded to 0.1 km; gravity counts as at sea level
    assert found.amsl_m[0, 1] / 1000.0 == pytest.approx(one_km, abs=0.1)
    assert found.amsl_m[0, 2] / 1000.0 == pytest.approx(four_km, abs=0.15)
    assert np.isnan(found.amsl_m[0, 3])


def test_a_fall_from_rest_cut_and_continued_is_the_uncut_one(scene: Scene) -> None:
    errors, begin = no_errors(scene), Falling(Point(0.0, 27_000.0, 0.0, 0.0), 0.0)
    whole = ask_fall_for(scene, errors, SETTLED, begin, 90.0)
    half = ask_fall_for(scene, errors, SETTLED, begin, 33.3)
    rest = ask_fall_for(scene, errors, SETTLED, half, 56.7)
    # the 2 s steps lie elsewhere in layers of one density each
    assert rest.at.amsl_m == pytest.approx(whole.at.amsl_m, abs=5.0)
    assert rest.speed_mps == pytest.approx(whole.speed_mps, abs=0.3)
    assert rest.at.t_s == pytest.approx(90.0)


def test_the_first_seconds_of_a_fall_are_free(scene: Scene) -> None:
    begin = Falling(Point(0.0, 30_000.0, 0.0, 0.0), 0.0)
    fallen = ask_fall_for(scene, no_errors(scene), SETTLED, begin, 2.0)
    assert 30_000.0 - fallen.at.amsl_m == pytest.approx(0.5 * 9.80665 * 4.0, rel=0.01)
    assert fallen.speed_mps == pytest.approx(2.0 * 9.80665, rel=0.02)
    assert ask_fall_for(scene, no_errors(scene), SETTLED, begin, 0.0) == begin


# --- whole flights -------------------------------------------------------------------------------


def flown_of(ensemble: Ensemble, **orders: float) -> tuple[Gear, Orders]:
    goals, drawn = ensemble.goals, ensemble.draws
    goal = Goal(
        north_rad=float(goals.north_rad[0]),
        east_rad=float(goals.east_rad[0]),
        ground_amsl_m=float(goals.ground_amsl_m[0]),
        circle_load=1.155,
        circle_eas_mps=11.0,
    )
    craft = ensemble.craft
    fleet = Fleet(craft.polar, craft.drop, drawn.glide_factor, drawn.drop_drag)
    speeds = ensemble.reach.reaches.speeds
    said = Orders(4500.0, goal, ensemble.craft.best_eas_mps, 0.2)._replace(**orders)
    return Gear(ensemble.climbs.balloon, fleet, speeds, drawn.reaction_s), said


def from_moment(ensemble: Ensemble, j: int) -> Begins:
    tracks = ensemble.climbs.tracks
    t = np.full(len(tracks.amsl_m), j * tracks.step_s)
    places = (tracks.amsl_m[:, j], tracks.north_rad[:, j], tracks.east_rad[:, j])
    gas_kg = np.ascontiguousarray(tracks.gas_kg[:, j])
    return climbing(Aloft(np.stack([t, *places], axis=1), gas_kg))


def flown(ensemble: Ensemble, begins: Begins, **orders: float) -> Ends:
    return fly(ensemble.air.scene, ensemble.draws.swarm, *flown_of(ensemble, **orders), begins)


def assert_same(one: Ends, other: Ends, rows: NDArray[np.bool_] | slice = slice(None)) -> None:
    for name in ("landed_s", "over_field_amsl_m"):
        np.testing.assert_allclose(getattr(one, name)[rows], getattr(other, name)[rows], atol=1.0)
    for name in ("north_rad", "east_rad"):
        difference = getattr(one, name)[rows] - getattr(other, name)[rows]
        assert np.nanmax(np.abs(difference)) * EARTH_M < 1.0


def leaking(ensemble: Ensemble, leak_ratio_ps: float = LEAK) -> Ensemble:
    envelope = ensemble.climbs.balloon.envelope._replace(
        leak_ratio_ps=leak_ratio_ps, leak_from_s=2280.0
    )
    balloon = ensemble.climbs.balloon._replace(envelope=envelope)
    clock = Clock(ensemble.sortie.launch.amsl_m, 60.0, 5.0 * 3600.0)
    tracks, burst = climb(ensemble.air.scene, ensemble.draws.swarm, balloon, clock)
    climbs = replace(ensemble.climbs, balloon=balloon, tracks=tracks, burst=burst)
    return replace(ensemble, climbs=climbs)


def test_a_flight_goes_on_from_the_climb_the_burst_and_the_glide(drawn_demo: Ensemble) -> None:
    whole = flown(drawn_demo, from_moment(drawn_demo, 0))
    assert_same(flown(drawn_demo, from_moment(drawn_demo, 40)), whole)
    burst = drawn_demo.climbs.burst
    states = np.stack([burst.after_launch_s, burst.amsl_m, burst.north_rad, burst.east_rad], axis=1)
    late = flown(drawn_demo, from_moment(drawn_demo, 0), release_s=9000.0)
    assert late.burst.all()
    fallen = flown(drawn_demo, tied_on(states, np.zeros(len(states))))
    assert_same(fallen, late)
    assert not fallen.burst.any()
    np.testing.assert_allclose(fallen.release_s, late.release_s, atol=1e-6)
    some = 3
    told = flown_track(
        drawn_demo.air.scene,
        drawn_demo.draws.swarm,
        *flown_of(drawn_demo),
        from_moment(drawn_demo, 0),
        some,
    )
    level = told[told[:, 4] == GLIDING][0]
    states[:] = level[:4]
    glided = flown(drawn_demo, gliding(states))
    assert np.isnan(glided.release_s).all()
    assert_same(glided, whole, np.arange(len(states)) == some)


def test_a_track_is_the_flight_it_tells(drawn_demo: Ensemble) -> None:
    begins = from_moment(drawn_demo, 0)
    ends = flown(drawn_demo, begins)
    gear, orders = flown_of(drawn_demo)
    told = flown_track(drawn_demo.air.scene, drawn_demo.draws.swarm, gear, orders, begins, 11)
    assert told[0, :4] == pytest.approx(begins.states[11])
    assert told[-1, 0] == ends.landed_s[11]
    assert told[-1, 2:4] == pytest.approx([ends.north_rad[11], ends.east_rad[11]])
    assert (np.diff(told[:, 0]) >= 0.0).all()
    assert set(told[:, 4]) <= {CLIMBING, FALLING, GLIDING}
    assert told[told[:, 4] == CLIMBING][-1, 0] == ends.release_s[11]
    up = told[told[:, 4] == CLIMBING]
    tracks = drawn_demo.climbs.tracks
    clock_s = tracks.step_s * np.arange(tracks.amsl_m.shape[1])
    inside = clock_s < ends.release_s[11]
    told_m = np.interp(clock_s[inside], up[:, 0], up[:, 1])
    assert told_m == pytest.approx(tracks.amsl_m[11, inside], abs=0.1)


def test_release_by_height_is_the_first_passage(drawn_demo: Ensemble) -> None:
    ends = flown(drawn_demo, from_moment(drawn_demo, 0), release_s=np.inf, release_amsl_m=22_000.0)
    released = ~ends.burst
    assert released.any()
    assert ends.release_amsl_m[released] == pytest.approx(22_000.0, abs=0.01)
    clocked = flown(
        drawn_demo, from_moment(drawn_demo, 0), release_s=1200.0, release_amsl_m=22_000.0
    )
    assert clocked.release_s == pytest.approx(1200.0)
    already = flown(drawn_demo, from_moment(drawn_demo, 70), release_s=100.0)
    assert already.release_s == pytest.approx(70 * drawn_demo.climbs.tracks.step_s)


@pytest.mark.parametrize("minutes", [60, 95, 120])
def test_a_leaking_flight_is_released_where_its_climb_is(
    drawn_demo: Ensemble, minutes: int
) -> None:
    ensemble = leaking(drawn_demo)
    ends = flown(ensemble, from_moment(ensemble, 0), release_s=60.0 * minutes)
    up_m = ends.release_amsl_m - ensemble.climbs.tracks.amsl_m[:, minutes]
    assert np.abs(up_m[~ends.burst]).max() < 1.0
    assert np.isfinite(ends.landed_s).all()
    assert_same(flown(ensemble, from_moment(ensemble, 45), release_s=60.0 * minutes), ends)


def test_a_leaking_balloon_never_let_go_lands_with_all_tied_on(drawn_demo: Ensemble) -> None:
    # domain: never released it is on the ground at T+181
    ensemble = leaking(drawn_demo)
    ends = flown(ensemble, from_moment(ensemble, 0), release_s=np.inf)
    sunk = ~ends.burst  # some hold more gas than is known and burst first
    assert sunk.sum() > 30
    assert np.isnan(ends.release_s[sunk]).all()
    assert np.isnan(ends.over_field_amsl_m[sunk]).all()
    assert np.median(ends.landed_s[sunk]) / 60.0 == pytest.approx(181.0, rel=0.05)


def test_a_draw_that_is_nowhere_does_not_fly(drawn_demo: Ensemble) -> None:
    begins = from_moment(drawn_demo, 0)
    begins.states[2] = np.nan
    ends = flown(drawn_demo, begins)
    assert np.isnan(ends.landed_s[2])
    assert np.isfinite(ends.landed_s[3])


def test_who_falls_with_the_remains_is_down_when_the_ground_comes_first(
    drawn_demo: Ensemble,
) -> None:
    # 60 m over the field, sinking, and some 10 s until the release would go out
    n, ground_m = len(drawn_demo.draws.swarm.gas_kg), float(drawn_demo.goals.ground_amsl_m[0])
    states = np.tile([5000.0, ground_m + 60.0, 0.0, 0.0], (n, 1))
    ends = flown(drawn_demo, tied_on(states, np.full(n, 12.0)))
    assert np.isnan(ends.release_s).all()
    fallen_s = ends.landed_s - 5000.0
    assert (fallen_s > 3.0).all()
    assert (fallen_s < np.minimum(drawn_demo.draws.reaction_s, 6.5)).all()


def test_a_draw_of_which_something_is_unknown_is_nowhere(drawn_demo: Ensemble) -> None:
    begins = from_moment(drawn_demo, 0)
    begins.gas_kg[3] = np.nan
    ends = flown(drawn_demo, begins)
    assert np.isnan(ends.landed_s[3])
    assert not ends.burst[3]
    assert np.isfinite(np.delete(ends.landed_s, 3)).all()
    states = np.tile([5000.0, 9000.0, 0.0, 0.0], (len(begins.gas_kg), 1))
    speeds = np.where(np.arange(len(states)) == 5, np.nan, 20.0)
    fallen = flown(drawn_demo, tied_on(states, speeds))
    assert np.flatnonzero(np.isnan(fallen.landed_s)).tolist() == [5]


def test_a_balloon_that_floats_for_ever_has_no_end(drawn_demo: Ensemble) -> None:
    # a stiff film holds it up: it never bursts, and nobody lets it go
    envelope = drawn_demo.climbs.balloon.envelope._replace(film_npm=300.0, slack_diameter_m=1.0)
    balloon = drawn_demo.climbs.balloon._replace(envelope=envelope)
    ensemble = replace(drawn_demo, climbs=replace(drawn_demo.climbs, balloon=balloon))
    swarm = ensemble.draws.swarm
    firm = swarm._replace(burst_diameter_m=np.full_like(swarm.burst_diameter_m, 99.0))
    ensemble = replace(ensemble, draws=ensemble.draws._replace(swarm=firm))
    floating = flown(ensemble, from_moment(ensemble, 0), release_s=np.inf)
    still = np.isnan(floating.landed_s)
    assert still.any()
    assert not floating.burst[still].any()
    ordered = flown(ensemble, from_moment(ensemble, 0), release_s=9000.0)
    assert ordered.release_s[still] == pytest.approx(9000.0)


def test_orders_that_no_flight_can_end_under_are_refused(drawn_demo: Ensemble) -> None:
    scene, swarm = drawn_demo.air.scene, drawn_demo.draws.swarm
    (gear, orders), begins = flown_of(drawn_demo), from_moment(drawn_demo, 0)
    low = orders._replace(goal=orders.goal._replace(ground_amsl_m=-500.0))
    with pytest.raises(InputError, match=r"ground_amsl_m is -500 m; allowed: .* where the air"):
        fly(scene, swarm, gear, low, begins)
    never = gear._replace(reaction_s=np.full_like(gear.reaction_s, np.inf))
    with pytest.raises(InputError, match="reaction_s is inf s; allowed: 0 s or more, finite"):
        fly(scene, swarm, never, orders, begins)
    with pytest.raises(InputError, match="reaction_s"):
        flown_track(scene, swarm, never, orders, begins, 0)


def test_a_height_below_the_air_is_refused(drawn_demo: Ensemble) -> None:
    scene, swarm = drawn_demo.air.scene, drawn_demo.draws.swarm
    starts = np.tile([0.0, 5000.0, 0.0, 0.0], (len(swarm.gas_kg), 1))
    falls = Falls(starts, one_eas(np.full(len(starts), 5.0)), -900.0)
    with pytest.raises(InputError, match=r"to_amsl_m is -900 m; allowed: .* where the air begins"):
        descend(scene, swarm, falls)
