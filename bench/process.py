"""Whole commands: the demo's plan warm and on the very first run, and --help."""

import os
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from bench.timing import Row
from farglide.cli.plan import DEMO


def _command_s(arguments: list[str], **extra: str) -> float:
    began = time.perf_counter()
    code = "from farglide.cli.main import run; run()"
    subprocess.run(
        [sys.executable, "-c", code, *arguments],
        check=True,
        capture_output=True,
        env={**os.environ, **extra},
    )
    return time.perf_counter() - began


def process_rows() -> list[Row]:
    """Seconds of whole processes."""
    with tempfile.TemporaryDirectory() as folder:
        out = ["plan", str(DEMO), "--out", str(Path(folder) / "out")]
        cold_s = _command_s(out, FARGLIDE_CACHE=folder)
        warm_s = min(_command_s(out, FARGLIDE_CACHE=folder) for _ in range(3))
    peak_mb = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024.0
    help_s = min(_command_s(["--help"]) for _ in range(5))
    return [
        ("farglide plan demo, whole process, warm", f"{warm_s:.2f} s", "bar 3 s"),
        ("  on the very first run", f"{cold_s:.1f} s", "bar 15 s"),
        ("  memory", f"{peak_mb:.0f} MB", "bar 400 MB"),
        ("farglide --help", f"{1e3 * help_s:.0f} ms", "bar 150 ms"),
    ]
