"""Tasks: what a plan asks of every kernel, asked once of nothing so that it is compiled."""

from collections.abc import Callable
from typing import Final, NamedTuple

import numpy as np

from farglide.air.moist import _virtual_temperature_k
from farglide.air.standard import pressure_altitude_m, standard_air
from farglide.atlas.terrain import flat
from farglide.balloon.burst import Bursting, burst_diameters_m
from farglide.earth.geodesy import EastNorth, east_north_m
from farglide.earth.heights import _gravity_mps2, geometric_at_m, geopotential_at_m
from farglide.earth.look import look
from farglide.earth.radii import _shortening_ratio
from farglide.earth.state import Place
from farglide.glider.polar import GlideAir, speed_to_fly, steady_glide
from farglide.glider.release import Dropped, Start, _pull_out
from farglide.glider.wing import polar_of
from farglide.power.cells import ends_s
from farglide.power.heat import Around, Body, temperatures_k
from farglide.radio.antenna.kinds import Dipole, pattern_of
from farglide.radio.antenna.pattern import gain_towards_dbi
from farglide.radio.ends.gear import N_SINES
from farglide.radio.path.diffraction import diffraction_loss_db
from farglide.radio.path.parts import Heights, Profile
from farglide.radio.path.space import free_space_loss_db
from farglide.sim.core.draws import Drawn
from farglide.sim.core.losses import Fleet, drop_losses
from farglide.sim.core.moved import moved_goals
from farglide.sim.core.release import begin_glide, field_offset
from farglide.sim.core.shares import burst_shares
from farglide.sim.core.step import Offset, apart_m, layer_index
from farglide.sim.core.tracks import Point, Trails
from farglide.sim.core.wind import mean_wind
from farglide.sim.core.workers import Stretch
from farglide.sim.fly.aside import with_flown
from farglide.sim.fly.climb import Clock, climb, from_hand
from farglide.sim.fly.descend import Falls, one_eas, plunges, trails
from farglide.sim.fly.flight import fly
from farglide.sim.fly.glide import Way
from farglide.sim.fly.homing import Goal
from farglide.sim.fly.level import levelled
from farglide.sim.fly.orders import Gear, Orders, climbing
from farglide.sim.fly.over import Turn
from farglide.sim.fly.passage import fly_way, from_launch_m, held_amsl_m
from farglide.sim.fly.stay import Flyer, stay_over
from farglide.sim.hear.ears import N_GAS, Listeners, Waves, ears_of
from farglide.sim.hear.hearing import margins_db
from farglide.sim.hear.holds import holds, mean_held_ratio
from farglide.sim.nothing import (
    DROP,
    LIMITS,
    N_DRAWS,
    WING,
    for_none,
    no_balloon,
    no_craft,
    no_goals,
    no_reaches,
    no_releases,
    no_scene,
    no_speeds,
    no_states,
    no_straight,
    no_swarm,
)
from farglide.sim.reach.doors import SET_ASIDE, Doors, doors, floors_of
from farglide.sim.reach.glides import Slabs, glides_of
from farglide.sim.reach.reach import FREE, Descent, sum_reach
from farglide.sim.reach.straight import made_good, sum_straight
from farglide.sim.reach.support import FactorRange, tabulate


def climbs() -> None:
    """Compile climbs and the shares of bursts."""
    climbed = climb(no_scene(), no_swarm(N_DRAWS), no_balloon(), Clock(0.0, 30.0, 60.0))
    law = Bursting(6.0, 0.3, 0.03, 1.5)
    burst_shares(climbed.tracks, law)
    burst_diameters_m(law, np.zeros(N_DRAWS))


def whole_flights() -> None:
    """Compile pull-outs and flights from the ground to the ground."""
    scene, polar, nobody = no_scene(), polar_of(WING), np.ones(N_DRAWS)
    _pull_out(Dropped(polar, DROP, 1.0), scene.layers, Start(1.0, 0.0), 11.0)
    fleet = Fleet(polar, DROP, nobody, nobody)
    drop_losses(scene.layers, fleet, 11.0)
    orders = Orders(0.0, Goal(0.0, 0.0, 0.0, 1.1, 11.0), 11.0, 0.2)
    gear = Gear(no_balloon(), fleet, no_speeds(), nobody)
    swarm = no_swarm(N_DRAWS)
    fly(scene, swarm, gear, orders, climbing(from_hand(swarm, 0.0)))


def ways_down() -> None:
    """Compile the single glides and falls of an answer."""
    scene, craft = no_scene(), no_craft()
    fly_way(scene, craft, Way(1.0, 0.0, 0.0), Point(0.0, 100.0, 0.0, 0.0), 100.0)
    held_amsl_m(scene, no_reaches(), 1.0, Descent(100.0, 100.0))
    stay_over(scene, Flyer(craft, no_speeds()), Descent(100.0, 100.0), Turn())
    falls = Falls(np.zeros((N_DRAWS, 4)), one_eas(np.ones(N_DRAWS)), 0.0)
    trails(scene, no_swarm(N_DRAWS), falls, np.zeros(1))
    plunges(scene, no_swarm(N_DRAWS), falls, np.zeros(1))
    mean_wind(scene, 100.0)


