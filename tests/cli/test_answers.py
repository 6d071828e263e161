"""Answers: as wide as the terminal, of payloads as of gliders, named where they are written."""

import os
import shutil
import sys
from pathlib import Path
from types import ModuleType

import pytest

from farglide.cli import answers

from ..present.payload_sample import payload_sample


@pytest.mark.parametrize(("is_terminal", "wide", "columns"), [
    (False, 60, 100), (True, 60, 80), (True, 92, 92), (True, 200, 100),
])  # fmt: skip
def test_the_screen_is_as_wide_as_the_terminal(
    monkeypatch: pytest.MonkeyPatch, is_terminal: bool, wide: int, columns: int
) -> None:
    monkeypatch.setattr(sys.stdout, "isatty", lambda: is_terminal)
    monkeypatch.setattr(shutil, "get_terminal_size", lambda: os.terminal_size((wide, 40)))
    assert answers.columns() == columns


def test_a_payload_is_told_whole_at_once() -> None:
    payload = payload_sample()
    assert answers.begun_text(payload) == answers.answer_text(payload)
    assert not answers.rest_text(payload)
    assert answers.written_words(payload, Path("out")) == "Landing: out/landing.geojson"


def test_the_end_of_the_screen_says_how_to_see_more_or_goes_on(samples: ModuleType) -> None:
    outlook = samples.sample()
    short, full = answers.rest_text(outlook), answers.rest_text(outlook, full=True)
    assert " ".join(short.split()).endswith("To print and carry: --out FOLDER.")
    assert full.startswith(short.partition("\n\n")[0])
    assert len(full) > 3 * len(short)
    assert answers.written_words(outlook, Path("out")) == "Brief: out/brief.html"
