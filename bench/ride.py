"""The ride: a fix received to its advice published, a restart, and a log replayed."""

import tempfile
import time
from dataclasses import replace
from pathlib import Path
from typing import Final

import numpy as np
from tests.live.loose import RELEASE_S, released, up_to
from tests.live.made import SPECS, Crew, begun, climb_of, gone_on, nmea

from bench.timing import Row
from farglide.arrays import FloatArray
from farglide.cli.inputs import Wanted, flight_and_pack
from farglide.cli.plan import DEMO
from farglide.compute import on_threads
from farglide.live.resume import Replayed, replay
from farglide.live.ride.slow import Flight, Maker
from farglide.plan.planned import settled
from farglide.sortie.grain import Grain
from farglide.track.reports import Fix, Raw

RIDDEN_S: Final = 60.0
FROM_S: Final = 2700.0
"""Into the climb: so long a fix is heard each 10 seconds before."""
_PER_S: Final = 5


def ride_rows(ridden_s: float = RIDDEN_S) -> list[Row]:
    """Fixes answered, a restart, and the log replayed."""
    flight = crowded()
    with tempfile.TemporaryDirectory() as folder:
        log = Path(folder) / "ride.log"
        took_s, span_s, summed_s = _ride(flight, log, ridden_s)
        glided_s = _glide(flight, Path(folder) / "glide.log", ridden_s)
        restart_s, first_s = _restart(flight, log)
        replay_s, found = _replay(flight, log)
    half_s, most_s = np.nanquantile(took_s, [0.5, 0.99])
    n = int(np.isfinite(took_s).sum())
    same = sum(one.is_same for one in found)
    return [
        (f"fix to advice, {_PER_S} a second, median", f"{1e3 * half_s:.0f} ms", "bar 100 ms"),
        ("  99th percentile", f"{1e3 * most_s:.0f} ms", "bar 250 ms; 6 fields, 4 links"),
        *_glide_rows(glided_s),
        ("  answered", f"{n} of {len(took_s)}", "the others at less than 0.15 s"),
        ("  slow tables, on one thread beside", f"{summed_s:.1f} s", "each 20 s"),
        ("ride restarted, state back", f"{restart_s:.2f} s", "bar 3 s"),
        ("  first new advice", f"{first_s:.2f} s", "bar 4 s"),
        ("ride replayed, each advice again", f"{span_s / replay_s:.1f} x real time", "bar 10 x"),
        ("  advice the same bit for bit", f"{same} of {len(found)}", ""),
    ]


def _glide_rows(took_s: FloatArray) -> list[Row]:
    half_s, most_s = np.nanquantile(took_s, [0.5, 0.99])
    told = "500 particles, the same fields and links"
    return [
        ("  after the release, median", f"{1e3 * half_s:.0f} ms", "bar 100 ms"),
        ("    99th percentile", f"{1e3 * most_s:.0f} ms", f"bar 250 ms; {told}"),
    ]


def crowded(n_fields: int = 6, n_links: int = 4) -> Flight:
    """The demo with as many fields and links as the bar names: its own, told again."""
    flight, pack = flight_and_pack(Wanted(file=DEMO, winds=None, pack=None, out=None))
    sortie = settled(flight, pack).sortie
    fields, links = list(sortie.fields), list(sortie.links)
    for k in range(n_fields - len(fields)):
        one = sortie.fields[1 + k]
        fields.append(replace(one, name=f"{one.name} {k}", lat_deg=one.lat_deg + 0.01))
    for k in range(n_links - len(links)):
        one = sortie.links[k % len(sortie.links)]
        links.append(replace(one, name=f"{one.name} {k}"))
    sortie = replace(sortie, fields=tuple(fields), links=tuple(links))
    return Flight(sortie=sortie, pack=pack, grain=Grain())


def _ride(flight: Flight, log: Path, ridden_s: float) -> tuple[FloatArray, float, float]:
    """Seconds from each fix to its advice with tables summed beside; of the ride; of a sum."""
    climb = climb_of(flight.sortie, flight.pack.sounding, 0.2)
    crew = begun(log, flight.sortie, Maker(flight))
    crew.at(0.0)
    for fix in climb[:: 10 * _PER_S][: int(FROM_S / 10.0)]:
        _hear(crew, fix)
    crew.at(FROM_S)
    began_s = time.perf_counter()
    crew.sums()
    summed_s = time.perf_counter() - began_s
    took_s, began_s = list[float](), time.perf_counter()
    for fix in climb[int(FROM_S * _PER_S) :][: int(ridden_s * _PER_S)]:
        due_s = began_s + (fix.t_s or 0.0) - crew.launch_t_s - FROM_S
        time.sleep(max(due_s - time.perf_counter(), 0.0))
        took_s.append(_hear(crew, fix))
        crew.turn()
    crew.running.close()
    return np.array(took_s), ridden_s, summed_s


def _glide(flight: Flight, log: Path, ridden_s: float) -> FloatArray:
    """Seconds from each fix to its advice two minutes after the release, tables summed beside."""
    told = released(flight)
    crew = begun(log, flight.sortie, Maker(flight))
    up_to(crew, told, RELEASE_S)
    _hear(crew, told.at(RELEASE_S + 10.0))
    crew.types("released")
    for t_s in np.arange(RELEASE_S + 12.0, RELEASE_S + 120.0, 4.0):
        _hear(crew, told.at(float(t_s)))
    crew.sums()
    took_s, began_s = list[float](), time.perf_counter()
    for k in range(int(ridden_s * _PER_S)):
        due_s = began_s + k / _PER_S
        time.sleep(max(due_s - time.perf_counter(), 0.0))
        took_s.append(_hear(crew, told.at(RELEASE_S + 120.0 + k / _PER_S)))
        crew.turn()
    crew.running.close()
    return np.array(took_s)


def _hear(crew: Crew, fix: Fix) -> float:
    """Hear a fix; seconds until its advice was published, NaN where none was."""
    crew.at((fix.t_s or 0.0) - crew.launch_t_s)
    raw = Raw(feed="tracker", monotonic_s=crew.at_s, utc_s=crew.t_s, data=nmea(fix))
    n, began_s = len(crew.published), time.perf_counter()
    crew.running.take(raw, crew.clocks)
    took_s = time.perf_counter() - began_s
    return took_s if len(crew.published) > n else float("nan")


def _restart(flight: Flight, log: Path) -> tuple[float, float]:
    """Seconds until the state is back, and until the first new advice."""
    began_s = time.perf_counter()
    crew = gone_on(log, flight.sortie, Maker(flight), flight.sortie.launch.t_s + FROM_S + 70.0)
    back_s = time.perf_counter() - began_s
    crew.sums()
    first_s = time.perf_counter() - began_s
    if not crew.published:
        raise RuntimeError("no advice after the restart")
    crew.running.close()
    return back_s, first_s


def _replay(flight: Flight, log: Path) -> tuple[float, list[Replayed]]:
    """Seconds that a replay takes on all cores, and each advice beside its own."""
    flight = replace(flight, workers=on_threads())
    began_s = time.perf_counter()
    found = list(replay(flight.sortie, SPECS, log, Maker(flight)))
    return time.perf_counter() - began_s, found
