"""Commands for afterwards stand among all others."""

import typer.main

from farglide.cli import afterwards
from farglide.cli.main import app


def test_the_review_is_a_command_of_farglide() -> None:
    every = vars(typer.main.get_command(app))["commands"]
    own = typer.main.get_command(afterwards.app)
    assert own.name == "review"
    assert "review" in every
