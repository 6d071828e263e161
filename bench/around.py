"""Flights in winds that differ from place to place and from hour to hour, beside one column."""

from typing import Any

import numpy as np

from bench.scene import demo_ensemble, flight_parts
from bench.timing import Row, best_s
from farglide.air.sounding import Sounding
from farglide.air.windgrid import WindGrid
from farglide.compute import on_threads
from farglide.rig.around import cube_of
from farglide.rig.profile import LONGEST_S
from farglide.sim.fly.flight import fly
from farglide.sortie.spec import Launch

_RELEASE_S = 4500.0
_STEP_DEG = 0.25
_HALF_DEG = 4.0
_N_HOURS = 9


def laid_out(sounding: Sounding, launch: Launch, n_members: int = 1) -> WindGrid:
    """Return a forecast as weather services give them: hourly, a quarter of a degree apart."""
    rng = np.random.default_rng(1)
    half = np.arange(-_HALF_DEG, _HALF_DEG + 1e-6, _STEP_DEG)
    lat_deg, lon_deg = launch.lat_deg + half, launch.lon_deg + 1.5 * half
    times_s = launch.t_s + 3600.0 * (np.arange(_N_HOURS) - 1.0)
    levels = np.unique(np.linspace(0, len(sounding.p_pa) - 1, 31).astype(int))
    shape = n_members, _N_HOURS, len(levels), len(lat_deg), len(lon_deg)

    def field(name: str, sd: float) -> Any:
        level = getattr(sounding, name)[levels][:, None, None]
        return (level + sd * rng.standard_normal(shape)).astype(np.float32)

    return WindGrid(
        times_s=times_s, p_pa=sounding.p_pa[levels], lat_deg=lat_deg, lon_deg=lon_deg,
        members=tuple(f"member {k}" for k in range(n_members)),
        gph_m=field("gph_m", 5.0), t_k=field("t_k", 0.3), u_mps=field("u_mps", 1.0),
        v_mps=field("v_mps", 1.0),
    )  # fmt: skip


def around_rows(n_flights: int) -> list[Row]:
    """Whole flights home, in turn in a column and in a cube beside it, and how long it is made."""
    ensemble = demo_ensemble(n_flights, prices_mps=(8.0,), slab=5)
    parts, swarm = flight_parts(ensemble, _RELEASE_S), ensemble.draws.swarm
    air, launch, two = ensemble.air, ensemble.sortie.launch, on_threads(2)
    grid = laid_out(air.sounding, launch)
    edges_m = air.column.edges_amsl_m
    made_s = best_s(lambda: cube_of(grid, launch, edges_m, LONGEST_S))
    scene = air.scene._replace(cube=cube_of(grid, launch, edges_m, LONGEST_S))
    column_s, cube_s = [], []
    for _ in range(5):
        column_s.append(best_s(lambda: fly(air.scene, swarm, *parts, two), 1))
        cube_s.append(best_s(lambda: fly(scene, swarm, *parts, two), 1))
    return [
        ("flights a second in 4-D wind, 2 threads", f"{n_flights / min(cube_s):,.0f}",
         "bar 25 000"),
        ("  against one column, in turn", f"{min(cube_s) / min(column_s):.2f} x as long",
         "bar 2.5 x"),
        (f"  a forecast of {len(grid.p_pa)} levels, {len(grid.times_s)} hours cut into layers",
         f"{made_s:.2f} s", ""),
    ]  # fmt: skip
