"""Entries put together: every part of a sortie is there, and files lie beside the flight file."""

import tomllib
from pathlib import Path

from farglide.errors import Problem
from farglide.flightfile.entered import read_entries
from farglide.flightfile.flightfile import EVERY
from farglide.flightfile.whole import sortie_of
from farglide.sortie.known import Tag

from ..conftest import DEMO


def test_a_sortie_has_every_part_of_its_file() -> None:
    problems: list[Problem] = []
    document = tomllib.loads(DEMO.read_text(encoding="utf-8"))
    entries = read_entries(document, EVERY, problems)
    assert not problems
    tags = {"balloon.mass_kg": Tag.MEASURED}
    sortie = sortie_of(Path("folder") / "evening.toml", entries, tags)
    for section, parts in (
        ("fields", sortie.fields), ("links", sortie.links), ("stands", sortie.stands),
        ("packs", sortie.packs), ("triggers", sortie.triggers), ("parts", sortie.parts),
        ("barriers", sortie.barriers),
    ):  # fmt: skip
        assert len(parts) == len(document.get(section, [])), section
    assert sortie.name == "Amber evening"
    assert sortie.tags is tags
    assert sortie.payload is None
    assert sortie.wind is not None
    assert sortie.wind.path == str(Path("folder") / "amber-evening-winds.csv")
