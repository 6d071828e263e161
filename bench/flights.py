"""Complete flights a second, beside the same laws stepped naively and by an adaptive solver."""

import time
from typing import Any

import numpy as np

from bench.naive import adaptive, step_some
from bench.scene import demo_ensemble, flight_parts
from bench.timing import Row, best_s
from farglide.compute import on_threads
from farglide.sim.core.workers import Stretch
from farglide.sim.fly.flight import fly
from farglide.sim.fly.orders import Ends

_LATE_S, _GAP_S = 4500.0, 2700.0


def _ends(n: int) -> Ends:
    return Ends(np.zeros(n, np.bool_), *(np.full(n, np.nan) for _ in Ends._fields[1:]))


def _stepped(ensemble: Any, parts: Any, n: int, step_s: float) -> Ends:
    gear, orders, begins = parts
    ends, some, start_m = _ends(n), Stretch(0, n), begins.states[0, 1]
    step_some(ensemble.air.scene, ensemble.draws.swarm, gear, orders, some, step_s, start_m, ends)
    return ends


def _apart_m(a: Ends, b: Ends, ensemble: Any) -> Any:
    frame = ensemble.air.scene.frame
    north = (a.north_rad - b.north_rad) * frame.meridian_m
    east = (a.east_rad - b.east_rad) * frame.normal_m * frame.cosine
    return np.hypot(north, east)


def flights_rows(n_flights: int) -> list[Row]:
    """Speed on one and two threads, ratios per core, and end points against small steps."""
    ensemble = demo_ensemble(n_flights, prices_mps=(8.0,), slab=5)
    parts = flight_parts(ensemble, _LATE_S)
    gear, orders, begins = parts
    swarm = ensemble.draws.swarm
    one_s = best_s(lambda: fly(ensemble.air.scene, swarm, gear, orders, begins))
    two = on_threads(2)
    two_s = best_s(lambda: fly(ensemble.air.scene, swarm, gear, orders, begins, two))
    few = min(400, n_flights)
    heun_s = best_s(lambda: _stepped(ensemble, parts, few, 20.0), 3) / few
    began = time.perf_counter()
    n_adaptive = 6
    for i in range(n_adaptive):
        adaptive(ensemble.air.scene, swarm, gear, orders, float(begins.states[i, 1]), i)
    adaptive_s = (time.perf_counter() - began) / n_adaptive
    per_flight_s = one_s / n_flights
    rows = [
        ("complete flights a second, 2 threads", f"{n_flights / two_s:,.0f}", "bar 50 000"),
        ("complete flights a second, 1 thread", f"{n_flights / one_s:,.0f}", ""),
        ("  against Heun in 20 s steps, compiled", f"{heun_s / per_flight_s:.1f} x", "bar 10 x"),
        (
            "  against scipy solve_ivp RK45, same laws",
            f"{adaptive_s / per_flight_s:,.0f} x",
            "bar 1 500 x",
        ),
    ]
    for name, release_s in (("home from T+75", _LATE_S), ("short of home from T+45", _GAP_S)):
        parts = flight_parts(ensemble, release_s)
        fast = fly(ensemble.air.scene, swarm, *parts)
        fine, coarse = _stepped(ensemble, parts, few, 0.5), _stepped(ensemble, parts, few, 20.0)
        short = Ends(*(array[:few] for array in fast))
        ours = np.nanpercentile(_apart_m(short, fine, ensemble), [50, 99])
        theirs = np.nanpercentile(_apart_m(coarse, fine, ensemble), [50, 99])
        rows.append(
            (
                f"  end points, {name}",
                f"{ours[0]:.1f} m median, {ours[1]:.1f} m 99 %",
                f"bar 3 m, 20 m; Heun 20 s: {theirs[0]:.0f} m, {theirs[1]:.0f} m",
            )
        )
    return rows
