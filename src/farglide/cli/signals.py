"""Signals: what the system or a key asks of a running command, told when it has time for it."""

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from types import FrameType


@dataclass(slots=True)
class Asked:
    """What was asked: Ctrl-C, or to leave at once."""

    is_interrupted: bool = False
    is_left: bool = False

    def interrupt(self, number: int, frame: FrameType | None) -> None:
        """Note that Ctrl-C was pressed."""
        self.is_interrupted = True

    def leave(self, number: int, frame: FrameType | None) -> None:
        """Note that the terminal is gone, or the system ends the command."""
        self.is_left = True


@contextmanager
def signals() -> Iterator[Asked]:
    """Yield what is asked; nothing is torn off amid a record. Afterwards all is as before."""
    asked = Asked()
    if threading.current_thread() is not threading.main_thread():
        yield asked
        return
    ways = {signal.SIGINT: asked.interrupt, signal.SIGTERM: asked.leave}
    if hasattr(signal, "SIGHUP"):
        ways[signal.SIGHUP] = asked.leave
    before = {number: signal.signal(number, way) for number, way in ways.items()}
    try:
        yield asked
    finally:
        for number, way in before.items():
            signal.signal(number, way)
