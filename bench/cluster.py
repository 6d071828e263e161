"""A comparison on a cluster begun from the command line: `python -m bench.cluster`.

A Dask scheduler and one worker, then two, on this computer; the answer is held against that of this
process. Whatever was begun is ended.
"""

import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace

from bench.timing import Row
from farglide.cli.inputs import Wanted, flight_and_pack
from farglide.cli.plan import DEMO
from farglide.compute import on_threads
from farglide.plan.polarfit import with_fitted_polar
from farglide.season.cluster import on_cluster
from farglide.season.compared import Choice, compared
from farglide.season.executors import Doing, here
from farglide.season.places import Lattice
from farglide.season.world import OneColumn, World
from farglide.sortie.grain import Grain

_PORT = 18_786
_ADDRESS = f"tcp://127.0.0.1:{_PORT}"
_DASK = (sys.executable, "-m", "dask")
_QUIET = ("--host", "127.0.0.1", "--no-dashboard")


def main() -> None:
    """Print what it took, and end with 1 where the answers differ."""
    for row in cluster_rows():
        sys.stdout.write("  ".join(row).rstrip() + "\n")


def cluster_rows() -> list[Row]:
    """Twelve launch times on one worker and on two, and in this process."""
    flight, pack = flight_and_pack(Wanted(file=DEMO, winds=None, pack=None, out=None))
    winds = OneColumn(pack.sounding)
    world = World(flight=with_fitted_polar(flight), winds=winds, terrain=pack.terrain)
    launch_s = flight.sortie.launch.t_s
    times_s = tuple(launch_s - 600.0 * k for k in range(12))
    choice = Choice(
        times_s=times_s, lattice=Lattice(25e3, 50e3), necks_kg=(), grain=Grain(n_draws=200)
    )
    alone_s, alone = _took(world, choice, here(on_threads()))
    took = []
    for n in (1, 2):
        with _begun(n):
            doing = on_cluster(_ADDRESS)
            _took(world, replace(choice, times_s=times_s[: 2 * n]), doing)  # workers are warm then
            seconds, found = _took(world, choice, doing)
        if found != alone:
            raise SystemExit(f"{n} workers answer otherwise than this process")
        took.append(seconds)
    return [
        (f"{len(alone.cells)} launches on a cluster, one worker", f"{took[0]:.1f} s", ""),
        ("  two workers", f"{took[1]:.1f} s", "the same answers"),
        ("  two against one", f"{took[0] / took[1]:.2f} x", "bar 1.7 x"),
        ("  this process, all its cores", f"{alone_s:.1f} s", ""),
    ]


def _took(world: World, choice: Choice, doing: Doing) -> tuple[float, object]:
    began = time.perf_counter()
    found = compared(world, choice, doing)
    return time.perf_counter() - began, found


@contextmanager
def _begun(n_workers: int) -> Iterator[None]:
    """Begin a scheduler and workers of one thread each, and end them."""
    scheduler = (*_DASK, "scheduler", "--port", str(_PORT), *_QUIET)
    worker = (*_DASK, "worker", _ADDRESS, "--nthreads", "1", *_QUIET)
    with subprocess.Popen(scheduler, stderr=subprocess.DEVNULL) as first:
        workers = [subprocess.Popen(worker, stderr=subprocess.DEVNULL) for _ in range(n_workers)]
        try:
            time.sleep(4.0)  # until all of them have joined
            yield
        finally:
            for one in (*workers, first):
                one.terminate()
            for one in workers:
                one.wait()


if __name__ == "__main__":
    main()
