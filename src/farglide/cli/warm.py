"""Warm-up: on the very first run the kernels are compiled by processes side by side."""

import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Final

from farglide.kernel_store import is_warm, mark_warm

_PART: Final = "import gc; gc.disable(); from farglide.sim.warm import {0} as work; work()"
"""Without the collector of garbage: compiling makes little of it, and looking costs a tenth."""

PARTS: Final = ("compile_reach", "compile_flights", "compile_hearing")

Ready = Callable[[], None]
Processes = list["subprocess.Popen[bytes]"]


@contextmanager
def warming(progress: Callable[[str], None]) -> Iterator[Ready]:
    """Begin to compile what a plan needs, unless it was done before for just these sources.

    What is yielded waits until it is done: files are read and refused meanwhile.
    """
    parts = [] if is_warm() else [_begun(part) for part in PARTS]
    try:
        yield lambda: _wait(parts, progress)
    finally:
        for part in parts:
            part.kill()  # does nothing to one that has ended
            part.wait()


def _begun(part: str) -> "subprocess.Popen[bytes]":
    code = _PART.format(part)
    return subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.DEVNULL)


def _wait(parts: Processes, progress: Callable[[str], None]) -> None:
    if not parts:
        return
    progress("compiling the kernels, once: 15 to 20 s")
    if any(code != 0 for code in [part.wait() for part in parts]):
        progress("compiling ahead failed: what is missing is compiled on the way")
    else:
        mark_warm()
