"""farglide new --ask as a person types it, in a terminal and through a pipe."""

import fcntl
import os
import pty
import select
import signal
import subprocess
import sys
import termios
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from typer.testing import CliRunner

from farglide.cli.ask import Desk, ask_into
from farglide.cli.main import app
from farglide.errors import AnswerError, InputError

from ..flightfile.asked.answers import SWIFT

RUNNER = CliRunner()


def desk(answers: list[str], is_terminal: bool = False) -> tuple[Desk, list[str]]:
    """Return a desk that reads these answers, and what it shows; Ctrl-C is typed as ^C."""
    rows: Iterator[str] = iter(answers)
    shown: list[str] = []

    def read(_: str) -> str:
        said = next(rows, None)
        if said is None:
            raise EOFError
        if said == "^C":
            raise KeyboardInterrupt
        return said

    return Desk(read=read, say=shown.append, is_terminal=is_terminal), shown


def test_a_pipe_of_answers_makes_a_file_that_check_takes(tmp_path: Path) -> None:
    file = tmp_path / "swift.toml"
    asked = RUNNER.invoke(app, ["new", "--ask", str(file)], input="\n".join([*SWIFT, ""]))
    assert asked.exit_code == 0, asked.output
    assert "12 of 14. Where do the antennas of the crew stand?" in asked.output
    assert f"Next: farglide check {file}" in asked.output
    checked = RUNNER.invoke(app, ["check", str(file)])
    assert checked.exit_code == 0, checked.exception
    assert "Alpine swift: launch at Cuesta meadow on Sunday 14 March 2027, 10:20" in checked.output
    assert [one.name for one in tmp_path.iterdir()] == ["swift.toml"]


def test_where_the_input_ended_is_told_and_the_answers_are_kept(tmp_path: Path) -> None:
    file = tmp_path / "swift.toml"
    answers = ["# from the bench", *SWIFT[:6], "5", *SWIFT[6:8]]
    put, shown = desk(answers)
    with pytest.raises(AnswerError) as caught:
        ask_into(file, put)
    told = str(caught.value)
    assert "The input ended after line 10, at question 3 of 14." in told
    assert (
        "(width of the wing from front to back, in the mean). No flight file was written." in told
    )
    assert "not taken: line 8: That is 5 g; allowed: 30 to 25000 g." in told
    asked_again = "  Not taken: That is 5 g; allowed: 30 to 25000 g. Is that kilograms? Type 5 kg."
    assert asked_again in shown
    assert not file.exists()
    kept = (tmp_path / "swift.toml.answers").read_text(encoding="utf-8").splitlines()
    assert kept[1:] == list(SWIFT[:8])


def test_a_stop_at_the_terminal_goes_on_where_it_was(tmp_path: Path) -> None:
    file = tmp_path / "swift.toml"
    first, _ = desk([*SWIFT[:20], "^C"], is_terminal=True)
    with pytest.raises(AnswerError, match="You stopped at question 9 of 14"):
        ask_into(file, first)
    again, shown = desk(list(SWIFT[20:]), is_terminal=True)
    assert "Wrote" in ask_into(file, again)
    assert any("Your 20 answers of before are in" in line for line in shown)
    alone, _ = desk(list(SWIFT))
    ask_into(tmp_path / "alone.toml", alone)
    assert file.read_text(encoding="utf-8") == (tmp_path / "alone.toml").read_text(encoding="utf-8")
    assert not (tmp_path / "swift.toml.answers").exists()


