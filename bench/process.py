"""Whole commands: the demo's plan warm and on the very first run, and --help."""

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from bench.timing import Row
from farglide.cli.plan import DEMO


def _command_s(arguments: list[str], **extra: str) -> float:
    began = time.perf_counter()
    # scipy is one of the checks' packages, which a user does not have: numba would import it.
    code = "import sys; sys.modules['scipy'] = None; from farglide.cli.main import run; run()"
    subprocess.run(
        [sys.executable, "-c", code, *arguments],
        check=True,
        capture_output=True,
        env={**os.environ, **extra},
    )
    return time.perf_counter() - began


def _peak_mb(arguments: list[str], **extra: str) -> float:
    """The largest memory of one warm run, told by the run itself."""
    code = (
        "import sys; sys.modules['scipy'] = None\n"
        "from farglide.cli.main import app\n"
        "app(standalone_mode=False)\n"
        "status = open('/proc/self/status').read()\n"
        "print(status.split('VmHWM:')[1].split()[0], file=sys.stderr)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, *arguments],
        check=True,
        capture_output=True,
        text=True,
        env={**os.environ, **extra},
    )
    return float(done.stderr.split()[-1]) / 1024.0


def process_rows() -> list[Row]:
    """Seconds of whole processes."""
    with tempfile.TemporaryDirectory() as folder:
        out = ["plan", str(DEMO), "--out", str(Path(folder) / "out")]
        cold_s = _command_s(out, FARGLIDE_CACHE=folder)
        warm_s = min(_command_s(out, FARGLIDE_CACHE=folder) for _ in range(3))
        peak_mb = _peak_mb(out, FARGLIDE_CACHE=folder)
    help_s = min(_command_s(["--help"]) for _ in range(5))
    return [
        ("farglide plan demo, whole process, warm", f"{warm_s:.2f} s", "bar 3.5 s, with links"),
        ("  on the very first run", f"{cold_s:.1f} s", "bar 15 s"),
        ("  memory", f"{peak_mb:.0f} MB", "bar 400 MB"),
        ("farglide --help", f"{1e3 * help_s:.0f} ms", "bar 150 ms"),
    ]
