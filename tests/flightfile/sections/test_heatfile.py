"""Boxes, cases, needs, triggers and parts of a flight file: read, refused, and fuzzed."""

import random
from collections.abc import Callable
from typing import Any

import pytest

from farglide.errors import FlightFileError, Problem
from farglide.flightfile.flightfile import FlightFile
from farglide.sortie.spec import Tag

Document = dict[str, Any]
Read = Callable[[Document], FlightFile]
Refusals = Callable[[Document], list[str]]

BOX = {
    "cold_ratio": None,
    "cold_spread_ratio": None,
    "cells_g": 120,
    "insulation_wpk": 0.03,
    "own_heat_percent": 10,
    "start_celsius": 20,
    "cold_table": [[-30, 0.45], [-20, 0.6], [0, 0.85], [20, 1.0]],
}
Put = Callable[[Document, str, Document], Document]


def test_a_box_is_read(document: Document, put: Put, read: Read) -> None:
    (pack,) = read(put(document, "packs", BOX)).sortie.packs
    assert pack.cold_ratio is None
    assert pack.ageing_ratio == 1.0
    box = pack.box
    assert box is not None
    assert (box.cells_kg, box.specific_heat_jpkgk, box.own_heat_ratio) == (0.12, 1000.0, 0.1)
    assert (box.insulation_wpk.value, box.insulation_wpk.sd) == (0.03, pytest.approx(0.003))
    assert box.start_k == pytest.approx(293.15)
    assert box.table[0] == (pytest.approx(243.15), 0.45)
    assert box.table[-1] == (pytest.approx(293.15), 1.0)
    assert box.table_spread_ratio == 0.05


def test_what_a_box_leaves_out(document: Document, put: Put, read: Read) -> None:
    small = {**BOX, "own_heat_percent": None, "start_celsius": None, "cold_spread_percent": 12}
    flight = read(put(document, "packs", {**small, "ageing_percent": 90}))
    (pack,) = flight.sortie.packs
    assert pack.box is not None
    assert pack.box.own_heat_ratio == 0.05
    assert flight.sortie.tags["packs[all].own_heat_ratio"] is Tag.GUESS
    assert pack.box.start_k is None
    assert pack.box.table_spread_ratio == pytest.approx(0.12)
    assert pack.aged_wh == pytest.approx(23.4)
    told = {line.key for line in flight.inputs if line.section == "packs[all]"}
    assert "cold_ratio" not in told
    assert {"cells_kg", "insulation_wpk", "cells_heat_jpkgk", "ageing_ratio"} <= told


def test_one_share_stays_the_simple_way(document: Document, read: Read) -> None:
    flight = read(document)
    (pack,) = flight.sortie.packs
    assert pack.box is None
    assert pack.cold_ratio is not None
    assert pack.cold_ratio.value == 0.65
    told = {line.key for line in flight.inputs if line.section == "packs[all]"}
    assert told == {"energy_wh", "load_w", "cold_ratio", "on_after_launch_s", "reserve_s"}


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"cold_ratio": 0.65}, "states cold_ratio and a box: two answers"),
        ({"cells_g": None}, "states a box without cells_kg."),
        ({"insulation_wpk": None, "cold_table": None}, "without insulation_wpk and cold_table."),
        ({"cold_table": [[-20, 0.6]]}, "not a list of 2 to 40 pairs"),
        ({"cold_table": 0.6}, "cold_table: is 0.6, not a list of 2 to 40 pairs"),
        ({"cold_table": [[-20, 0.6], [0, "cold"]]}, "row 2 is [0, 'cold'], not two numbers"),
        ({"cold_table": [[-20, 60], [0, 85]]}, "row 1 is [-20, 60]; allowed"),
        ({"cold_table": [[253, 0.6], [273, 0.85]]}, "row 1 is [253, 0.6]; allowed: -70 to 75"),
        ({"cold_table": [[0, 0.85], [-20, 0.6]]}, "Sort the rows, coldest first."),
        ({"insulation_wpk": 300}, "insulation_wpk: is 300 W/K; allowed: 0.001 to 10 W/K"),
        ({"cells_g": 120_000}, "allowed: 5 to 10000 g"),
        (
            {"start_celsius": 293},
            "is 293 °C; allowed: -40 to 60 °C. Is that kelvins? Write start_celsius = 19.85.",
        ),
        ({"ageing_ratio": 90}, "Is that per cent? Write ageing_percent = 90."),
    ],
)
def test_bad_boxes_are_refused(
    document: Document, put: Put, refusals: Refusals, changes: Document, words: str
) -> None:
    found = refusals(put(document, "packs", {**BOX, **changes}))
    assert any(words in problem for problem in found), found
    assert all(problem.startswith("[[packs]] 1") for problem in found)


