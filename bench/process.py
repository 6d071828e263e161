"""Whole commands: the demo's plan warm and on the very first run, a ride begun, and --help."""

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Final

from tests.live.made import climb_of, nmea

from bench.timing import Row
from farglide.cli.inputs import Wanted, flight_and_pack
from farglide.cli.plan import DEMO
from farglide.plan.planned import settled

# scipy is one of the checks' packages, which a user does not have: numba would import it.
_CODE: Final = "import sys; sys.modules['scipy'] = None; from farglide.cli.main import run; run()"
_HEARD_S: Final = 2700.0
_EACH_S: Final = 10.0


def _environment(**extra: str) -> dict[str, str]:
    """This one, with compiled modules kept as a user's are."""
    kept = {name: one for name, one in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return {"PYTHONPYCACHEPREFIX": extra.get("FARGLIDE_CACHE", ""), **kept, **extra}


def _command_s(arguments: list[str], **extra: str) -> float:
    began = time.perf_counter()
    subprocess.run(
        [sys.executable, "-c", _CODE, *arguments],
        check=True,
        capture_output=True,
        env=_environment(**extra),
    )
    return time.perf_counter() - began


def _first_advice_s(arguments: list[str], **extra: str) -> float:
    """Seconds until a ride without a terminal prints its first advice."""
    began = time.perf_counter()
    with subprocess.Popen(
        [sys.executable, "-c", _CODE, "ride", *arguments],
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        env=_environment(**extra),
    ) as ride:
        assert ride.stdout is not None
        line = ride.stdout.readline()
        took_s = time.perf_counter() - began
        ride.communicate()
    if b"Window" not in line:
        raise RuntimeError(f"no advice but {line!r}")
    return took_s


def begun_rows(folder: Path, **extra: str) -> list[Row]:
    """Seconds from nothing to a first advice, kernels warm, by a file of 45 minutes of climb."""
    flight, pack = flight_and_pack(Wanted(file=DEMO, winds=None, pack=None, out=None))
    climb = climb_of(settled(flight, pack).sortie, pack.sounding, _EACH_S)
    heard = folder / "tracker.nmea"
    heard.write_bytes(b"".join(nmea(one) for one in climb[: int(_HEARD_S / _EACH_S)]))
    asked = [str(DEMO), "--feed", f"tracker=file:{heard}", "--log"]
    took_s = [_first_advice_s([*asked, str(folder / f"{k}.log")], **extra) for k in range(4)]
    warm_s, load = min(took_s[1:]), os.getloadavg()[0]
    again_s = _command_s(["ask", "now", str(DEMO), "--track", str(folder / "1.log")], **extra)
    told = f"load of the machine {load:.1f}"
    return [
        ("farglide ride, from nothing to its first advice", f"{warm_s:.2f} s", f"bar 4 s; {told}"),
        ("farglide ask now, of its log, whole process", f"{again_s:.2f} s", "bar 2 s"),
    ]


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
        env=_environment(**extra),
    )
    return float(done.stderr.split()[-1]) / 1024.0


def process_rows() -> list[Row]:
    """Seconds of whole processes."""
    with tempfile.TemporaryDirectory() as folder:
        out = ["plan", str(DEMO), "--out", str(Path(folder) / "out")]
        cold_s = _command_s(out, FARGLIDE_CACHE=folder)
        warm_s = min(_command_s(out, FARGLIDE_CACHE=folder) for _ in range(3))
        peak_mb = _peak_mb(out, FARGLIDE_CACHE=folder)
        ride = begun_rows(Path(folder), FARGLIDE_CACHE=folder)
    help_s = min(_command_s(["--help"]) for _ in range(5))
    return [
        ("farglide plan demo, whole process, warm", f"{warm_s:.2f} s", "bar 3.5 s, with links"),
        ("  on the very first run", f"{cold_s:.1f} s", "bar 15 s"),
        ("  memory", f"{peak_mb:.0f} MB", "bar 400 MB"),
        *ride,
        ("farglide --help", f"{1e3 * help_s:.0f} ms", "bar 150 ms"),
    ]
