"""The terminal: whatever it can show, and whatever becomes of what is written to it."""

import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from farglide.cli import terminal
from farglide.cli.terminal import columns, shown, shown_json

Said = Callable[..., tuple[int, str, str]]
CODE = "from farglide.cli.main import run; run()"


def ran(shell: str, tmp_path: Path, **environment: str) -> tuple[int, bytes, bytes]:
    """Run a line of the shell in which $F stands for the command; code, output, errors."""
    command = f"F() {{ {sys.executable} -c '{CODE}' \"$@\"; }}; {shell}"
    done = subprocess.run(
        ["bash", "-o", "pipefail", "-c", command],
        capture_output=True, cwd=tmp_path, env={**os.environ, **environment},
    )  # fmt: skip
    return done.returncode, done.stdout, done.stderr


@pytest.mark.parametrize("c", ["\x1b", "\x07", "\r", "\t", "\x7f", "\x9b", "\u202e", "\u2028"])
def test_what_steers_a_terminal_is_not_shown(c: str) -> None:
    assert shown(f"a{c}b\n") == "a\ufffdb\n"
    assert shown(f"a{c}b", "ascii") == "a?b"
    assert shown_json(f'"a{c}b"') == f'"a\\u{ord(c):04x}b"'


def test_half_a_character_is_shown_as_none() -> None:
    assert shown("a\udcffb") == "a\ufffdb"  # a byte of a file's name that is no UTF-8
    assert shown_json('"\udcff"') == '"\\udcff"'
    assert shown_json('"\U0001f388"', "latin-1") == '"\\ud83c\\udf88"'


def test_every_sign_of_ours_has_a_plain_one() -> None:
    ours = "− – — … ’ “” ° × ± ² ³ Ø ß"
    assert shown(ours) == ours
    plain = '- - - ... \' ""  deg x +/- 2 3 O ss'
    assert shown(ours, "ascii") == plain
    assert shown("5° ±2 −3", "latin-1") == "5° ±2 -3"
    assert shown("x", "no such coding") == "x"


@pytest.mark.parametrize("encoding", ["latin-1", "ascii", "cp437", "utf-8"])
def test_a_terminal_of_any_encoding_gets_the_answer(tmp_path: Path, encoding: str) -> None:
    (tmp_path / "f.toml").write_text('[flight]\nname = "Höhe – 5 °\\u0142"\n', encoding="utf-8")
    code, out, err = ran("F check f.toml", tmp_path, PYTHONIOENCODING=encoding)
    assert (code, out) == (2, b"")
    assert b"Traceback" not in err
    code, out, err = ran("F new n.toml; F check n.toml", tmp_path, PYTHONIOENCODING=encoding)
    assert b"Traceback" not in err
    assert b"Wrote n.toml" in out


def test_control_characters_of_a_file_reach_no_terminal(said: Said, tmp_path: Path) -> None:
    file = tmp_path / "bad\x1b[31m.toml"
    file.write_text('[flight]\nna\x1bme = "a"\n', encoding="utf-8")
    code, out, err = said("check", file)
    assert (code, out) == (2, "")
    assert "\x1b" not in err
    winds = tmp_path / "winds.csv"
    winds.write_text("# origin: \x1b]0;mine\x07\ngph_m\x1b[2J,u_mps,v_mps\n1,2,3\n1,2,3\n1,2,3\n")
    from farglide.cli.plan import DEMO

    code, out, err = said("plan", DEMO, "--winds", winds)
    assert code == 2
    assert "\x1b" not in err + out


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
def test_a_full_output_is_told(tmp_path: Path) -> None:
    code, _, err = ran("F new a.toml > /dev/full", tmp_path)
    assert code == 2
    assert err.decode().splitlines() == [
        "Standard output cannot be written: No space left on device. Send the answer elsewhere."
    ]
    code, out, _ = ran("F new b.toml 2> /dev/full", tmp_path)
    assert (code, out[:5]) == (0, b"Wrote")
    assert ran("F check gone.toml 2> /dev/full", tmp_path)[:2] == (2, b"")


def test_a_closed_output_is_told_before_the_work(tmp_path: Path) -> None:
    code, _, err = ran("F new a.toml >&-", tmp_path)
    assert (code, err) == (2, b"Standard output is closed: the answer has nowhere to go.\n")
    assert not (tmp_path / "a.toml").exists()
    code, out, _ = ran("F new a.toml 2>&- <&-", tmp_path)
    assert (code, out[:5]) == (0, b"Wrote")
    assert ran("F new a.toml 2>&-", tmp_path)[:2] == (2, b"")  # it is there


def test_who_has_read_enough_is_let_go_quietly(tmp_path: Path) -> None:
    _, out, err = ran("F new a.toml | true; F --help | head -1", tmp_path)
    assert b"Traceback" not in err
    assert b"Exception ignored" not in err
    assert out.count(b"\n") == 1


def test_no_home_and_no_folder_to_write_to_is_no_hindrance(tmp_path: Path) -> None:
    line = "unset HOME XDG_CACHE_HOME FARGLIDE_CACHE; F new a.toml; F check a.toml"
    _, out, err = ran(line, tmp_path)
    assert b"Traceback" not in err
    assert b"Wrote a.toml" in out


def test_nothing_writes_to_the_terminal_past_what_cleans_it() -> None:
    package = Path(terminal.__file__).parents[1]
    # progress holds no words of a file; the screen of a ride cleans each line before it steers
    doors = {"terminal.py", "told.py", "quiet.py", "screen.py"}
    for path in package.rglob("*.py"):
        text = path.read_text(encoding="utf-8")
        for way in ("typer.echo", "sys.stdout", "sys.stderr", "\n    print("):
            assert way not in text or path.name in doors, (path.name, way)


@pytest.mark.parametrize(("is_terminal", "wide", "taken"), [
    (False, 60, 100), (True, 60, 80), (True, 92, 92), (True, 200, 100),
])  # fmt: skip
def test_the_screen_is_as_wide_as_the_terminal(
    monkeypatch: pytest.MonkeyPatch, is_terminal: bool, wide: int, taken: int
) -> None:
    monkeypatch.setattr(sys.stdout, "isatty", lambda: is_terminal)
    monkeypatch.setattr(shutil, "get_terminal_size", lambda: os.terminal_size((wide, 40)))
    assert columns() == taken
