"""Signals: noted, not thrown, and as before afterwards."""

import os
import signal
import threading

from farglide.cli.signals import Asked, signals


def test_a_key_and_the_system_are_noted() -> None:
    before, key = signal.getsignal(signal.SIGTERM), signal.getsignal(signal.SIGINT)
    with signals() as asked:
        os.kill(os.getpid(), signal.SIGINT)
        assert asked == Asked(is_interrupted=True)
        os.kill(os.getpid(), signal.SIGTERM)
        assert asked.is_left
    assert signal.getsignal(signal.SIGTERM) is before
    assert signal.getsignal(signal.SIGINT) is key  # ignored, where the tests run in the background


def test_on_another_thread_nothing_is_noted() -> None:
    found: list[Asked] = []

    def ask() -> None:
        with signals() as asked:
            found.append(asked)

    thread = threading.Thread(target=ask)
    thread.start()
    thread.join()
    assert found == [Asked()]
