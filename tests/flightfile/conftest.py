"""What tests of the flight file share: one section read on its own."""

import tomllib
from collections.abc import Callable

import pytest

from farglide.errors import Problem
from farglide.flightfile.entered import read_entries
from farglide.flightfile.entries import Entry, Section

Entered = Callable[[Section, str], Entry]
Told = Callable[[Section, str], list[str]]


@pytest.fixture
def entered() -> Entered:
    """Return a function that reads the last entry of one section, in which nothing is wrong."""

    def enter(section: Section, text: str) -> Entry:
        problems: list[Problem] = []
        entries = read_entries(tomllib.loads(text), [section], problems)
        assert not problems
        return entries.of[section.name][-1]

    return enter


@pytest.fixture
def told() -> Told:
    """Return a function that reads one section and returns what is wrong in it."""

    def tell(section: Section, text: str) -> list[str]:
        problems: list[Problem] = []
        read_entries(tomllib.loads(text), [section], problems)
        return [str(problem) for problem in problems]

    return tell
