"""Cases of transmitters: read, and refused where they are told by half or twice."""

from collections.abc import Callable
from typing import Any

import pytest

from farglide.flightfile.flightfile import FlightFile
from farglide.flightfile.sections.case import case_problems, fill_case, transmitter_case
from farglide.flightfile.sections.links import LINKS
from farglide.sortie.gear import HousingSpec

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


CASE = "[[links]]\npurpose = 'picture'\nfrequency_mhz = 2400\nbandwidth_mhz = 8\npower_w = 1\n"


def test_a_case_is_told_whole(entered: Entered) -> None:
    assert transmitter_case(entered(LINKS, CASE)) is None
    body = "case_area_cm2 = 50\ncase_g = 30\n"
    case = transmitter_case(entered(LINKS, CASE + body + "efficiency_ratio = 0.2"))
    # 1 W sent of 5 W drawn; aluminium, paint, still air
    assert case == HousingSpec(
        heat_w=4.0, area_m2=0.005, mass_kg=0.03, specific_heat_jpkgk=900.0, flow_ratio=0.0,
        emissivity_ratio=0.8, sun_w=0.0, limit_k=None,
    )  # fmt: skip
    half, bare = entered(LINKS, CASE + body), entered(LINKS, CASE)
    (problem,) = case_problems([bare, half])
    assert (problem.where, problem.what) == (half.title, "states its heat without heat_w.")


def test_stand_ins_are_put_in_where_a_case_is_stated(entered: Entered) -> None:
    bare, warm = entered(LINKS, CASE), entered(LINKS, CASE + "case_heat_jpkgk = 500")
    fill_case(bare)
    assert bare.value("case_heat_jpkgk") != bare.value("case_heat_jpkgk")  # NaN: not there
    assert (warm.value("case_heat_jpkgk"), warm.value("case_flow_ratio")) == (500.0, 0.0)
