"""Commands for afterwards: what the flights teach."""

from pathlib import Path
from typing import Annotated

import typer

from farglide.cli.terminal import tell, tell_document

app = typer.Typer(rich_markup_mode=None)


@app.command()
def review(
    *,
    logs: Annotated[
        list[Path], typer.Argument(metavar="LOG...", help="Logs of rides, or tracks beside them.")
    ],
    flight: Annotated[
        Path | None, typer.Option(help="A flight file: the gear of tracks without a log.")
    ] = None,
    out: Annotated[Path | None, typer.Option(help="Write the review and next values here.")] = None,
    draws: Annotated[int, typer.Option(help="How many flights are drawn.")] = 1000,
    as_json: Annotated[bool, typer.Option("--json", help="Print one JSON document.")] = False,
) -> None:
    """Say what was promised, what happened, and what to believe next time."""
    from farglide.cli.told import REVIEW, Told
    from farglide.cli.warm import warming

    told = Told(as_json, (REVIEW,))
    with warming(told, REVIEW) as ready:
        from farglide.cli import review as face
        from farglide.cli.answers import document_text
        from farglide.cli.plan import grain_asked

        typed = face.Typed(logs=logs, out=out, flight=flight)
        found = face.reviewed(typed, grain_asked(draws, 1), told, ready)
    told.finish()
    if as_json:
        tell_document(document_text(found))
        return
    tell(face.review_text(found, out))
