"""Answers: of payloads as of gliders, in parts or whole, named where they are written."""

from pathlib import Path
from types import ModuleType

from farglide.cli import answers

from ..present.payload_sample import payload_sample


def test_a_payload_is_told_whole_at_once() -> None:
    payload = payload_sample()
    assert answers.begun_text(payload) == answers.answer_text(payload)
    assert answers.rest_text(payload).startswith("All numbers: --full.")
    assert not answers.rest_text(payload, full=True)
    assert "Levels" in answers.begun_text(payload, full=True)


def test_the_end_of_the_screen_says_how_to_see_more_or_goes_on(samples: ModuleType) -> None:
    outlook = samples.sample()
    short, full = answers.rest_text(outlook), answers.rest_text(outlook, full=True)
    assert " ".join(short.split()).endswith("To print and carry: --out FOLDER.")
    assert full.startswith(short.partition("\n\n")[0])
    assert len(full) > 3 * len(short)
    assert answers.written_words(Path("out")) == "Brief: out/brief.html"
