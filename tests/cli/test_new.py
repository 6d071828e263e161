"""The new command, run as a person runs it."""

import sys
from importlib.resources import files
from pathlib import Path

import pytest
from typer.testing import CliRunner

from farglide.cli.main import app, run
from farglide.errors import InputError
from farglide.flightfile.template import template_text

DEMO = Path(str(files("farglide.flightfile") / "assets" / "amber-evening.toml"))
RUNNER = CliRunner()


def ran(monkeypatch: pytest.MonkeyPatch, *arguments: str) -> int:
    """Run the console entry and return its exit code."""
    monkeypatch.setattr(sys, "argv", ["farglide", *arguments])
    with pytest.raises(SystemExit) as left:
        run()
    return left.value.code if isinstance(left.value.code, int) else 0


def test_new_file_is_a_flight_that_check_takes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "mine.toml"
    assert ran(monkeypatch, "new", str(file)) == 0
    assert f"farglide check {file}" in capsys.readouterr().out
    assert file.read_text(encoding="utf-8") == template_text()
    assert ran(monkeypatch, "check", str(file)) == 0
    out = capsys.readouterr().out
    assert "First flight: launch at Launch meadow on Tuesday 15 June 2027, 09:30" in out
    assert "It bursts at a diameter of 7.553 m ± 1.133 m, guess." in out
    assert "The glider weighs 0.68 kg, measured." in out
    assert "take the bursting diameter from the balloon's own sheet" in out
    assert "land: missing" in out


def test_new_never_writes_over_a_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "mine.toml"
    file.write_text("mine", encoding="utf-8")
    assert ran(monkeypatch, "new", str(file)) == 2
    caught = capsys.readouterr()
    assert "allowed: a name not yet taken" in caught.err
    assert caught.out == ""
    assert file.read_text(encoding="utf-8") == "mine"


def test_new_tells_when_the_folder_is_not_there(tmp_path: Path) -> None:
    result = RUNNER.invoke(app, ["new", str(tmp_path / "none" / "mine.toml")])
    assert isinstance(result.exception, InputError)
    assert "cannot be written" in str(result.exception)


def test_new_without_a_name_writes_flight_toml(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert RUNNER.invoke(app, ["new"]).exit_code == 0
    assert (tmp_path / "flight.toml").exists()
