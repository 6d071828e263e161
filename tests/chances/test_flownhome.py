"""Flown home: what the tables say in winds that differ from place to place, beside flown glides."""

from dataclasses import replace

import numpy as np
import pytest
from tests.around import around

from farglide.air.sounding import Sounding
from farglide.arrays import BoolArray
from farglide.chances.chances import reached, states_of_climb
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.flightfile.flightfile import FlightFile
from farglide.sim.core.losses import Fleet
from farglide.sim.fly.climb import from_hand
from farglide.sim.fly.flight import fly
from farglide.sim.fly.homing import Goal
from farglide.sim.fly.orders import Gear, Orders, climbing
from farglide.sortie.grain import Grain

N = 200
GRAIN = Grain(n_draws=N, prices_mps=(1.0, 4.0, 8.0, 14.0, 24.0, 60.0))


def flown_home(ensemble: Ensemble, release_s: float) -> BoolArray:
    """Tell which draws come over the first field above its arrival height, in whatever time."""
    craft, drawn, goals = ensemble.craft, ensemble.draws, ensemble.goals
    goal = Goal(*(float(one[0]) for one in goals[:3]), 1.155, 11.0)
    fleet = Fleet(craft.polar, craft.drop, drawn.glide_factor, drawn.drop_drag)
    gear = Gear(ensemble.climbs.balloon, fleet, ensemble.reach.reaches.speeds, np.zeros(N))
    swarm = drawn.swarm._replace(burst_diameter_m=np.full(N, 99.0))
    begins = climbing(from_hand(swarm, ensemble.sortie.launch.amsl_m))
    orders = Orders(release_s, goal, craft.best_eas_mps, 0.2)
    ends = fly(ensemble.air.scene, swarm, gear, orders, begins)
    return np.asarray(ends.over_field_amsl_m >= goals.arrival_amsl_m[0])


@pytest.mark.slow
@pytest.mark.parametrize(("east", "later"), [(3.0, 0.0), (-3.0, 0.0), (0.0, 1.5), (-3.0, -1.5)])
def test_the_tables_hold_in_winds_that_differ_from_place_to_place(
    demo_flight: FlightFile, demo_sounding: Sounding, east: float, later: float
) -> None:
    """The share that comes home is told within 2 points, whenever it is let go up to the burst."""
    sortie = replace(demo_flight.sortie, links=(), stands=(), terrain=None)
    winds = around(demo_sounding, sortie.launch, east, later)
    ensemble = drawn_ensemble(sortie, replace(demo_sounding, around=winds), GRAIN)
    alone = drawn_ensemble(sortie, demo_sounding, GRAIN)
    step_s, shifts = ensemble.climbs.tracks.step_s, list[float]()
    for minutes in (20, 35, 45, 50, 55, 60, 70):
        at = np.array([round(60.0 * minutes / step_s)])
        said, column = (
            reached(one, states_of_climb(one, at), one.goals, None)[0][:, 0, 0]
            for one in (ensemble, alone)
        )
        came = flown_home(ensemble, 60.0 * minutes)
        assert said.mean() == pytest.approx(came.mean(), abs=0.0201)
        assert (said != came).mean() <= 0.03
        shifts.append(abs(float(said.mean() - column.mean())))
    assert max(shifts) > 0.04  # the column alone would have told another chance
