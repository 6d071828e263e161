"""Soak: mutated files through a reader, one after the other, each within its time and memory."""

import os
import resource
import signal
import sys
import tempfile
import time
import traceback
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import Final, NamedTuple

import numpy as np

from farglide.errors import FarglideError

from .mutate import mutated
from .readers import READERS, Reader

MOST_S: Final = 5.0
"""Of the processor: by the clock a busy machine may stand still for as long."""
MOST_BYTES: Final = 1 << 30
_HANGS_S: Final = 60  # after which the system ends it: the library below never came back


class Fault(NamedTuple):
    """A mutated file that a reader did not bear: its number, and what came of it."""

    n: int
    what: str


class Outcome(NamedTuple):
    """What came of some mutated files: how many were read, refused by name, and not borne."""

    n_read: int
    n_refused: int
    slowest_s: float
    faults: tuple[Fault, ...]


def data_of(name: str, n: int) -> bytes:
    """Return the n-th mutated file of a reader, the same whenever it is asked for."""
    rng = np.random.default_rng([zlib.crc32(name.encode()), n])
    return mutated(_wholes(name), rng)


def soaked(name: str, numbers: range, reader: Reader | None = None) -> Outcome:
    """Return what comes of the mutated files of these numbers, all read in this process.

    The memory that a reader may take on top of what is in use is limited to 1 GB.
    """
    reader = reader or READERS[name]
    n_read = n_refused = 0
    slowest_s, faults = 0.0, []
    with tempfile.TemporaryDirectory() as folder:
        for n in numbers:
            path = Path(folder) / f"a{reader.suffix}"
            path.write_bytes(data_of(name, n))
            began_s = time.process_time()
            what = _fault(reader, path)
            took_s = time.process_time() - began_s
            slowest_s = max(slowest_s, took_s)
            if took_s > MOST_S:
                what = f"{what or 'read or refused'} after {took_s:.1f} s"
            if what not in (None, ""):
                faults.append(Fault(n, str(what)))
            n_read += what is None
            n_refused += what == ""
            path.unlink(missing_ok=True)
    return Outcome(n_read, n_refused, slowest_s, tuple(faults))


def apart(name: str, numbers: range) -> Outcome:
    """Return what comes of mutated files, read in processes that may end in the midst of it."""
    left, total = numbers, Outcome(0, 0, 0.0, ())
    while len(left):
        came, n_done = _in_child(name, left)
        total = Outcome(
            total.n_read + came.n_read,
            total.n_refused + came.n_refused,
            max(total.slowest_s, came.slowest_s),
            total.faults + came.faults,
        )
        left = left[n_done:]
    return total


_HELD: dict[str, list[bytes]] = {}


def _wholes(name: str) -> list[bytes]:
    if name not in _HELD:
        _HELD[name] = READERS[name].wholes() if name in READERS else [b"1,2\n3,4\n"]
    return _HELD[name]


def _fault(reader: Reader, path: Path) -> str | None:
    """Return nothing where a file was read, an empty text where it was refused, else the fault."""
    soft, hard = resource.getrlimit(resource.RLIMIT_AS)
    pages = int(Path("/proc/self/statm").read_text().split()[0])
    in_use = pages * resource.getpagesize()
    resource.setrlimit(resource.RLIMIT_AS, (in_use + MOST_BYTES, hard))
    try:
        reader.ask(path)
    except FarglideError as error:
        return "" if str(error).strip() else "no words"
    except BaseException:
        return traceback.format_exc(limit=-6)
    finally:
        resource.setrlimit(resource.RLIMIT_AS, (soft, hard))
    return None


def _in_child(name: str, numbers: range) -> tuple[Outcome, int]:
    """Run a process over some numbers; return what came, and how many it got through."""
    receive, send = os.pipe()
    _wholes(name)
    child = os.fork()
    if child == 0:
        os.close(receive)
        for n in numbers:
            signal.alarm(_HANGS_S)
            came = soaked(name, range(n, n + 1))
            os.write(send, repr(tuple(came)).encode() + b"\n")
        os._exit(0)
    os.close(send)
    with os.fdopen(receive, "rb") as lines:
        came = [_outcome(line) for line in lines]
    code = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    if code != 0:  # ended by the system: by a fault of the library below, or the alarm
        n = numbers[len(came)]
        came.append(Outcome(0, 0, 0.0, (Fault(n, f"the process ended with {code}"),)))
    return _summed(came), len(came)


def _outcome(line: bytes) -> Outcome:
    n_read, n_refused, slowest_s, faults = eval(line, {"Fault": Fault})  # our own, through a pipe
    return Outcome(n_read, n_refused, slowest_s, faults)


def _summed(came: list[Outcome]) -> Outcome:
    return Outcome(
        sum(one.n_read for one in came),
        sum(one.n_refused for one in came),
        max((one.slowest_s for one in came), default=0.0),
        tuple(fault for one in came for fault in one.faults),
    )


def slices(name: str, done: int, asked: int, n_slice: int) -> Iterator[range]:
    """Yield the numbers that are left, in slices."""
    for first in range(done, min(asked, READERS[name].n_asked), n_slice):
        yield range(first, min(first + n_slice, asked, READERS[name].n_asked))


if sys.platform == "win32":
    raise ImportError("the soak needs limits of memory that this system does not have")
