"""A flood under soak: thousands of lines a second into a ride, its log counted afterwards."""

import argparse
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Final

import numpy as np
from tests.live.made import climb_of, nmea

from farglide.arrays import FloatArray
from farglide.cli.inputs import Wanted, flight_and_pack
from farglide.cli.plan import DEMO
from farglide.plan.planned import settled
from farglide.track.journal.frame import Kind
from farglide.track.journal.payload import raw_of
from farglide.track.journal.reader import open_log
from farglide.track.reports import Fix

LINES_PER_S: Final = 2_000
_BATCHES_PER_S: Final = 100
_FEED: Final = "tracker"
_ALLOWED_S: Final = 1.5
"""Between advices, once there are any: one a second is asked for."""


def main() -> int:
    """Flood a ride and tell what its log holds; return 1 where lines or advices are missing."""
    parser = argparse.ArgumentParser(prog="python -m tests.soak.flood", description=__doc__)
    parser.add_argument("--minutes", type=float, default=10.0)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        log = Path(folder) / "ride.log"
        n_sent = _flooded(log, 60.0 * asked.minutes)
        n_lines, gaps_s = _kept(log)
    longest_s = float(gaps_s.max()) if len(gaps_s) else float("inf")
    told = f"{n_sent - n_lines} of {n_sent} lines lost; {len(gaps_s) + 1} advices"
    print(f"{told}, {longest_s:.2f} s apart at most, {np.median(gaps_s):.2f} s in the middle")
    return 0 if n_lines == n_sent and longest_s <= _ALLOWED_S else 1


def _flooded(log: Path, seconds: float) -> int:
    """Run a ride and send it lines for so long; return how many."""
    port = _free_port()
    command = [sys.executable, "-m", "farglide", "ride", str(DEMO), "--log", str(log), "--speed",
               "1", "--feed", f"{_FEED}=udp://127.0.0.1:{port}"]  # fmt: skip
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.DEVNULL) as ride:
        while not _is_open(log):
            time.sleep(0.1)
        n_sent = _send(port, seconds)
        time.sleep(3.0)
        ride.terminate()
    return n_sent


def _is_open(log: Path) -> bool:
    return log.exists() and log.stat().st_size > 0


def _send(port: int, seconds: float) -> int:
    """Send the climb of the demo from its beginning, each fix as two lines at its own moment."""
    flight, pack = flight_and_pack(Wanted(file=DEMO, winds=None, pack=None, out=None))
    told = climb_of(settled(flight, pack).sortie, pack.sounding, 1.0)
    n_batch, n_sent = LINES_PER_S // 2 // _BATCHES_PER_S, 0
    time.sleep(2.0)
    began_s = time.monotonic()
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as out:
        for batch in range(int(seconds * _BATCHES_PER_S)):
            for k in range(n_batch):
                fix = _between(told, (batch + k / n_batch) / _BATCHES_PER_S)
                for line in nmea(fix).splitlines(keepends=True):
                    out.sendto(line, ("127.0.0.1", port))
                    n_sent += 1
            due_s = began_s + (batch + 1) / _BATCHES_PER_S
            time.sleep(max(due_s - time.monotonic(), 0.0))
    return n_sent


def _between(told: Sequence[Fix], at_s: float) -> Fix:
    """Return the fix of a moment after the launch, from those of whole seconds."""
    before, after = told[int(at_s)], told[int(at_s) + 1]
    share = at_s - int(at_s)
    values = {
        name: (1.0 - share) * getattr(before, name) + share * getattr(after, name)
        for name in ("lat_deg", "lon_deg", "t_s", "height_m")
    }
    return replace(before, **values)


def _kept(log: Path) -> tuple[int, FloatArray]:
    """Return how many lines a log holds, and how long after each other advices came."""
    n_lines, at_s = 0, list[float]()
    with open_log(log) as (_, scan):
        for record in scan.of((Kind.RAW, Kind.ADVICE)):
            if record.kind is Kind.ADVICE:
                at_s.append(record.monotonic_s)
            else:
                n_lines += raw_of(record).data.count(b"\n")
    return n_lines, np.diff(np.array(at_s))


def _free_port() -> int:
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


if __name__ == "__main__":
    raise SystemExit(main())
