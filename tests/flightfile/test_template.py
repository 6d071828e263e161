"""The file that a new flight begins with."""

import re
import tomllib

import pytest

from farglide.errors import Problem
from farglide.flightfile.entries import Section, read_entries
from farglide.flightfile.flightfile import EVERY
from farglide.flightfile.template import template_text


def test_every_section_of_the_template_is_read() -> None:
    problems: list[Problem] = []
    entries = read_entries(tomllib.loads(template_text()), EVERY, problems)
    assert not problems
    assert entries.the("launch").name == "Launch meadow"


@pytest.mark.parametrize("section", EVERY, ids=lambda section: section.name)
def test_every_key_without_a_number_stands_in_the_template(section: Section) -> None:
    for key in section.words.keys() - {"timed_glides"}:  # these stand as sections of their own
        assert re.search(rf"\b{key} = ", template_text()), key
