"""Twelve hours under soak: a flight and a long search in one log, replayed in flat memory."""

import argparse
import os
import tempfile
import time
from pathlib import Path
from typing import Final, NamedTuple

from tests.live.made import SPECS, Crew, begun

from farglide.cli.inputs import Wanted, flight_and_pack
from farglide.cli.plan import DEMO
from farglide.compute import on_threads
from farglide.live.asking import as_planned
from farglide.live.rehearse.crew import ByAdvice
from farglide.live.rehearse.rehearsal import Named, rehearsed
from farglide.live.rehearse.sitting import Sitting
from farglide.live.rehearse.stream import raws
from farglide.live.rehearse.surprises import Changes
from farglide.live.rehearse.truth import truth_of
from farglide.live.resume import replay
from farglide.live.ride.slow import Flight, Maker
from farglide.outlook.rehearsal import What
from farglide.plan.planned import settled
from farglide.sortie.grain import Grain
from farglide.track.reports import Raw

_SEED: Final = 3
_GROWN_MB: Final = 50.0
_TICK_S: Final = 30.0
_BESIDE_S: Final = 1.0
"""What other feeds tell so soon after a fix that is taken is taken too."""
_MARKS: Final = {What.LAUNCHED: "launched", What.SENT: "sent", What.RELEASED: "released"}


class Replay(NamedTuple):
    """How a replay went."""

    seconds: float
    n_advices: int
    n_same: int
    grown_mb: float


def main() -> int:
    """Write the log, replay it, and tell; return 1 where memory grows or an advice differs."""
    parser = argparse.ArgumentParser(prog="python -m tests.soak.twelve", description=__doc__)
    parser.add_argument("--hours", type=float, default=12.0)
    parser.add_argument("--draws", type=int, default=1000)
    parser.add_argument(
        "--every", type=float, default=2.0, help="seconds between fixes and advices"
    )
    asked = parser.parse_args()
    flight, pack = flight_and_pack(Wanted(file=DEMO, winds=None, pack=None, out=None))
    whole = Flight(sortie=settled(flight, pack).sortie, pack=pack,
                   grain=Grain(n_draws=asked.draws), workers=on_threads())  # fmt: skip
    with tempfile.TemporaryDirectory() as folder:
        log = Path(folder) / "ride.log"
        _ridden(whole, log, asked.hours, asked.every)
        found = _replayed(whole, log)
    times = 3600.0 * asked.hours / found.seconds
    print(f"{asked.hours:g} h replayed in {found.seconds:.0f} s, {times:.0f} times real time: "
          f"{found.n_same} of {found.n_advices} advices the same bit for bit, "
          f"memory grown by {found.grown_mb:.0f} MB")  # fmt: skip
    return 0 if found.n_same == found.n_advices and found.grown_mb <= _GROWN_MB else 1


def _ridden(flight: Flight, log: Path, hours: float, every_s: float) -> None:
    """Ride a made-up flight and go on for hours after it is down."""
    planned = as_planned(flight.sortie, flight.pack, Grain(n_draws=200), on_threads())
    sitting = Sitting(planned, truth_of(planned, Changes(), _SEED), _SEED)
    flown = rehearsed(sitting, ByAdvice(), Named((), _SEED))
    marks = [(one.after_launch_s, _MARKS[one.what]) for one in flown.told.happened
             if one.what in _MARKS]  # fmt: skip
    crew, last_s = begun(log, flight.sortie, Maker(flight)), -1e9
    for raw in raws(sitting, _SEED, flown.flown.path):
        after_s = raw.utc_s - crew.launch_t_s
        is_due = raw.feed == "tracker" and after_s - last_s >= every_s
        if not is_due and after_s - last_s >= _BESIDE_S:
            continue
        last_s = after_s if is_due else last_s
        while marks and marks[0][0] <= after_s:
            _at(crew, marks[0][0])
            crew.types(marks.pop(0)[1])
        _at(crew, after_s)
        crew.running.take(Raw(feed=raw.feed, monotonic_s=crew.at_s, utc_s=crew.t_s,
                              data=raw.data), crew.clocks)  # fmt: skip
        crew.sums()
    crew.types("landed")
    for k in range(int(3600.0 * hours / _TICK_S)):
        if (k + 1) * _TICK_S > crew.t_s - crew.launch_t_s:
            _at(crew, (k + 1) * _TICK_S)
            crew.turn()
    crew.running.close()


def _at(crew: Crew, after_launch_s: float) -> None:
    """Let time pass to a moment after the launch, never back."""
    crew.at(max(after_launch_s, crew.t_s - crew.launch_t_s))


def _replayed(flight: Flight, log: Path) -> Replay:
    n = n_same = 0
    first_mb = last_mb = 0.0
    began_s = time.perf_counter()
    for one in replay(flight.sortie, SPECS, log, Maker(flight)):
        n, n_same = n + 1, n_same + one.is_same
        if n in (200, 400) or n % 500 == 0:
            last_mb = _memory_mb()
            first_mb = first_mb or last_mb
    return Replay(time.perf_counter() - began_s, n, n_same, max(_memory_mb(), last_mb) - first_mb)


def _memory_mb() -> float:
    """Return what this process holds of the memory now."""
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


if __name__ == "__main__":
    raise SystemExit(main())
