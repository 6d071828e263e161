"""Told: the bar shows the share of all work that is done, and is full only at the end."""

import ast
import sys
from pathlib import Path

import pytest

import farglide
from farglide.cli.told import BRIEF, COMPILING, COVERAGE, FIELDS, LINKS, PLAN, Told

_ROOT = Path(farglide.__file__).parent


def _marks(line: str) -> int:
    return line.split("]")[0].count("#")


def test_the_bar_grows_with_the_work_and_is_full_at_the_end(
    capsys: pytest.CaptureFixture[str],
) -> None:
    told = Told(False, (*PLAN, BRIEF))
    told.expect(COMPILING)
    told(f"{COMPILING}, once: climbs")
    told(f"{COMPILING}, once: climbs, hearing", 0.5)
    told(f"{COMPILING}, once: climbs, hearing", 0.6)  # the same words are not said twice
    for step in (*PLAN, BRIEF):
        told(f"{step} and more words")
    told.finish()
    lines = capsys.readouterr().err.splitlines()
    assert [_marks(line) for line in lines] == [0, 7, 15, 16, 17, 18, 19, 20]
    assert lines[1].endswith(" s  compiling the kernels, once: climbs, hearing")
    assert lines[-1].endswith("done")


def test_the_bar_is_not_full_before_the_end(capsys: pytest.CaptureFixture[str]) -> None:
    told = Told(False, ())
    told.expect(COMPILING)
    told(COMPILING, 1.0)
    told("something else")
    assert [_marks(line) for line in capsys.readouterr().err.splitlines()] == [19, 0]


def test_on_a_terminal_one_line_is_overwritten(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True)
    monkeypatch.setenv("COLUMNS", "120")
    told = Told(False, (LINKS,))
    told(LINKS + 200 * " far")
    told.finish()
    first, blank, end = capsys.readouterr().err.split("\r")[1:]
    assert len(first) == len(blank) == 99
    assert blank.strip() == end == ""


def test_the_line_of_a_terminal_is_cleared_for_what_is_printed_above_the_next(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    told = Told(False, PLAN)
    told.clear()
    assert capsys.readouterr().err == ""
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True)
    monkeypatch.setenv("COLUMNS", "120")
    told = Told(False, PLAN)
    told.clear()
    assert capsys.readouterr().err == ""  # nothing was told yet
    told(PLAN[0])
    told.clear()
    assert capsys.readouterr().err.endswith(f"\r{' ' * 99}\r")


def test_nothing_is_said_where_it_shall_be_quiet(capsys: pytest.CaptureFixture[str]) -> None:
    told = Told(True, PLAN)
    told(PLAN[0])
    told.finish()
    assert capsys.readouterr().err == ""


def test_all_that_commands_tell_is_a_known_step() -> None:
    """A step that nobody knows would leave the bar empty."""
    steps = (COMPILING, *PLAN, BRIEF, LINKS, FIELDS, *COVERAGE)
    files = [*(_ROOT / "plan").glob("*.py"), *(_ROOT / "cli").glob("*.py")]
    calls = [
        node
        for file in files
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Name)
        and node.func.id == "progress"
    ]
    words = [
        text.value
        for call in calls
        for text in ast.walk(call.args[0])
        if isinstance(text, ast.Constant) and isinstance(text.value, str)
    ]
    assert len(words) >= 6
    assert all(word.startswith(steps) for word in words), words


def test_on_a_narrow_terminal_the_line_does_not_wrap(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True)
    monkeypatch.setenv("COLUMNS", "80")
    told = Told(False, ("flying the draws",))
    told("flying the draws" + " and drawing" * 9)
    told.clear()
    told.clear()  # once is enough
    first, blank = capsys.readouterr().err.split("\r")[1:3]
    assert len(first) == len(blank) == 79