def air_and_speeds() -> None:
    """Compile the one-line laws that a column and the tables call one by one."""
    pressure_altitude_m(standard_air(1000.0).p_pa)
    _virtual_temperature_k(288.0, 1e5, 0.5)
    _gravity_mps2(geometric_at_m(geopotential_at_m(1000.0, 45.0), 45.0))
    _shortening_ratio(1000.0)
    here = Place(lat_deg=45.0, lon_deg=0.0, amsl_m=0.0)
    east_north_m(here, Place(lat_deg=45.1, lon_deg=0.1, amsl_m=0.0))
    polar, air = polar_of(WING), GlideAir(1.225, 1.8e-5, 1.0)
    steady_glide(polar, speed_to_fly(polar, air, 32.0), air)


def reach_tables() -> None:
    """Compile the tables of speeds to fly, the sums of reach and what asks them."""
    scene, nobody = no_scene(), np.ones(N_DRAWS)
    drawn = Drawn(no_swarm(N_DRAWS), *5 * (nobody,), np.ones((N_DRAWS, 3)), nobody)
    rows, factors = Stretch(0, 1), FactorRange(1.0, 1.0)
    glides = glides_of(scene, no_craft(), no_speeds(), Slabs(1, 1), rows, factors)
    sum_straight(scene, glides, drawn)
    support = tabulate(scene.layers, polar_of(WING), LIMITS, FactorRange(1.0, 1.0), for_none)
    sum_reach(scene, support, drawn, FREE)
    made_good(no_straight(), Descent(300.0, 100.0), EastNorth(0.0, 0.0))
    from_launch_m(scene, 0.0, 0.0)
    apart_m(scene.frame, Offset(0.0, 0.0), Offset(0.0, 0.0))
    layer_index(scene.layers, 1.0)


def doors_of_fields() -> None:
    """Compile what is open when, flights that are set aside, and the begin of a glide."""
    scene, releases, reaches = no_scene(), no_releases(), no_reaches()
    floors, states = floors_of(scene, releases, reaches, no_goals()), no_states()
    doors(scene, releases, states, reaches, floors)
    aside = Doors(np.full((1, 1, 1), SET_ASIDE, np.uint8), np.zeros((1, 1, 1)))
    with_flown(scene, releases, states, reaches, floors, aside)
    moved_goals(scene, no_goals(), np.zeros(N_DRAWS), np.zeros(N_DRAWS))
    begin_glide(scene, releases, 0, Point(0.0, 100.0, 0.0, 0.0))
    field_offset(no_goals(), 0)


def hearing() -> None:
    """Compile the fan, the margins along flights and the chance that the links hold."""
    look(Place(lat_deg=45.0, lon_deg=0.0, amsl_m=0.0), Place(lat_deg=45.1, lon_deg=0.0, amsl_m=0.0))
    free_space_loss_db(1e9, 1000.0)
    gain_towards_dbi(pattern_of(Dipole()), 60.0)
    diffraction_loss_db(
        1e9, Profile(np.linspace(0.0, 3e4, 9), np.zeros(9)), Heights(2.0, 2.0), 8.5e6
    )
    scene = no_scene()
    ears = ears_of([Place(lat_deg=45.0, lon_deg=0.0, amsl_m=3.0)], flat(0.0), 1000.0)
    tables = np.zeros((1, N_GAS)), np.ones(1), np.zeros((1, N_SINES))
    waves = Waves(np.zeros(1), np.ones(1), *tables, np.ones(1))
    listeners, nowhere = Listeners(ears, waves), np.full((1, 1), np.nan)
    margins_db(listeners, scene.frame, Trails(nowhere, nowhere, nowhere))
    holds(scene, no_releases(), no_states(), listeners, no_goals())
    mean_held_ratio(np.zeros(1), 1.0)


def trails_and_warmth() -> None:
    """Compile the begins of glides, and how warm small bodies get on the way."""
    scene = no_scene()
    levelled(scene, no_releases(), np.full((1, 4), np.nan))
    around = Around(30.0, *(np.full((1, 2), value) for value in (280.0, 1.0, 1.0, 280.0, 1.0)))
    body = Body(mass_kg=0.1, specific_heat_jpkgk=900.0, area_m2=0.01)
    warm_k = temperatures_k(body, around, np.full(1, 280.0))
    ends_s(warm_k, 30.0, 1.0, 10.0, ((250.0, 0.5), (300.0, 1.0)))


class Task(NamedTuple):
    """Kernels that are compiled together, and the share that they are of compiling for a plan."""

    compiles: Callable[[], None]
    share_ratio: float

    @property
    def name(self) -> str:
        """Return the task in words."""
        return self.compiles.__name__.replace("_", " ")


TASKS: Final = (
    Task(climbs, 0.16),
    Task(whole_flights, 0.19),
    Task(reach_tables, 0.11),
    Task(ways_down, 0.07),
    Task(air_and_speeds, 0.04),
    Task(trails_and_warmth, 0.06),
    Task(doors_of_fields, 0.12),
    Task(hearing, 0.25),
)
"""What is compiled for a plan. Neighbours share kernels: two processes begin at the ends and meet
at small tasks, so that neither waits long for the other."""
