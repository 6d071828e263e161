"""Stepping: turns on a thread of their own, what is asked between them, and what ends it."""

import threading
import time

import pytest

from farglide.live.stepping import Stepping


def test_what_is_asked_is_done_between_turns_in_its_order() -> None:
    done: list[str] = []
    begun = threading.Event()
    stepping = Stepping(begun.set)
    stepping.start()
    assert begun.wait(10.0)
    for one in ("first", "second"):
        stepping.ask(lambda one=one: done.append(one))  # type: ignore[misc]
    stepping.close()
    assert done == ["first", "second"]
    assert stepping.n_asked == 0
    stepping.check()


def test_a_long_turn_holds_up_nobody_who_looks() -> None:
    begun, over = threading.Event(), threading.Event()

    def turn() -> None:
        begun.set()
        over.wait(10.0)

    stepping = Stepping(turn)
    stepping.start()
    assert begun.wait(10.0)
    stepping.ask(lambda: None)
    assert stepping.n_asked == 1  # still at its turn
    over.set()
    stepping.close()
    assert stepping.n_asked == 0


def test_what_ends_the_thread_is_handed_on() -> None:
    def turn() -> None:
        raise ValueError("broken")

    stepping = Stepping(turn)
    stepping.start()
    stepping.close()
    with pytest.raises(ValueError, match="broken"):
        stepping.check()


def test_one_that_was_never_begun_is_closed() -> None:
    assert Stepping(lambda: None).close()


def test_a_turn_that_hangs_is_waited_for_no_longer_than_told() -> None:
    begun, over = threading.Event(), threading.Event()

    def turn() -> None:
        begun.set()
        over.wait(60.0)

    stepping = Stepping(turn)
    stepping.start()
    assert begun.wait(10.0)
    began_s = time.monotonic()
    assert not stepping.close(0.2)
    assert 0.15 < time.monotonic() - began_s < 10.0
    over.set()
    assert stepping.close(10.0)
