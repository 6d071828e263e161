"""The file that a new flight begins with."""

import tomllib

from farglide.errors import Problem
from farglide.flightfile.entries import read_entries
from farglide.flightfile.sections import keytable
from farglide.flightfile.template import template_text


def test_every_section_of_the_template_is_read() -> None:
    problems: list[Problem] = []
    entries = read_entries(tomllib.loads(template_text()), keytable.EVERY, problems)
    assert not problems
    assert entries.the("launch").name == "Launch meadow"
