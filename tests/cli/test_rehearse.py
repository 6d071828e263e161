"""The rehearse command, as a person runs it: run through, served, logged, and refused."""

import io
import socket
import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from farglide.cli import rehearse
from farglide.cli.plan import DEMO
from farglide.live.rehearse.served import DOWN, HOW, LAUNCHED
from farglide.live.rehearse.surprises import SURPRISES
from farglide.track.journal.reader import survey

from ..live.feeds.ways import until
from .commands import Said, assert_refused

FEW = ("--draws", "60")
FAST = ("--speed", "1000")


def test_it_runs_through_by_itself(said: Said, tmp_path: Path) -> None:
    log = tmp_path / "rehearsal.log"
    code, text, _ = said("rehearse", DEMO, *FAST, *FEW, "--seed", "0", "--crew", "25km",
                         "--surprise", "pin-sticks", "--log", log)  # fmt: skip
    assert code == 0
    lines = text.splitlines()
    assert lines[0] == "Rehearsal, seed 0; surprises: a pin that works at the second try."
    assert any(line.endswith("Not released: the pin does not follow.") for line in lines)
    assert any("Released at 25." in line for line in lines)
    assert "It came down on its field in time." in lines
    assert survey(log).is_finished


def hear(line: str, found: list[bytes]) -> None:
    """Connect to the tracker that a line names, and keep what it sends."""
    port = int(line.split("tracker=tcp://127.0.0.1:")[1].split()[0])
    with socket.create_connection(("127.0.0.1", port), timeout=20.0) as one:
        while data := one.recv(65_536):
            found.append(data)


def test_it_is_served_and_the_release_is_typed(said: Said, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO(""))
    found: list[bytes] = []
    told: list[str] = []
    own = rehearse.desk_of

    def quick(speed: float, say: Callable[[str], None], port: int) -> rehearse.Desk:
        """Return the desk, much faster, with a release at T+70."""
        desk, typed, at = own(1e9, say, port), ["r", "nonsense"], [0.0]
        assert speed == 20.0

        def wait_until(rehearsed_s: float) -> bool:
            at[0] = rehearsed_s
            return desk.wait_until(rehearsed_s)

        def lines() -> list[str]:
            return [typed.pop()] if typed and at[0] > (4260.0, 100.0)[len(typed) - 1] else []

        def show(line: str) -> None:
            told.append(line)
            if "farglide ride" in line:
                threading.Thread(target=hear, args=(line, found), daemon=True).start()
            desk.say(line)

        return rehearse.Desk(wait_until, lines, show)

    monkeypatch.setattr(rehearse, "desk_of", quick)
    code, text, _ = said("rehearse", DEMO, "--speed", "20", *FEW, "--seed", "0")
    assert code == 0
    words = " ".join(" ".join(told).split())
    assert words.startswith(f"A made-up flight of {DEMO.name}, launched at 16:40 by its own clock.")
    assert "a minute of it takes 3 s, 2 hours take 6 min." in words
    assert f"farglide ride {DEMO} --feed tracker=tcp://127.0.0.1:" in words
    assert " --feed car=tcp://127.0.0.1:" in words
    assert " --speed 20 --log rehearsal.log" in words
    assert "Nothing happens before." in words
    assert HOW.split(";")[0] in words
    assert "It begins. Launch in 60 s of the flight: in 3 s here." in told
    assert LAUNCHED in told
    assert told[-4:] == ["Sent.", "Released, for Harrowend strip.", DOWN,
                         "The flight is over. Its choices are weighed."]  # fmt: skip
    assert "T+70    Release" in text
    assert b"$GNGGA" in b"".join(found)


def test_the_desk_goes_by_its_clock_and_hands_on_what_is_typed(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO("r\nr tansy\n"))
    found: list[str] = []
    desk = rehearse.desk_of(1000.0, found.append)
    assert desk.wait_until(0.0)
    assert desk.wait_until(50.0)
    typed = list(desk.typed())
    assert until(lambda: bool(typed.extend(desk.typed()) or len(typed) == 2))
    assert typed == ["r\n", "r tansy\n"]
    desk.say("heard")
    assert found == ["heard"]


def test_refusals(said: Said, tmp_path: Path) -> None:
    there = tmp_path / "there.log"
    there.write_bytes(b"")
    asked = ("rehearse", DEMO, *FEW)
    for more, words in (
        (("--surprise", "rain"), "--surprise is 'rain'; allowed: slow-leak, "),
        (("--crew", "cat"), "--crew is 'cat'; allowed: advice, window, plan, 25km, 5min, you"),
        (("--speed", "0"), "--speed is 0 times; allowed: 0.1 to 1\u2009000\u2009000 times"),
        (("--port", "80"), "--port is 80; allowed: 1024 to 65534, or 0 for any"),
        (("--seed", "-1"), "--seed is -1; allowed: 0 to 2**62 - 1; 0 draws nothing"),
        ((*FAST, "--crew", "you"), "--speed is 1000 times; allowed: up to 100 for you"),
        (("--log", there), "the log is "),
        (("--surprise", "winds-left", "--surprise", "winds-right"), "change the same thing"),
    ):
        assert_refused(said(*asked, *more), words, progress=True)


def test_every_surprise_stands_in_the_page() -> None:
    page = (Path(__file__).parents[2] / "docs" / "ride.rst").read_text(encoding="utf-8")
    for one in SURPRISES:
        assert f"``{one.name}``" in page, one.name
