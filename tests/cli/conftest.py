"""Commands as a person runs them."""

import shutil
import sys
from pathlib import Path

import pytest

from farglide.cli.main import run
from farglide.cli.plan import DEMO

from .commands import GROUND, WINDS, Said


@pytest.fixture(autouse=True)
def today(monkeypatch: pytest.MonkeyPatch) -> float:
    """Set the clock of the commands to an hour before the launch of the demo; return it."""
    t_s = 1_800_693_600.0
    monkeypatch.setattr("farglide.cli.today.now_t_s", lambda: t_s)
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
