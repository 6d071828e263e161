"""A terminal of our own, with a program in it."""

import os
import pty
import select
import signal
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager


@contextmanager
def terminal_of(command: Sequence[str]) -> Iterator[int]:
    """Yield the handle of a terminal in which a program runs; it ends by itself, or is killed."""
    child, handle = pty.fork()
    if child == 0:
        os.execv(command[0], list(command))
    try:
        yield handle
    except BaseException:
        os.kill(child, signal.SIGKILL)
        raise
    finally:
        os.waitpid(child, 0)
        os.close(handle)


def until(handle: int, words: bytes) -> bytes:
    """Return what a terminal shows until some words."""
    found, ends_s = b"", time.monotonic() + 60.0
    while words not in found:
        assert time.monotonic() < ends_s, found[-2000:]
        if select.select([handle], [], [], 0.2)[0]:
            found += os.read(handle, 65_536)
    return found
