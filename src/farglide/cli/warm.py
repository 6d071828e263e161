"""Warm-up: on the very first run the kernels are compiled by two processes side by side."""

import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Final

from farglide.kernel_store import is_warm, mark_warm

_HALF: Final = "import gc; gc.disable(); from farglide.sim.warm import {0} as work; work()"
"""Without the collector of garbage: compiling makes little of it, and looking costs a tenth."""

HALVES: Final = ("compile_reach", "compile_flights")

Ready = Callable[[], None]
Processes = list["subprocess.Popen[bytes]"]


@contextmanager
def warming(progress: Callable[[str], None]) -> Iterator[Ready]:
    """Begin to compile what a plan needs, unless it was done before for just these sources.

    What is yielded waits until it is done: files are read and refused meanwhile.
    """
    halves = [] if is_warm() else [_begun(half) for half in HALVES]
    try:
        yield lambda: _wait(halves, progress)
    finally:
        for half in halves:
            half.kill()  # does nothing to one that has ended
            half.wait()


def _begun(half: str) -> "subprocess.Popen[bytes]":
    code = _HALF.format(half)
    return subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.DEVNULL)


def _wait(halves: Processes, progress: Callable[[str], None]) -> None:
    if not halves:
        return
    progress("compiling the kernels, once: 10 to 15 s")
    if any(code != 0 for code in [half.wait() for half in halves]):
        progress("compiling ahead failed: what is missing is compiled on the way")
    else:
        mark_warm()
