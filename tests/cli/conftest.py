"""Commands as a person runs them."""

import sys
from collections.abc import Callable

import pytest

from farglide.cli.main import run

Said = Callable[..., tuple[int, str, str]]
"""Runs farglide with arguments; returns exit code, output and errors."""


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
