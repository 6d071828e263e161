"""Needs, triggers and parts of a flight file: read, refused, and noted."""

from collections.abc import Callable
from typing import Any

import pytest

from farglide.flightfile.flightfile import FlightFile
from farglide.flightfile.sections.parts import PARTS, TRIGGERS
from farglide.sortie.gear import PartSpec, TriggerSpec

from ..conftest import Entered

Document = dict[str, Any]
Read = Callable[[Document], FlightFile]
Refusals = Callable[[Document], list[str]]


def link(document: Document, changes: Document) -> Document:
    row = document["links"][0]
    for key, value in changes.items():
        row.pop(key, None)
        if value is not None:
            row[key] = value
    return document


def test_needs_triggers_and_parts_are_read(document: Document, read: Read) -> None:
    sortie = read(document).sortie
    assert sortie.links[1].needs == (
        "command transmitter", "car power", "command receiver", "pack all",
    )  # fmt: skip
    command, falling = sortie.triggers
    assert (command.name, command.n_tests, command.n_failures) == ("command", 20, 0)
    assert command.needs == ("link command", "pin servo", "pack all")
    assert falling.needs[-1] == "pack all"
    cable, receiver, pack = sortie.parts
    assert (cable.at, cable.swap_s, cable.fails_in_3h_ratio) == ("ground", 120.0, None)
    assert (receiver.swap_s, receiver.fails_in_3h_ratio) == (240.0, pytest.approx(0.02))
    assert (pack.at, pack.swap_s) == ("aboard", None)


def test_repeats_and_spaces_in_names_are_tidied(document: Document, read: Read) -> None:
    needs = ["pack all", "Pack  All", " feed   cable ", "picture receiver"]
    assert read(link(document, {"needs": needs})).sortie.links[0].needs == (
        "pack all", "feed cable", "picture receiver",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("needs", "words"),
    [
        ("feed cable", 'is "feed cable", not a list'),
        ([1.5], "holds 1.5; allowed: names of 1 to 60 characters"),
        ([""], "allowed: names of 1 to 60"),
        (["x" * 61], "allowed: names of 1 to 60"),
        (["part"] * 41, "not a list of up to 40 names"),
        (["pack al"], 'names "pack al", and there is no such pack. Did you mean "pack all"?'),
        (["link radar"], "there is no such link. Names: picture, command."),
    ],
)
def test_bad_needs_are_refused(
    document: Document, refusals: Refusals, needs: object, words: str
) -> None:
    document["parts"] = document["parts"][2:]
    found = refusals(link(document, {"needs": needs}))
    assert any(words in problem and "[[links]] 1 needs" in problem for problem in found), found


def test_what_names_no_pack_is_noted(document: Document, read: Read) -> None:
    assert not [note for note in read(document).notes if "needs no pack" in note]
    document["triggers"][1]["needs"] = ["falling detector", "hot wire"]
    document["links"][1]["needs"] = ["command receiver"]
    notes = read(document).notes
    assert 'Link command needs no pack: name what feeds it, as in "pack all".' in notes
    assert any(note.startswith("Trigger falling detector needs no pack") for note in notes)


def test_bad_triggers_and_parts_are_refused(document: Document, refusals: Refusals) -> None:
    document["triggers"][0]["n_failures"] = 21
    document["triggers"][1]["name"] = "Command"
    document["parts"][0]["name"] = "fed cable"
    document["parts"][1]["at"] = "moon"
    document["parts"].append({"name": "pack all"})
    found = "\n".join(refusals(document))
    assert "[[triggers]] 1 n_failures: is 21, more than n_tests." in found
    assert '[[triggers]]: "command" stands 2 times.' in found
    assert '"fed cable" is needed by nothing. Did you mean "feed cable"?' in found
    assert '[[parts]] 2 at: is "moon"; allowed: "aboard" or "ground".' in found
    assert '[[parts]]: "pack all" stands 2 times.' in found


def test_a_trigger_and_a_part_on_their_own(entered: Entered) -> None:
    one = entered(TRIGGERS, '[[triggers]]\nneeds = ["pin", "Pin"]\nn_tests = 3')
    assert one.spec(TriggerSpec) == TriggerSpec(
        name="trigger 1", needs=("pin",), n_tests=3, n_failures=0
    )
    one = entered(PARTS, '[[parts]]\nname = "pin"\nfails_in_3h_percent = 2')
    assert one.spec(PartSpec) == PartSpec(
        name="pin", at="aboard", fails_in_3h_ratio=0.02, swap_s=None
    )