def test_back_shows_what_was_typed(tmp_path: Path) -> None:
    put, shown = desk([*SWIFT[:7], "back", "550", *SWIFT[7:]])
    ask_into(tmp_path / "swift.toml", put)
    assert any("empty keeps 540" in line for line in shown)
    assert "mass_g = 550" in (tmp_path / "swift.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize("order", ["back", "go back", "Back", "undo"])
def test_every_word_for_back_goes_back(tmp_path: Path, order: str) -> None:
    at = SWIFT.index("Cuesta meadow") + 1
    put, _ = desk([*SWIFT[:at], order, "Other meadow", *SWIFT[at:]])
    ask_into(tmp_path / "swift.toml", put)
    assert 'name = "Other meadow"' in (tmp_path / "swift.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize("order", ["?", "help"])
def test_help_is_told_and_is_no_answer(tmp_path: Path, order: str) -> None:
    put, shown = desk([order, *SWIFT])
    ask_into(tmp_path / "swift.toml", put)
    assert sum("14 questions make a flight file" in line for line in shown) == 2
    assert 'name = "Alpine swift"' in (tmp_path / "swift.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize("order", ["quit", "exit", "stop"])
def test_who_wants_to_stop_keeps_the_answers(tmp_path: Path, order: str) -> None:
    put, _ = desk(["Alpine swift", order], is_terminal=True)
    with pytest.raises(AnswerError) as caught:
        ask_into(tmp_path / "swift.toml", put)
    assert "Your one answer is kept in" in str(caught.value)
    again, shown = desk([order], is_terminal=True)
    with pytest.raises(AnswerError):
        ask_into(tmp_path / "swift.toml", again)
    assert any("Your one answer of before is in" in line for line in shown)


def test_a_name_that_is_taken_is_told_before_the_questions(tmp_path: Path) -> None:
    file = tmp_path / "mine.toml"
    file.write_text("mine", encoding="utf-8")
    put, shown = desk([])
    with pytest.raises(InputError, match="a name not yet taken"):
        ask_into(file, put)
    assert shown == []
    with pytest.raises(InputError, match="cannot be written"):
        ask_into(tmp_path / "none" / "mine.toml", put)
    assert file.read_text(encoding="utf-8") == "mine"


def test_answers_that_cannot_be_kept_are_told(tmp_path: Path) -> None:
    (tmp_path / "swift.toml.answers").mkdir()
    put, _ = desk(["Alpine swift"])
    with pytest.raises(AnswerError, match=r"could not be kept in .*: Is a directory"):
        ask_into(tmp_path / "swift.toml", put)
    none, _ = desk([])
    with pytest.raises(AnswerError) as caught:
        ask_into(tmp_path / "swift.toml", none)
    assert "kept" not in str(caught.value)


def test_ctrl_c_in_a_real_terminal_keeps_the_answers(tmp_path: Path) -> None:
    file = tmp_path / "swift.toml"
    ours, theirs = pty.openpty()
    command = [sys.executable, "-m", "farglide", "new", "--ask", str(file)]
    with subprocess.Popen(command, stdin=theirs, stdout=theirs, stderr=theirs, close_fds=True,
                          start_new_session=True, preexec_fn=_own_terminal) as talk:  # fmt: skip
        os.close(theirs)
        try:
            shown = _until(ours, "Name of the flight")
            os.write(ours, b"Alpine swift\n")
            shown += _until(ours, "Date and time")
            os.write(ours, b"\x03")
            shown += _until(ours, "goes on from there")
            assert talk.wait(timeout=60) == 2
        finally:
            talk.kill()  # does nothing to one that has ended
    os.close(ours)
    assert "Traceback" not in shown
    assert "You stopped at question 1 of 14." in shown
    kept = tmp_path / "swift.toml.answers"
    assert kept.read_text(encoding="utf-8").splitlines()[1:] == ["Alpine swift"]


def _own_terminal() -> None:
    """Take the terminal, and hear Ctrl-C also where the tests run in the background."""
    fcntl.ioctl(0, termios.TIOCSCTTY, 0)
    signal.signal(signal.SIGINT, signal.SIG_DFL)


def _until(terminal: int, words: str) -> str:
    """Return what a terminal shows until some words are there."""
    shown, end_s = "", time.monotonic() + 60.0
    while words not in " ".join(shown.split()) and time.monotonic() < end_s:
        if select.select([terminal], [], [], 0.2)[0]:
            try:
                shown += os.read(terminal, 65_536).decode("utf-8")
            except OSError:  # the other end is closed
                break
    return shown
