"""Warm-up: on the very first run the kernels are compiled by two processes side by side."""

import subprocess
import sys
from collections.abc import Callable
from typing import Final

from farglide.kernel import is_warm, mark_warm

_HALF: Final = "import gc; gc.disable(); from farglide.sim.warm import {0} as work; work()"
"""Without the collector of garbage: compiling makes little of it, and looking costs a tenth."""

HALVES: Final = ("compile_reach", "compile_flights")


def warm_up(progress: Callable[[str], None]) -> None:
    """Compile what a plan needs, unless it was done before for just these sources."""
    if is_warm():
        return
    progress("compiling the kernels, once: 10 to 15 s")
    halves = [
        subprocess.Popen([sys.executable, "-c", _HALF.format(half)], stdout=subprocess.DEVNULL)
        for half in HALVES
    ]
    try:
        failed = [half.wait() for half in halves]
    finally:
        for half in halves:
            half.kill()  # does nothing to one that has ended
    if any(failed):
        progress("compiling ahead failed: what is missing is compiled on the way")
    else:
        mark_warm()
