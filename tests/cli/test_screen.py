"""Screen: drawn in place, never cleared between, keys taken one by one; a real terminal too."""

import os
import sys
from collections.abc import Sequence

import pytest

from farglide.cli.screen import Line, Plain, Screen, face_of

from .terminals import terminal_of, until


def test_keys_make_a_line() -> None:
    line = Line()
    assert line.take("la") == []
    assert line.text == "la"
    assert line.take("\x7faunch\x1b[Aed\n") == ["launched"]
    assert line.take("boat\x15u\r\nq") == ["u", ""]
    assert line.text == "q"
    assert line.take("\x00\t") == []
    assert line.text == "q"


def lines(columns: int, rows: int) -> Sequence[str]:
    return [f"row {k}" for k in range(rows - 1)]


@pytest.fixture
def size(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Return the size of the terminal, to be changed."""
    found = [80, 24]
    monkeypatch.setattr(
        "shutil.get_terminal_size", lambda *_: os.terminal_size((found[0], found[1]))
    )
    return found


def test_a_screen_is_cleared_once_and_then_drawn_over(size: list[int]) -> None:
    written: list[str] = []
    keys = ["", "ab", ""]
    screen = Screen(written.append, lambda: keys.pop(0) if keys else "")
    screen.draw(lines)
    assert written[0] == "\x1b[H\x1b[2J"
    assert written[1].startswith("\x1b[Hrow 0\x1b[K\r\n")
    assert written[1].count("\r\n") == 23
    assert written[1].endswith("> \x1b[K\x1b[J")
    screen.draw(lines)
    assert len(written) == 2  # nothing is otherwise
    assert (screen.typed(), screen.typed()) == ([], [])
    screen.draw(lines)
    assert len(written) == 3
    assert written[2].endswith("> ab\x1b[K\x1b[J")
    assert screen.half == "ab"
    assert "\x1b[2J" not in written[2]
    size[0] = 100
    screen.draw(lines)
    assert written[3] == "\x1b[H\x1b[2J"


def test_what_would_steer_the_terminal_is_shown_as_none(size: list[int]) -> None:
    written: list[str] = []
    Screen(written.append, lambda: "").draw(lambda *_: ["a\x1b[2Jb"])
    assert written[1].startswith("\x1b[Ha�[2Jb\x1b[K")


def test_a_long_line_shows_its_end(size: list[int]) -> None:
    written: list[str] = []
    screen = Screen(written.append, lambda: "x" * 100 + "END")
    screen.typed()
    screen.draw(lambda *_: [])
    assert "xEND\x1b[K" in written[1]
    assert len(written[1].replace("\x1b[H", "").replace("\x1b[K", "").replace("\x1b[J", "")) < 80


def test_nobody_types_any_more() -> None:
    screen, plain = Screen(lambda _: None, lambda: None), Plain(lambda: None)
    for face in (screen, plain):
        assert not face.is_closed
        assert face.typed() == []
        assert face.is_closed


def test_without_a_terminal_lines_are_taken_and_nothing_is_drawn(
    capsys: pytest.CaptureFixture[str],
) -> None:
    texts = ["laun", "ched\nq 3\n", None]
    plain = Plain(lambda: texts.pop(0))
    assert plain.typed() == []
    assert plain.half == "laun"
    assert [plain.typed() for _ in range(2)] == [["launched", "q 3"], []]
    assert plain.half == ""
    plain.draw(lines)
    assert capsys.readouterr().out == ""
    assert not plain.is_screen


def test_tests_have_no_terminal() -> None:
    with face_of() as face:
        assert not face.is_screen


SHOWS = """
import time
from farglide.cli.screen import face_of
with face_of() as face:
    typed = []
    while not typed:
        face.draw(lambda columns, rows: [f"screen {face.is_screen}"])
        typed = face.typed()
        time.sleep(0.02)
print("typed", typed)
"""


def test_in_a_real_terminal_each_key_is_taken_and_all_is_as_before_at_the_end() -> None:
    with terminal_of([sys.executable, "-c", SHOWS]) as handle:
        told = until(handle, b"screen True")
        os.write(handle, b"laun")
        told += until(handle, b"> laun")
        os.write(handle, b"ched\n")
        told += until(handle, b"typed ['launched']")
    assert told.count(b"\x1b[2J") == 1
