"""Commands as a person runs them."""

import json
import shutil
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from farglide.cli.main import run
from farglide.cli.plan import DEMO

Said = Callable[..., tuple[int, str, str]]
"""Runs farglide with arguments; returns exit code, output and errors."""


@pytest.fixture(autouse=True)
def today(monkeypatch: pytest.MonkeyPatch) -> float:
    """Set the clock of the commands to an hour before the launch of the demo; return it."""
    t_s = 1_800_693_600.0
    monkeypatch.setattr("farglide.cli.main.now_t_s", lambda: t_s)
    return t_s


@pytest.fixture
def said(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Said:
    """Return a function that runs a command line in this process."""

    def ran(*arguments: object) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["farglide", *map(str, arguments)])
        try:
            run()
            code = 0
        except SystemExit as left:
            code = left.code if isinstance(left.code, int) else 0
        caught = capsys.readouterr()
        return code, caught.out, caught.err

    return ran


WINDS = DEMO.parent / "amber-evening-winds.csv"


GROUND = DEMO.with_name("amber-evening-ground.tif")


FEW = ("--draws", "60")


Said = Callable[..., tuple[int, str, str]]


Document = dict[str, Any]


@pytest.fixture
def farglide(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Said:
    """Return a function that runs the console entry: exit code, standard output, standard error."""

    def ran(*arguments: str | Path) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["farglide", *map(str, arguments)])
        with pytest.raises(SystemExit) as left:
            run()
        code = left.value.code if isinstance(left.value.code, int) else 0
        caught = capsys.readouterr()
        return code, caught.out, caught.err

    return ran


@pytest.fixture
def flight(tmp_path: Path) -> Path:
    """Return a copy of the demo's flight file with its winds beside it."""
    folder = tmp_path / "flight"
    folder.mkdir()
    shutil.copy(DEMO, folder / "mine.toml")
    shutil.copy(WINDS, folder / WINDS.name)
    shutil.copy(GROUND, folder / GROUND.name)
    return folder / "mine.toml"


def changed(file: Path, old: str, new: str) -> None:
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new), encoding="utf-8")


def strictly_read(text: str) -> Document:
    """Return a JSON document that holds no NaN and no Infinity."""

    def refuse(word: str) -> float:
        raise AssertionError(f"{word} is no JSON")

    read = json.loads(text, parse_constant=refuse)
    assert isinstance(read, dict)
    return read


def files_below(folder: Path) -> list[str]:
    return sorted(str(path.relative_to(folder)) for path in folder.rglob("*"))


def assert_refused(said: tuple[int, str, str], *words: str, progress: bool = False) -> None:
    """One message, exit code 2, nothing on standard output, no trace of the program's inside."""
    code, out, err = said
    assert (code, out) == (2, "")
    assert "Traceback" not in err
    lines = [line for line in err.splitlines() if not (progress and line.startswith("["))]
    assert len(lines) >= 1
    for word in words:
        assert word in err
