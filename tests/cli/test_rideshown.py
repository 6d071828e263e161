"""A ride shown: up within a second in a terminal, and what is refused is said."""

import io
import os
import signal
import sys
import threading
import time
from dataclasses import replace
from pathlib import Path

import pytest

from farglide.cli import ride as followed_in
from farglide.cli.plan import DEMO
from farglide.cli.rideshown import Told, ride_text
from farglide.errors import InputError
from farglide.live.running import Running
from farglide.track.journal.frame import Kind
from farglide.track.journal.journal import Moment
from farglide.track.journal.payload import payload_of
from farglide.track.journal.reader import open_log

from .terminals import terminal_of, until

TOLD = Told(
    file=DEMO, pack=None, winds=None, feeds=("tracker",), log=Path("ride.log"), draws=60,
    speed=None, aloud=None,
)  # fmt: skip


def test_the_screen_is_up_before_all_that_is_read(tmp_path: Path) -> None:
    log = tmp_path / "ride.log"
    ride = (sys.executable, "-m", "farglide", "ride", str(DEMO), "--log", str(log))
    began_s = time.perf_counter()
    with terminal_of(ride) as handle:
        until(handle, b"Opening the ride: reading the flight file")
        assert time.perf_counter() - began_s < 5.0  # 0.3 s; a busy machine has some of it
        until(handle, b"On the hand.")
        os.write(handle, b"q\ny\n")
        until(handle, b"is finished.")


def test_a_turn_that_hangs_is_left_and_told_with_the_log_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    hangs, over, log = threading.Event(), threading.Event(), tmp_path / "ride.log"

    def turn(self: Running, *_: object) -> None:
        self.log(Kind.TICK, payload_of({}), Moment(1.0, 1_800_697_200.0))
        hangs.set()
        over.wait(60.0)

    def leaves() -> None:
        assert hangs.wait(60.0)
        os.kill(os.getpid(), signal.SIGTERM)

    monkeypatch.setattr(Running, "turn", turn)
    monkeypatch.setattr(followed_in, "ENDS_S", 0.3)
    monkeypatch.setattr("sys.stdin", io.StringIO(""))
    leaver = threading.Thread(target=leaves)
    leaver.start()
    ended = ride_text(replace(TOLD, feeds=(), log=log))
    leaver.join()
    over.set()
    assert ended.is_hung
    assert f"The log {log} is unfinished" in ended.words
    assert "A sum did not end within 20 s and was left" in ended.words
    with open_log(log) as (_, scan):
        assert [one.kind for one in scan][-1] is Kind.TICK
        assert scan.why == ""


def test_what_is_refused_is_raised(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO(""))
    with pytest.raises(InputError, match="feed is 'tracker'"):
        ride_text(replace(TOLD, log=tmp_path / "ride.log"))
