"""A ride shown: up within a second in a terminal, and what is refused is said."""

import io
import os
import sys
import time
from dataclasses import replace
from pathlib import Path

import pytest

from farglide.cli.plan import DEMO
from farglide.cli.rideshown import Told, ride_text
from farglide.errors import InputError

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


def test_what_is_refused_is_raised(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO(""))
    with pytest.raises(InputError, match="feed is 'tracker'"):
        ride_text(replace(TOLD, log=tmp_path / "ride.log"))
