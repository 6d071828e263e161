"""Warm-up: on the very first run the kernels are compiled by two processes side by side."""

import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final, NamedTuple

from farglide.cli.told import COMPILING, Told
from farglide.kernel_store import RIDE_MARK, is_warm, mark_warm

_WORK: Final = """import gc; gc.disable()
from pathlib import Path
from farglide.sim.warm import compile_from
compile_from({end}, Path({claims!r}), {needs!r})"""
"""Without the collector of garbage: compiling makes little of it, and looking costs a tenth."""

_ENDS: Final = (0, -1)
_LOOK_S: Final = 0.1

Ready = Callable[[], None]
Processes = list["subprocess.Popen[bytes]"]

_PLAN: Final = "plan"
_MARKS: Final[dict[str, tuple[str, ...]]] = {_PLAN: (), "ride": (RIDE_MARK,)}
"""What may have to be compiled, by the name that `sim.warm` has for it, and its mark."""


class _Work(NamedTuple):
    """Processes that compile, where they claim their tasks, and what for."""

    workers: Processes
    claims: Path
    needs: tuple[str, ...]


@contextmanager
def warming(told: Told, then: str = "") -> Iterator[Ready]:
    """Begin to compile what a plan needs, unless it was done before for just these sources.

    What is yielded waits until it is done: files are read and refused meanwhile. It tells what is
    done `then`, if that is not told elsewhere.
    """
    with _compiling(told, then, () if is_warm() else (_PLAN,)) as ready:
        yield ready


@contextmanager
def warming_ride(told: Told, then: str = "") -> Iterator[Ready]:
    """Begin to compile what a ride needs, and a plan, as `warming` does."""
    needs = tuple(one for one, mark in _MARKS.items() if not is_warm(*mark))
    with _compiling(told, then, needs) as ready:
        yield ready


@contextmanager
def _compiling(told: Told, then: str, needs: tuple[str, ...]) -> Iterator[Ready]:
    if not needs:
        yield lambda: told(then)
        return
    told.expect(COMPILING)
    with tempfile.TemporaryDirectory() as claims:
        workers = [_begun(end, claims, needs) for end in _ENDS]
        work = _Work(workers, Path(claims), needs)
        try:
            yield lambda: _wait(work, told, then)
        finally:
            for worker in workers:
                worker.kill()  # does nothing to one that has ended
                worker.wait()


@contextmanager
def working(step: str) -> Iterator[Ready]:
    """Do the one step of a command and tell it, with all compiled that it needs."""
    told = Told(False, (step,))
    with warming(told, step) as ready:
        yield ready
    told.finish()


def _begun(end: int, claims: str, needs: tuple[str, ...]) -> "subprocess.Popen[bytes]":
    code = _WORK.format(end=end, claims=str(Path(claims)), needs=needs)
    return subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.DEVNULL)


def _wait(work: _Work, told: Told, then: str) -> None:
    from farglide.sim.warm import compiled_by  # late: it needs the compiler

    while any(worker.poll() is None for worker in work.workers):
        done = compiled_by(work.claims, work.needs)
        told(f"{COMPILING}, once: {', '.join(done.at_work) or 'begun'}", done.ratio)
        time.sleep(_LOOK_S)
    if any(worker.returncode != 0 for worker in work.workers):
        told(f"{COMPILING} ahead failed: what is missing is compiled on the way", 1.0)
    else:
        for one in work.needs:
            mark_warm(*_MARKS[one])
    told(then)
