"""farglide review: flights against their promises, and what to believe of the next one."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from farglide.cli.answers import document_text
from farglide.cli.outfiles import check_out, write_texts
from farglide.cli.reviewed import read_all
from farglide.cli.warm import Ready
from farglide.errors import InputError
from farglide.outlook.review import Review
from farglide.present.say.review.lines import next_file, review_lines
from farglide.report.review import render_review
from farglide.review.review import review_of
from farglide.sortie.grain import Grain

PAGE: Final = "review.html"
NEXT: Final = "next.toml"
DOCUMENT: Final = "review.json"


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """What the command line told."""

    logs: Sequence[Path]
    out: Path | None = None
    flight: Path | None = None


def reviewed(typed: Typed, grain: Grain, tell: Callable[[str], None], ready: Ready) -> Review:
    """Return the review that a command line asks for, its files written where asked for.

    Raises InputError, SourceError, FlightFileError.
    """
    check_out(typed.out)
    seen = [one.resolve() for one in typed.logs]
    twice = next((one for one in typed.logs if seen.count(one.resolve()) > 1), None)
    if twice is not None:
        raise InputError("LOG", f"{twice}, twice", "each flight once", "It would count twice.")
    ready()
    read = read_all(typed.logs, typed.flight, grain, tell)
    review = review_of(read.given, read.notes)
    if typed.out is not None:
        texts = {
            PAGE: render_review(review),
            NEXT: next_file(review),
            DOCUMENT: document_text(review) + "\n",
        }
        write_texts(texts, typed.out)
    return review


def review_text(review: Review, out: Path | None) -> str:
    """Return a review in words, and which files were written."""
    lines = review_lines(review)
    if out is not None:
        lines += ["", f"Review: {out / PAGE}. Lines for the next flight file: {out / NEXT}"]
    return "\n".join(lines)
