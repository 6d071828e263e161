"""Warm-up: on the very first run the kernels are compiled by two processes side by side."""

import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from farglide.kernel_store import is_warm, mark_warm

_WORK: Final = """import gc; gc.disable()
from pathlib import Path
from farglide.sim.warm import compile_from
compile_from({end}, Path({claims!r}))"""
"""Without the collector of garbage: compiling makes little of it, and looking costs a tenth."""

_ENDS: Final = (0, -1)

Ready = Callable[[], None]
Processes = list["subprocess.Popen[bytes]"]


@contextmanager
def warming(progress: Callable[[str], None]) -> Iterator[Ready]:
    """Begin to compile what a plan needs, unless it was done before for just these sources.

    What is yielded waits until it is done: files are read and refused meanwhile.
    """
    if is_warm():
        yield lambda: None
        return
    with tempfile.TemporaryDirectory() as claims:
        workers = [_begun(end, claims) for end in _ENDS]
        try:
            yield lambda: _wait(workers, progress)
        finally:
            for worker in workers:
                worker.kill()  # does nothing to one that has ended
                worker.wait()


def _begun(end: int, claims: str) -> "subprocess.Popen[bytes]":
    code = _WORK.format(end=end, claims=str(Path(claims)))
    return subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.DEVNULL)


def _wait(workers: Processes, progress: Callable[[str], None]) -> None:
    progress("compiling the kernels, once: 12 to 16 s")
    if any(code != 0 for code in [worker.wait() for worker in workers]):
        progress("compiling ahead failed: what is missing is compiled on the way")
    else:
        mark_warm()
