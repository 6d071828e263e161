"""The file that a new flight begins with."""

import re
import tomllib
from pathlib import Path

import pytest

from farglide.errors import FlightFileError, Problem
from farglide.flightfile.entries import Section, read_entries
from farglide.flightfile.flightfile import EVERY, read_flight_file
from farglide.flightfile.sections.drop import COUNTS
from farglide.flightfile.sections.flight import PERMISSIONS
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


def test_template_names_every_key_and_opens_with_the_job() -> None:
    text = template_text()
    for quantities in [one.rows for one in EVERY]:
        for one in quantities:
            assert re.search(rf"\b({'|'.join(one.keys)}) = ", text), one.key
    for key in (*PERMISSIONS, *COUNTS, "gas", "drag_table", "zone", "file"):
        assert re.search(rf"\b{key} = ", text), key
    opening = text.splitlines()[:3]
    assert all(line.startswith("# ") for line in opening)
    assert "whether it can come home, from where, and until when" in opening[2]


def test_every_left_out_line_of_the_template_is_a_key_that_is_taken(tmp_path: Path) -> None:
    # With every "# key = value" line stated, only the pairs that exclude each other are refused.
    lines = [re.sub(r"^# (?=\[|\w+ = )", "", line) for line in template_text().splitlines()]
    file = tmp_path / "all.toml"
    file.write_text("\n".join(lines), encoding="utf-8")
    assert tomllib.loads(file.read_text(encoding="utf-8"))
    with pytest.raises(FlightFileError) as caught:
        read_flight_file(file)
    told = "\n".join(map(str, caught.value.problems))
    assert "is not a key" not in told
    assert "; allowed" not in told.replace("are 1; allowed: three or more", "")
    twos = ("one too many", "drag_table", "lift_max and stall_eas", "zero_lift_drag")
    assert all(word in told for word in twos)
