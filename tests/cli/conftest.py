"""Commands as a person runs them."""

import sys
from collections.abc import Callable

import pytest

from farglide.cli.main import run

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
