"""The file that a new flight begins with."""

import re
import tomllib
from pathlib import Path

import pytest

from farglide.errors import Problem
from farglide.flightfile.entered import read_entries
from farglide.flightfile.entries import Section
from farglide.flightfile.flightfile import EVERY, read_flight_file, understood
from farglide.flightfile.sections.drop import COUNTS
from farglide.flightfile.sections.permits import PERMISSIONS
from farglide.flightfile.template import template_text


def test_every_section_of_the_template_is_read() -> None:
    problems: list[Problem] = []
    entries = read_entries(tomllib.loads(template_text()), EVERY, problems)
    assert not problems
    assert entries.the("launch").name == "Launch meadow"


@pytest.mark.slow
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
    opening = text.splitlines()[:4]
    assert all(line.startswith("# ") for line in opening)
    told = " ".join(line.removeprefix("# ") for line in opening)
    assert "whether it can come home, from where, and until when" in told


def test_what_is_asked_first_stands_first_and_the_rest_is_folded() -> None:
    first, folded = template_text().split("# ---- All other keys, folded")
    assert not [line for line in folded.splitlines()[1:] if line and not line.startswith("#")]
    asked = [line for line in first.splitlines() if "# yours" in line]
    assert 40 <= len(asked) <= 60
    assert len(first.splitlines()) < 100
    for line in (*first.splitlines(), *template_text().splitlines()[:40]):
        assert len(line) <= 100, line


def test_every_folded_line_is_a_key_that_is_taken(tmp_path: Path) -> None:
    # With every folded line stated, only the pairs that exclude each other are refused.
    folded = template_text().split("# ---- All other keys, folded")[1].split("\n\n", 1)[1]
    lines = [re.sub(r"^# (?=\[|\w+ = )", "", line) for line in folded.splitlines()]
    document = tomllib.loads(template_text())
    for section, keys in tomllib.loads("\n".join(lines)).items():
        there = document.setdefault(section, keys)
        (there[0] if isinstance(there, list) else there).update(
            keys[-1] if isinstance(keys, list) else keys
        )
    problems, _ = understood(document)
    told = "\n".join(map(str, problems))
    assert "is not a key" not in told
    assert "; allowed" not in told.replace("are 1; allowed: three or more", "")
    twos = ("one too many", "drag_table", "lift_max and stall_eas", "zero_lift_drag")
    assert all(word in told for word in twos)


def test_the_template_is_a_flight_with_nothing_wrong(tmp_path: Path) -> None:
    file = tmp_path / "new.toml"
    file.write_text(template_text(), encoding="utf-8")
    sortie = read_flight_file(file).sortie
    assert [link.purpose for link in sortie.links] == ["picture", "command"]
    assert (len(sortie.fields), len(sortie.stands)) == (2, 1)
