"""Flown home: what the tables say in winds that differ from place to place, beside flown glides."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.air.windgrid import WindGrid
from farglide.arrays import BoolArray, FloatArray, SingleArray
from farglide.chances.chances import reached, states_of_climb
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.flightfile.flightfile import FlightFile
from farglide.sim.core.losses import Fleet
from farglide.sim.fly.climb import from_hand
from farglide.sim.fly.flight import fly
from farglide.sim.fly.homing import Goal
from farglide.sim.fly.orders import Gear, Orders, climbing
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Launch

N = 200
GRAIN = Grain(n_draws=N, prices_mps=(1.0, 4.0, 8.0, 14.0, 24.0, 60.0))
KM_PER_DEG = 111.2


def around(sounding: Sounding, launch: Launch, east: float, later: float) -> WindGrid:
    """Return the sounding everywhere, but m/s stronger each 100 km to the east and each hour.

    Twice as much above 10 km as half-way up to it; the wind to the north half as much as that to
    the east.
    """
    lat_deg = launch.lat_deg + np.arange(-4.0, 4.01, 0.5)
    lon_deg = launch.lon_deg + np.arange(-6.0, 6.01, 0.5)
    after_h = np.arange(-1.0, 8.0)
    east_km = KM_PER_DEG * np.cos(np.radians(launch.lat_deg)) * (lon_deg - launch.lon_deg)
    shape = 1, len(after_h), len(sounding.p_pa), len(lat_deg), len(lon_deg)
    more = east * east_km / 100.0 + later * after_h[:, None, None, None]
    more = np.minimum(sounding.gph_m / 1e4, 1.0)[:, None, None] * more

    def field(level: FloatArray, off: FloatArray) -> SingleArray:
        values = np.broadcast_to(level[:, None, None] + off, shape)
        return np.ascontiguousarray(values, dtype=np.float32)

    return WindGrid(
        times_s=launch.t_s + 3600.0 * after_h, p_pa=sounding.p_pa, lat_deg=lat_deg,
        lon_deg=lon_deg, gph_m=field(sounding.gph_m, 0.0 * more),
        t_k=field(sounding.t_k, 0.0 * more), u_mps=field(sounding.u_mps, more),
        v_mps=field(sounding.v_mps, 0.5 * more),
    )  # fmt: skip


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
