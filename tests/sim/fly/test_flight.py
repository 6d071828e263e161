"""Flight: whole flights against a slow twin in small steps, and what they do at the limits."""

import importlib.util
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from types import ModuleType
from typing import Any, Final

import numpy as np
import pytest
from numpy.typing import NDArray

from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.compute import on_threads
from farglide.glider.polar import _slowest_eas
from farglide.sim.core.airerrors import no_air_errors
from farglide.sim.core.draws import Drawn
from farglide.sim.core.losses import Fleet
from farglide.sim.core.scene import Scene, Swarm
from farglide.sim.fly.climb import Clock, climb, from_hand
from farglide.sim.fly.flight import fly
from farglide.sim.fly.homing import Goal
from farglide.sim.fly.orders import Begins, Ends, Gear, Orders, climbing
from farglide.sim.reach.bearings import N_BEARING
from farglide.sim.reach.drawnglider import DrawnGlider, Limits
from farglide.sim.reach.speeds import speeds_of
from farglide.sortie.grain import Grain
from farglide.sortie.known import Known
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie

HOME_S: Final = 75 * 60.0
SHORT_S: Final = 45 * 60.0
N_TWIN: Final = 12


@pytest.fixture(scope="module")
def plain_flight() -> ModuleType:
    path = Path(__file__).parents[2] / "plain_flight.py"
    spec = importlib.util.spec_from_file_location("plain_flight", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


FEW: Final = Grain(n_draws=50, seed=3, clock_s=60.0, prices_mps=(8.0,), slab=5)


def few_draws(sortie: Sortie, pack: Pack) -> Ensemble:
    return drawn_ensemble(sortie, pack.sounding, FEW)


@pytest.fixture(scope="module")
def ensemble(demo: tuple[Sortie, Pack], smoothly_drawn: Callable[..., Ensemble]) -> Ensemble:
    """Return the demo in fifty draws, with air that rises and sinks, and a crew that is slow."""
    sortie, pack = demo
    doubt = replace(sortie.doubt, vertical_mps=0.2)
    drop = replace(sortie.drop, reaction_s=Known(value=10.0, sd=3.0))
    return smoothly_drawn(replace(sortie, doubt=doubt, drop=drop), pack, FEW)


def picked(ensemble: Ensemble, rows: NDArray[np.int64]) -> Ensemble:
    """Return an ensemble of some of its draws; a draw may be taken twice."""
    drawn = ensemble.draws
    swarm = Swarm(*(array[rows] for array in drawn.swarm))
    return replace(ensemble, draws=Drawn(swarm, *(array[rows] for array in drawn[1:])))


def orders_of(ensemble: Ensemble, release_s: float) -> Orders:
    goals = ensemble.goals
    goal = Goal(
        north_rad=float(goals.north_rad[0]),
        east_rad=float(goals.east_rad[0]),
        ground_amsl_m=float(goals.ground_amsl_m[0]),
        circle_load=1.155,
        circle_eas_mps=11.0,
    )
    return Orders(release_s, goal, ensemble.craft.best_eas_mps, remains_area_m2=0.2)


def gear_of(ensemble: Ensemble, scene: Scene) -> Gear:
    drawn = ensemble.draws
    craft = ensemble.craft
    fleet = Fleet(craft.polar, craft.drop, drawn.glide_factor, drawn.drop_drag)
    speeds = speeds_of(scene, craft_of(ensemble), np.zeros(1))
    return Gear(ensemble.climbs.balloon, fleet, speeds, drawn.reaction_s)


def craft_of(ensemble: Ensemble) -> DrawnGlider:
    return DrawnGlider(ensemble.craft.polar, ensemble.craft.limits, 1.0)


def from_launch(ensemble: Ensemble) -> Begins:
    return climbing(from_hand(ensemble.draws.swarm, ensemble.sortie.launch.amsl_m))


def flown(
    ensemble: Ensemble,
    orders: Orders,
    scene: Scene | None = None,
    begins: Begins | None = None,
    **how: Any,
) -> Ends:
    air = ensemble.air.scene if scene is None else scene
    begins = from_launch(ensemble) if begins is None else begins
    return fly(air, ensemble.draws.swarm, gear_of(ensemble, air), orders, begins, **how)


def from_field_m(ensemble: Ensemble, ends: Any, orders: Orders) -> tuple[Any, Any]:
    """Return metres north and east of the field."""
    frame = ensemble.air.scene.frame
    return (
        (ends.north_rad - orders.goal.north_rad) * frame.meridian_m,
        (ends.east_rad - orders.goal.east_rad) * frame.normal_m * frame.cosine,
    )


# --- the slow twin -------------------------------------------------------------------------------


@pytest.mark.slow
def test_whole_flights_end_where_and_when_the_slow_twin_ends(
    ensemble: Ensemble, plain_flight: ModuleType
) -> None:
    """Twelve draws released at T+75, which come home, and at T+45, which fall short of it."""
    early_burst = np.nonzero(ensemble.climbs.burst.after_launch_s < HOME_S)[0]
    rows = np.concatenate([early_burst[:2], np.arange(50)])[:N_TWIN].astype(np.int64)
    twice = picked(ensemble, np.concatenate([rows, rows]))
    release_s = np.repeat([HOME_S, SHORT_S], N_TWIN)
    orders = orders_of(ensemble, HOME_S)
    speeds = speeds_of(ensemble.air.scene, craft_of(ensemble), np.zeros(1))
    twin = plain_flight.PlainFlights(twice, speeds, orders, 0.30).fly(release_s, 1.0)
    for release, some in ((HOME_S, slice(0, N_TWIN)), (SHORT_S, slice(N_TWIN, None))):
        fast = flown(picked(ensemble, rows), orders_of(ensemble, release))
        slow = type(twin)(*(array[some] for array in twin))
        assert (fast.burst == slow.burst).all()
        assert fast.release_s == pytest.approx(slow.release_s, abs=0.5)
        assert fast.release_amsl_m == pytest.approx(slow.release_amsl_m, abs=3.0)
        assert fast.landed_s == pytest.approx(slow.landed_s, rel=1e-3)
        assert (np.isnan(fast.over_field_amsl_m) == np.isnan(slow.over_amsl_m)).all()
        ours, theirs = from_field_m(ensemble, fast, orders), from_field_m(ensemble, slow, orders)
        apart_m = np.hypot(ours[0] - theirs[0], ours[1] - theirs[1])
        assert apart_m.max() < 20.0
        short = np.isnan(slow.over_amsl_m)
        assert np.median(apart_m[short] if short.any() else apart_m) < 3.0
        there = ~short
        assert fast.over_field_amsl_m[there] == pytest.approx(slow.over_amsl_m[there], abs=200.0)
    assert twin.burst.any()
    assert (~np.isnan(twin.over_amsl_m[:N_TWIN])).sum() >= 9
    assert np.isnan(twin.over_amsl_m[N_TWIN:]).sum() >= 9


# --- draws and threads ---------------------------------------------------------------------------


def test_threads_change_no_bit(ensemble: Ensemble) -> None:
    one = flown(ensemble, orders_of(ensemble, HOME_S))
    for n_threads in (1, 2):
        other = flown(ensemble, orders_of(ensemble, HOME_S), workers=on_threads(n_threads))
        for a, b in zip(one, other, strict=True):
            assert a.tobytes() == b.tobytes()


def test_a_draw_alone_flies_as_in_the_crowd(ensemble: Ensemble) -> None:
    crowd = flown(ensemble, orders_of(ensemble, HOME_S))
    for i in (0, 17, 49):
        alone = flown(picked(ensemble, np.array([i])), orders_of(ensemble, HOME_S))
        for a, b in zip(alone, crowd, strict=True):
            assert a.tobytes() == b[i : i + 1].tobytes()


# --- the burst -----------------------------------------------------------------------------------


def test_a_burst_before_the_order_sends_the_release_after_the_reaction(ensemble: Ensemble) -> None:
    ends = flown(ensemble, orders_of(ensemble, 2.0 * 3600.0))
    assert ends.burst.all()
    # the climb of sim.climb bursts at the same time and height: two forms of one law
    at_s = ensemble.climbs.burst.after_launch_s + ensemble.draws.reaction_s
    assert ends.release_s == pytest.approx(at_s, abs=1.0)
    fallen_m = ensemble.climbs.burst.amsl_m - ends.release_amsl_m
    # from rest under gravity at most, and at most as fast as 1.96 kg on 0.2 m2 fall in 0.012 kg/m3
    assert (fallen_m > 100.0).all()
    free_m = 0.5 * 9.81 * ensemble.draws.reaction_s**2
    assert (fallen_m < np.minimum(free_m, 125.0 * ensemble.draws.reaction_s) + 0.1).all()


def test_an_order_before_the_burst_is_kept_to_the_second(ensemble: Ensemble) -> None:
    ends = flown(ensemble, orders_of(ensemble, SHORT_S))
    assert not ends.burst.any()
    assert ends.release_s == pytest.approx(np.full(50, SHORT_S), abs=1e-6)
    j = round(SHORT_S / ensemble.climbs.tracks.step_s)
    assert ends.release_amsl_m == pytest.approx(ensemble.climbs.tracks.amsl_m[:, j], abs=2.0)


def test_the_share_of_bursts_is_that_of_the_climbs(ensemble: Ensemble) -> None:
    for minutes in (70.0, 80.0, 85.0):
        ends = flown(ensemble, orders_of(ensemble, 60.0 * minutes))
        assert (ends.burst == (ensemble.climbs.burst.after_launch_s < 60.0 * minutes)).all()


# --- film, leak, float ---------------------------------------------------------------------------


@pytest.mark.parametrize("stiffness_npm", [20.0, 50.0, 120.0])
def test_a_stiff_film_climbs_as_in_sim_climb(
    demo: tuple[Sortie, Pack], stiffness_npm: float
) -> None:
    sortie, pack = demo
    stiff = replace(sortie, balloon=replace(sortie.balloon, film_stiffness_npm=stiffness_npm))
    ensemble = few_draws(stiff, pack)
    slack = flown(few_draws(sortie, pack), orders_of(ensemble, SHORT_S))
    ends = flown(ensemble, orders_of(ensemble, SHORT_S))
    j = round(SHORT_S / ensemble.climbs.tracks.step_s)
    assert ends.release_amsl_m == pytest.approx(ensemble.climbs.tracks.amsl_m[:, j], abs=3.0)
    assert (slack.release_amsl_m - ends.release_amsl_m > 1.0).all()  # the film costs lift
    late = flown(ensemble, orders_of(ensemble, 3.0 * 3600.0))
    bursts = ~np.isnan(ensemble.climbs.burst.after_launch_s)
    at_s = (ensemble.climbs.burst.after_launch_s + ensemble.draws.reaction_s)[bursts]
    assert late.release_s[bursts] == pytest.approx(at_s, rel=1e-3)


def test_a_balloon_that_tops_out_floats_with_the_wind(ensemble: Ensemble) -> None:
    """A film so stiff that the climb ends: the fast form stops there, the slow form creeps on."""
    envelope = ensemble.climbs.balloon.envelope._replace(film_npm=400.0, slack_diameter_m=1.6)
    balloon = ensemble.climbs.balloon._replace(envelope=envelope)
    drawn = ensemble.draws._replace(
        swarm=ensemble.draws.swarm._replace(burst_diameter_m=np.full(50, 15.0))
    )
    climbs = replace(ensemble.climbs, balloon=balloon)
    floating = replace(ensemble, climbs=climbs, draws=drawn)
    release_s = 2.5 * 3600.0
    ends = flown(floating, orders_of(ensemble, release_s))
    start = Clock(ensemble.sortie.launch.amsl_m, 60.0, release_s)
    tracks, _ = climb(ensemble.air.scene, drawn.swarm, balloon, start)
    j = round(release_s / 60.0)
    assert not ends.burst.any()
    assert (np.abs(tracks.amsl_m[:, j] - tracks.amsl_m[:, j - 30]) < 200.0).all()
    assert np.median(np.abs(ends.release_amsl_m - tracks.amsl_m[:, j])) < 300.0
    assert ends.release_s == pytest.approx(np.full(50, release_s))


# --- winds too strong ----------------------------------------------------------------------------


def without_errors(ensemble: Ensemble) -> Ensemble:
    """Return the ensemble whose draws all have the forecast's own winds."""
    swarm = ensemble.draws.swarm
    still = no_air_errors(*swarm.home_east_mps.shape)._asdict()
    return replace(ensemble, draws=ensemble.draws._replace(swarm=swarm._replace(**still)))


def blown(ensemble: Ensemble, u_mps: float, v_mps: float, between: tuple[int, int]) -> Scene:
    """Return the scene with another wind between two layers."""
    layers = ensemble.air.scene.layers
    u, v = layers.u_mps.copy(), layers.v_mps.copy()
    u[0, slice(*between)], v[0, slice(*between)] = u_mps, v_mps
    return ensemble.air.scene._replace(layers=layers._replace(u_mps=u, v_mps=v))


@pytest.mark.parametrize("wind", [(90.0, 0.0), (-90.0, 0.0), (0.0, 90.0), (60.0, -60.0)])
def test_a_wind_beyond_the_airspeed_sets_the_glider_down_wind(
    ensemble: Ensemble, wind: tuple[float, float]
) -> None:
    """A jet across, against and along the way home, from 3 to 8 km, in place of the demo's wind."""
    orders = orders_of(ensemble, SHORT_S)
    still = flown(ensemble, orders, blown(ensemble, 0.0, 0.0, (28, 78)))
    jet = flown(ensemble, orders, blown(ensemble, *wind, (28, 78)))
    for array in (jet.landed_s, jet.north_rad, jet.east_rad):
        assert np.isfinite(array).all()
    north, east = from_field_m(ensemble, jet, orders)
    north0, east0 = from_field_m(ensemble, still, orders)
    # the balloon drifts with the jet as well on its way up: all of it is down wind
    moved = (wind[0] * (east - east0) + wind[1] * (north - north0)) / np.hypot(*wind)
    assert np.median(moved) > 10_000.0


# near the top speed the path is so steep that a little slip is left
@pytest.mark.parametrize(("speed_mps", "slip_m"), [(14.0, 5.0), (19.0, 5.0), (24.0, 30.0)])
def test_over_the_field_it_holds_against_a_wind_it_can_outfly(
    ensemble: Ensemble, speed_mps: float, slip_m: float
) -> None:
    ensemble, orders = without_errors(ensemble), orders_of(ensemble, HOME_S)
    ends = flown(ensemble, orders, blown(ensemble, speed_mps, 0.0, (0, 20)))
    home = ends.over_field_amsl_m > 4000.0
    assert home.sum() > 30
    north, east = from_field_m(ensemble, ends, orders)
    assert np.hypot(north, east)[home] == pytest.approx(0.0, abs=slip_m)
    gentle = flown(ensemble, orders, blown(ensemble, 0.0, 0.0, (0, 20)))
    # facing a wind is flown faster than circling, and so is down earlier
    assert np.median(ends.landed_s[home] - gentle.landed_s[home]) < -60.0


def test_over_the_field_a_faster_wind_carries_it_off(ensemble: Ensemble) -> None:
    ensemble, orders = without_errors(ensemble), orders_of(ensemble, HOME_S)
    ends = flown(ensemble, orders, blown(ensemble, 45.0, 0.0, (0, 20)))
    north, east = from_field_m(ensemble, ends, orders)
    assert np.isnan(ends.over_field_amsl_m).all()  # those that came over it came not to stay
    assert (east > 300.0).all()
    assert (np.abs(north) < 1.0).mean() > 0.5  # straight down the wind


# --- limits ----------------------------------------------------------------------


def test_no_speed_flown_is_beyond_the_caps(ensemble: Ensemble) -> None:
    layers = ensemble.air.scene.layers
    for limits in (ensemble.craft.limits, Limits(20.0, 0.3), Limits(32.0, 0.15)):
        own = DrawnGlider(ensemble.craft.polar, limits, 1.0)
        eas = speeds_of(ensemble.air.scene, own, np.array([0.0, 30.0])).eas_mps
        cap = np.minimum(
            limits.top_eas_mps, limits.top_mach * layers.sound_mps / layers.tas_per_eas
        )
        slowest = float(_slowest_eas(ensemble.craft.polar))
        assert eas.shape == (2, len(layers.p_pa), N_BEARING)
        assert (eas <= np.maximum(cap, slowest)[:, None] + 1e-5).all()
        assert (eas >= slowest - 1e-5).all()
        # the dearer a second, the faster
        assert (eas[1] >= eas[0] - 1e-3).all()
