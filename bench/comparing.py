"""Launches compared: ten times, twenty spots, 200 draws each, in a forecast's winds."""

import resource
import sys
import time
from dataclasses import dataclass, replace
from typing import Final

from bench.around import laid_out
from bench.timing import Row
from farglide.air.gridcolumn import sounding_over
from farglide.air.sounding import Sounding
from farglide.air.windgrid import WindGrid
from farglide.cli.inputs import Wanted, flight_and_pack
from farglide.cli.plan import DEMO
from farglide.compute import on_threads
from farglide.earth.state import Place
from farglide.plan.polarfit import with_fitted_polar
from farglide.season.compared import Choice, compared
from farglide.season.executors import here, in_processes
from farglide.season.places import Lattice
from farglide.season.world import World
from farglide.sortie.grain import Grain

_TWENTY: Final = Lattice(25_000.0, 60_000.0)
_EVERY_S: Final = 600.0


@dataclass(frozen=True)
class _Held:
    """A forecast in memory."""

    grid: WindGrid

    def __call__(self, place: Place, t_s: float) -> Sounding:
        return replace(sounding_over(self.grid, place, t_s), around=self.grid)


def comparing_rows() -> list[Row]:
    """One time warm, then ten of them in this process and in two, and the memory it took."""
    flight, pack = flight_and_pack(Wanted(file=DEMO, winds=None, pack=None, out=None))
    launch = flight.sortie.launch
    winds = _Held(laid_out(pack.sounding, launch))
    world = World(flight=with_fitted_polar(flight), winds=winds, terrain=pack.terrain)
    times_s = tuple(launch.t_s + _EVERY_S * k for k in range(10))
    every = Choice(times_s=times_s, lattice=_TWENTY, necks_kg=(), grain=Grain(n_draws=200))
    one, two = replace(every, times_s=times_s[:1]), on_threads(2)
    compared(world, one, here(two))
    began = time.perf_counter()
    compared(world, one, here(two))
    one_s, began = time.perf_counter() - began, time.perf_counter()
    found = compared(world, every, here(two))
    ten_s = time.perf_counter() - began
    alone_s, shared_s = (_took_s(world, every, n) for n in (1, 2))
    return [
        (f"10 launch times x {len(found.spots)} spots x 200 draws, 2 threads", f"{ten_s:.1f} s",
         "bar 30 s"),
        ("  one launch time", f"{one_s:.1f} s", "bar 2 s"),
        ("  2 processes against 1, in turn", f"{alone_s / shared_s:.2f} x", ""),
        ("  memory of this process", f"{_peak_mb():,.0f} MB", "bar 1 500 MB"),
    ]  # fmt: skip


def _took_s(world: World, choice: Choice, n_processes: int) -> float:
    began = time.perf_counter()
    compared(world, choice, in_processes(n_processes))
    return time.perf_counter() - began


def _peak_mb() -> float:
    """The most memory that this process has held."""
    unit = 1.0 if sys.platform == "darwin" else 1024.0
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * unit / 1e6