def link(document: Document, changes: Document) -> Document:
    row = document["links"][0]
    for key, value in changes.items():
        row.pop(key, None)
        if value is not None:
            row[key] = value
    return document


def test_a_case_is_read(document: Document, read: Read) -> None:
    case = read(document).sortie.links[0].case
    assert case is not None
    assert (case.heat_w, case.area_m2, case.mass_kg) == (4.2, pytest.approx(60e-4), 0.04)
    assert (case.flow_ratio, case.emissivity_ratio, case.sun_w) == (0.1, 0.8, 0.0)
    assert case.limit_k == pytest.approx(358.15)
    assert read(document).sortie.links[1].case is None
    spent = {"heat_w": None, "efficiency_percent": 16, "limit_celsius": None, "case_sun_w": 1.5}
    case = read(link(document, {**spent, "case_flow_ratio": None})).sortie.links[0].case
    assert case is not None
    assert case.heat_w == pytest.approx(4.2)  # 0.8 W sent of 5 W drawn
    assert (case.limit_k, case.sun_w, case.flow_ratio) == (None, 1.5, 0.0)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"efficiency_ratio": 0.16}, "states heat and efficiency: two answers"),
        ({"heat_w": None}, "states its heat without heat_w."),
        ({"case_area_cm2": None, "case_g": None}, "without case_area_m2 and case_kg."),
        ({"case_area_cm2": 60_000}, "case_area_cm2: is 60000 cm²; allowed: 0.1 to 5000 cm²"),
        (
            {"limit_celsius": 358},
            "limit_celsius: is 358 °C; allowed: 30 to 200 °C. Is that kelvins?",
        ),
        ({"efficiency_ratio": 0.0}, "allowed: 0.01 to 0.95"),
    ],
)
def test_bad_cases_are_refused(
    document: Document, refusals: Refusals, changes: Document, words: str
) -> None:
    found = refusals(link(document, changes))
    assert any(words in problem for problem in found), found
    assert all(problem.startswith("[[links]] 1") for problem in found)


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


def test_any_table_and_any_list_is_read_or_refused(
    document: Document, put: Put, read: Read
) -> None:
    rng = random.Random(7)
    odd: list[Any] = [
        -40, 0, 20.5, 0.6, 1.3, True, "x", "", [], [1], [1, 2], [[1]], {"a": 1}, 1e300, -1e9,
        float("inf"), float("nan"), 10**400, "pack all", "link picture", "\u0000", "ü" * 70,
    ]  # fmt: skip
    n_read, problems = 0, list[Problem]()
    for _ in range(250):
        table = [
            rng.choice([rng.choice(odd), [rng.choice(odd), rng.choice(odd)], [-20, 0.6], [5, 0.9]])
            for _ in range(rng.randint(0, 4))
        ]
        put(document, "packs", {**BOX, "cold_table": table})
        link(document, {"needs": [rng.choice(odd) for _ in range(rng.randint(0, 3))]})
        document["parts"] = []
        try:
            read(document)
            n_read += 1
        except FlightFileError as error:
            problems += error.problems
    assert len(problems) > 100
    assert all(problem.what and len(str(problem)) < 400 for problem in problems)
    assert n_read < 250
