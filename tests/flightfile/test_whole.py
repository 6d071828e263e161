"""Entries put together: every part of a sortie is there, and files lie beside the flight file."""

import tomllib
from pathlib import Path

import pytest

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


@pytest.mark.parametrize(
    ("purposes", "told"),
    [
        ((), ["airspace", "aircraft", "command_radio", "picture_radio", "land"]),
        (("picture",), ["airspace", "aircraft", "picture_radio", "land"]),
        (("position",), ["airspace", "aircraft", "land"]),
    ],
)
def test_a_permission_is_of_a_radio_that_is_there(
    purposes: tuple[str, ...], told: list[str]
) -> None:
    document = tomllib.loads(DEMO.read_text(encoding="utf-8")) | {"permissions": {}}
    (link, *_) = document["links"]
    document["links"] = [{**link, "purpose": one, "kind": "digital"} for one in purposes]
    document.pop("triggers", None)
    problems: list[Problem] = []
    sortie = sortie_of(Path("mine.toml"), read_entries(document, EVERY, problems), {})
    assert not problems
    assert [what for what, state in sortie.permissions if state == "missing"] == told


def test_a_permission_that_somebody_looked_into_is_kept() -> None:
    document = tomllib.loads(DEMO.read_text(encoding="utf-8"))
    document |= {"permissions": {"command_radio": "asked"}, "links": document["links"][:1]}
    document.pop("triggers", None)
    sortie = sortie_of(Path("mine.toml"), read_entries(document, EVERY, []), {})
    assert dict(sortie.permissions)["command_radio"] == "asked"
