"""Commands of the day stand among all others."""

import typer.main

from farglide.cli import day
from farglide.cli.main import app


def test_they_are_commands_of_farglide() -> None:
    every = vars(typer.main.get_command(app))["commands"]
    own = vars(typer.main.get_command(day.app))["commands"]
    assert set(own) == {"export", "feeds", "ride", "ask", "search", "rehearse"}
    assert set(own) < set(every)
