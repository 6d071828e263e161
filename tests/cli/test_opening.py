"""Opening: on a screen from the first moment on, in lines elsewhere, and what is done ahead."""

import threading
from collections.abc import Callable, Sequence

import pytest

from farglide.cli.opening import ahead, opening
from farglide.cli.screen import Plain
from farglide.cli.told import COMPILING

from ..live.feeds.ways import until


class Drawn:
    """A screen that keeps what is drawn."""

    is_screen, is_closed, half = True, False, ""

    def __init__(self) -> None:
        self.screens: list[list[str]] = []

    def typed(self) -> list[str]:
        return []

    def draw(self, lines: Callable[[int, int], Sequence[str]]) -> None:
        self.screens.append(list(lines(80, 24)))


def test_a_screen_says_at_once_what_is_done() -> None:
    face = Drawn()
    with opening(face) as opened:
        assert until(lambda: len(face.screens) >= 1)
        assert face.screens[0][0].startswith("Opening the ride: reading the flight file")
        assert len(face.screens[0]) == 23
        assert face.screens[0][1].startswith("0 s so far, usually 3 to 12 s.")
        assert until(lambda: face.screens[-1][1].startswith("1 s so far"))
        opened(f"{COMPILING}, once: climbs, hearing", 0.42)
        assert until(lambda: "compiling for this machine" in face.screens[-1][0])
        assert " ".join(face.screens[-1][:2]).endswith("hearing; 42% done).")
    n = len(face.screens)
    told = "compiling for this machine, only this once (climbs, hearing; 42% done)"
    assert opened.doing() == told
    opened.done_ahead()
    assert opened.doing() == ""
    assert len(face.screens) == n  # nothing is drawn behind its end


def test_without_a_screen_it_is_told_in_lines(capsys: pytest.CaptureFixture[str]) -> None:
    with opening(Plain(lambda: None)) as opened:
        opened("opening the log")
        opened.finish()
    assert "opening the log" in capsys.readouterr().err


def test_what_is_compiled_ahead_is_waited_for_where_it_is_needed() -> None:
    may, order = threading.Event(), list[str]()

    def ready() -> None:
        assert may.wait(10.0)
        order.append("ready")

    with opening(Drawn()) as opened:
        wait = ahead(opened, ready)
        order.append("followed")
        may.set()
        wait()
        order.append("summed")
    assert order == ["followed", "ready", "summed"]
    assert opened.doing() == ""
