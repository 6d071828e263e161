"""The log of a ride: appending, opening one of twelve hours, beside a database as the log."""

import sqlite3
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from bench.timing import Row
from farglide.track.journal.frame import Kind
from farglide.track.journal.head import Head
from farglide.track.journal.index import Index
from farglide.track.journal.journal import Journal, Moment
from farglide.track.journal.opening import begin
from farglide.track.journal.payload import fix_payload, payload_of, raw_payload
from farglide.track.reports import Fix

_HEAD = Head(flight="x" * 10_000, manifest="{}", winds="x" * 200_000, program="0")
_RAW = raw_payload(
    "glider", b"$GPGGA,094000.20,4630.00000,S,10800.00000,E,1,09,0.9,252.7,M,-12,M,,*5A"
)
_FIX = fix_payload(
    Fix(
        feed="glider", lat_deg=-46.51234567, lon_deg=108.1234567, t_s=1_800_697_200.2,
        height_m=12_345.6, separation_m=-12.5, speed_mps=12.3, track_deg=271.5, n_satellites=11,
    )
)  # fmt: skip
_ADVICE = payload_of({"level": "Watch", "why": "x" * 600})
_HOURS, _PER_S = 12, 5
_N = 20_000


def log_rows() -> list[Row]:
    """Appends a second, each handed to the system at once; and a night of fixes opened again."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        alone = _appends_ps(folder / "a.log", None)
        with ThreadPoolExecutor(1) as pool:
            beside = _appends_ps(folder / "b.log", pool.submit)
        base = _inserts_ps(folder / "base")
        night = folder / "night.log"
        _write_night(night)
        survey_s, grown_mb, n = _survey(night)
        indexed_s = _seconds(lambda: _open_index(night))
        again_s = _seconds(lambda: _open_index(night))
        fixes_s = _seconds(lambda: _count_fixes(night))
        size_mb = night.stat().st_size / 1e6
    return [
        ("log: records a second, written through", f"{alone:,.0f}", "bar 4 000, two a line"),
        ("  with the sync of each second beside", f"{beside:,.0f}", ""),
        ("  against a transaction of SQLite each", f"{alone / base:.1f} x", ""),
        (f"log of {_HOURS} h, {_PER_S} fixes a second, opened", f"{survey_s:.2f} s", "bar 3 s"),
        ("  records, and size", f"{n:,}, {size_mb:.0f} MB", ""),
        ("  memory that takes", f"{grown_mb:.1f} MB", "bar 50 MB"),
        ("  its index made, opened again", f"{indexed_s:.2f} s, {again_s:.2f} s", ""),
        ("  its fixes read through the index", f"{fixes_s:.2f} s", ""),
    ]


def _appends_ps(path: Path, run: Callable[[Callable[[], None]], object] | None) -> float:
    """Appends a second on the clock of the ride, so that each second of it is synchronised."""
    journal = begin(path, _HEAD, Moment(0.0, 0.0), run)
    began = time.perf_counter()
    for _ in range(_N):
        now = time.perf_counter() - began
        journal.append(Kind.RAW, _RAW, Moment(now, now))
    took = time.perf_counter() - began
    journal.close()
    return _N / took


def _inserts_ps(path: Path) -> float:
    base = sqlite3.connect(path, isolation_level=None)
    base.execute("PRAGMA journal_mode = WAL")
    base.execute("PRAGMA synchronous = NORMAL")
    base.execute("CREATE TABLE log (number INTEGER PRIMARY KEY, kind INT, m REAL, u REAL, p BLOB)")
    began = time.perf_counter()
    for n in range(_N):
        base.execute("INSERT INTO log VALUES (?, 1, 0.0, 0.0, ?)", (n, _RAW))
    took = time.perf_counter() - began
    base.close()
    return _N / took


def _write_night(path: Path) -> None:
    journal = begin(path, _HEAD, Moment(0.0, 0.0), lambda _: None)
    for second in range(_HOURS * 3600):
        _write_second(journal, float(second))
    journal.close()


def _write_second(journal: Journal, at_s: float) -> None:
    for n in range(_PER_S):
        when = Moment(at_s + n / _PER_S, at_s)
        journal.append(Kind.RAW, _RAW, when)
        journal.append(Kind.FIX, _FIX, when)
    journal.append(Kind.TICK, b"{}", Moment(at_s, at_s))
    journal.append(Kind.ADVICE, _ADVICE, Moment(at_s, at_s))


def _survey(path: Path) -> tuple[float, float, int]:
    """Seconds, memory that grew at most, and records, of a process that opens a log."""
    code = (
        "import sys, time\n"
        "from pathlib import Path\n"
        "from farglide.track.journal.reader import survey\n"
        "def top(): return int(open('/proc/self/status').read().split('VmHWM:')[1].split()[0])\n"
        "before, began = top(), time.perf_counter()\n"
        "found = survey(Path(sys.argv[1]))\n"
        "print(time.perf_counter() - began, (top() - before) / 1024, found.n_records)"
    )
    command = [sys.executable, "-c", code, str(path)]
    told = subprocess.run(command, check=True, capture_output=True, text=True).stdout.split()
    return float(told[0]), float(told[1]), int(told[2])


def _open_index(path: Path) -> None:
    with Index(path):
        pass


def _count_fixes(path: Path) -> int:
    with Index(path) as index:
        return sum(1 for _ in index.fixes())


def _seconds(work: Callable[[], object]) -> float:
    began = time.perf_counter()
    work()
    return time.perf_counter() - began
