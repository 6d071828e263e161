"""The ride command, as a person runs it without a terminal, and what reads its log."""

import io
import json
import os
import re
import sys
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

import pytest
from tests.live.made import nmea

from farglide.cli.plan import DEMO
from farglide.track.journal.frame import Kind
from farglide.track.journal.reader import open_log, survey
from farglide.track.reports import Fix

from .commands import Said
from .terminals import terminal_of, until

LAUNCH_T_S = 1_800_697_200.0
FEW = ("--draws", "60")
Types = Callable[[Sequence[str]], None]


@pytest.fixture
def climb(tmp_path: Path) -> Path:
    """Return what a tracker says in 20 minutes of a climb at 5 m/s, each 20 s."""
    path = tmp_path / "climb.nmea"
    path.write_bytes(b"".join(nmea(_fix(20.0 * k)) for k in range(61)))
    return path


def _fix(s: float) -> Fix:
    return Fix(feed="tracker", lat_deg=-46.5 - 3e-5 * s, lon_deg=108.0 + 1e-4 * s,
               t_s=LAUNCH_T_S + s, height_m=240.0 + 5.0 * s)  # fmt: skip


@pytest.fixture
def types(monkeypatch: pytest.MonkeyPatch) -> Iterator[Types]:
    """Yield a function that lets some lines be typed, and then nothing more."""
    opened: list[io.TextIOWrapper] = []

    def type_lines(lines: Sequence[str]) -> None:
        read, write = os.pipe()
        os.write(write, "".join(f"{line}\n" for line in lines).encode())
        os.close(write)
        opened.append(io.TextIOWrapper(os.fdopen(read, "rb")))
        monkeypatch.setattr("sys.stdin", opened[-1])

    yield type_lines
    for one in opened:
        one.close()


def test_a_file_is_followed_to_its_end_and_the_log_answers_questions(
    said: Said, climb: Path, tmp_path: Path, types: Types
) -> None:
    log = tmp_path / "ride.log"
    types([])
    asked = ("ride", DEMO, "--feed", f"tracker=file:{climb}", "--log", log, *FEW)
    code, text, _ = said(*asked)
    assert code == 0
    assert re.search(r"^17:00:0\d (WATCH|QUIET): Wait\. Window opens at ", text, re.MULTILINE)
    assert re.search(r" 6\.[23] km, 46\.53\d S 108\.12\d E, fresh\.$", text, re.MULTILINE)
    assert text.endswith(f"The log {log} is unfinished: the same command goes on with it.\n")
    code, text, err = said("ask", "where", DEMO, "--track", log, *FEW)
    assert code == 0
    assert re.search(r"6\.[23] km up, 46\.536 S 108\.12\d E, at 17:00\.", text)  # some seconds on
    assert "The log is unfinished: this is the track so far." in err
    types(["q", "n", "q 4", "late 5", "q", "y"])
    code, text, err = said(*asked)
    assert code == 0
    assert "Gone on with after" in err
    assert "End the ride?" in text
    assert "Taken: picture 4." in text
    assert text.endswith(f"The log {log} is finished.\n")
    assert survey(log).is_finished
    code, _, err = said(*asked)
    assert code != 0
    assert "--log is the finished log" in err
    assert survey(log).is_finished
    _, text, _ = said("ask", "where", DEMO, "--track", log, "--json", *FEW)
    assert json.loads(text)["after_launch_s"] == pytest.approx(1200.0, abs=10.0)  # it was not late
    with open_log(log) as (head, scan):
        kinds = [one.kind for one in scan]
    assert head.flight == DEMO.read_text(encoding="utf-8")
    assert kinds.count(Kind.FIX) == 61  # the file was read twice, its fixes counted once
    assert Kind.ADVICE in kinds


def test_the_log_of_another_flight_is_refused(
    said: Said, tmp_path: Path, flight: Path, types: Types
) -> None:
    log = tmp_path / "ride.log"
    types(["q", "y"])
    assert said("ride", DEMO, "--log", log, *FEW)[0] == 0
    flight.write_text(flight.read_text(encoding="utf-8") + "\n# changed\n", encoding="utf-8")
    code, _, err = said("ride", flight, "--log", log, *FEW)
    assert code == 2
    assert "is the log of another flight: another flight file." in err


def test_a_feed_that_is_none_is_refused(said: Said, tmp_path: Path) -> None:
    code, _, err = said("ride", DEMO, "--feed", "tracker", "--log", tmp_path / "a.log", *FEW)
    assert code == 2
    assert "feed is 'tracker'; allowed: a name, = and where it comes from" in err
    assert not (tmp_path / "a.log").exists()


def test_in_a_terminal_it_is_typed_at_asked_to_end_and_ended(tmp_path: Path) -> None:
    log = tmp_path / "ride.log"
    ride = (sys.executable, "-m", "farglide", "ride", str(DEMO), "--log", str(log), *FEW)
    with terminal_of(ride) as handle:
        until(handle, b"On the hand. Type launched when it leaves it.")
        os.write(handle, b"launched\n")
        until(handle, b"Taken: launched.")
        os.write(handle, b"\x03")  # Ctrl-C
        until(handle, b"End the ride?")
        os.write(handle, b"y\n")
        until(handle, b"is finished.")
    assert survey(log).is_finished


def test_ended_by_the_system_it_can_be_gone_on_with(tmp_path: Path) -> None:
    log = tmp_path / "ride.log"
    ride = (sys.executable, "-m", "farglide", "ride", str(DEMO), "--log", str(log), *FEW)
    with terminal_of(ride) as handle:
        until(handle, b"On the hand.")
        os.write(handle, b"q 3\n")
        until(handle, b"Taken: picture 3.")
        os.write(handle, b"\x03")
        until(handle, b"End the ride?")
        os.write(handle, b"\x03")
        until(handle, b"is unfinished")
    with terminal_of(ride) as handle:
        told = until(handle, b"picture 3")
        assert b"Gone on with after" in told
        os.write(handle, b"q\ny\n")
        until(handle, b"is finished.")


def test_questions_are_answered_in_the_ride(
    said: Said, climb: Path, tmp_path: Path, types: Types
) -> None:
    types(["? sun", "", "f frost", "? nothing"])
    log = tmp_path / "ride.log"
    _, text, _ = said("ride", DEMO, "--feed", f"tracker=file:{climb}", "--log", log, *FEW)
    assert "There is no question 'nothing'. Nearest: " in text
    assert survey(log).n_records > 0
