"""Packs of a flight file and their boxes: read, refused, and fuzzed."""

import random
from collections.abc import Callable
from typing import Any

import pytest

from farglide.errors import FlightFileError, Problem
from farglide.flightfile.flightfile import FlightFile
from farglide.flightfile.sections.packs import PACKS, box_problems, pack_of, pack_problems
from farglide.sortie.gear import PackSpec
from farglide.sortie.known import Known, Tag

from ..conftest import Entered

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
    told = {line.row.key for line in flight.inputs if line.section == "packs[all]"}
    assert "cold_ratio" not in told
    assert {"cells_kg", "insulation_wpk", "cells_heat_jpkgk", "ageing_ratio"} <= told


def test_one_share_stays_the_simple_way(document: Document, read: Read) -> None:
    flight = read(document)
    (pack,) = flight.sortie.packs
    assert pack.box is None
    assert pack.cold_ratio is not None
    assert pack.cold_ratio.value == 0.65
    told = {line.row.key for line in flight.inputs if line.section == "packs[all]"}
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


@pytest.mark.slow
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
        document["links"][0]["needs"] = [rng.choice(odd) for _ in range(rng.randint(0, 3))]
        document["parts"] = []
        try:
            read(document)
            n_read += 1
        except FlightFileError as error:
            problems += error.problems
    assert len(problems) > 100
    assert all(problem.what and len(str(problem)) < 400 for problem in problems)
    assert n_read < 250


PACK = "[[packs]]\nenergy_wh = 20\nload_w = 5\n"


def test_a_pack_of_two_numbers(entered: Entered) -> None:
    assert pack_of(entered(PACKS, PACK)) == PackSpec(
        name="pack 1",
        energy_wh=Known(value=20.0, sd=0.6),
        load_w=5.0,
        cold_ratio=Known(value=0.65, sd=0.0975, tag=Tag.GUESS),
        on_after_launch_s=-900.0,
        reserve_s=180.0,
    )


def test_a_pack_that_ends_before_the_launch_is_refused(entered: Entered) -> None:
    # 20 Wh x 0.65 / 5 W last 156 min
    short = entered(PACKS, PACK + "on_after_launch_min = -160")
    (problem,) = pack_problems([entered(PACKS, PACK), short])
    assert problem.where == short.title
    assert problem.what == "ends 7 min before the launch, its reserve kept."


def test_a_box_is_told_whole_or_not_at_all(entered: Entered) -> None:
    half = entered(PACKS, PACK + "cells_g = 100\ncold_table = [[-20, 0.6], [20, 1]]")
    (problem,) = box_problems([entered(PACKS, PACK), half])
    assert problem.what == "states a box without insulation_wpk."
