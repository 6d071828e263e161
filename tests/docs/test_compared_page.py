"""The plan of the demo flight meets independent figures, and the page that compares them is true.

The figures, with their tolerances, stand in tests/independent.py; docs/why/0004-compared.rst shows
them beside the simplified and the whole plan, and what each law does.
"""

import importlib.util
import re
import sys
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.flightfile.flightfile import FlightFile
from farglide.flightfile.standins import DRAG_TABLE
from farglide.sortie.known import Known

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "why" / "0004-compared.rst"


def independent() -> ModuleType:
    path = ROOT / "tests" / "independent.py"
    spec = importlib.util.spec_from_file_location("independent", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["independent"] = module
    spec.loader.exec_module(module)
    return module


FIGURES_MODULE = independent()
Case, Runs, FIGURES = FIGURES_MODULE.Case, FIGURES_MODULE.Runs, FIGURES_MODULE.FIGURES

pytestmark = pytest.mark.slow


@dataclass(frozen=True, slots=True, kw_only=True)
class Law:
    """One law put on, or one choice made otherwise, and what it is put upon."""

    label: str
    change: Callable[[Any], Any]
    upon_whole: bool = True


def from_strip(case: Any) -> Any:
    return case.changed("launch", amsl_m=240.0)


LAWS: tuple[Law, ...] = (
    Law(label="simplified", change=lambda c: c, upon_whole=False),
    Law(label="launched from the strip, 240 m", change=from_strip, upon_whole=False),
    Law(
        label="and the energy of slowing down",
        change=lambda c: c.changed("glider", speed_margin_ratio=0.0),
    ),
    Law(label="and 5 % kept below the speed limits: the whole plan", change=lambda c: c),
    Law(label="flown ratio 0.85", change=lambda c: c.changed("glider", flown_ratio=0.85)),
    Law(
        label="60 s until the heading is found",
        change=lambda c: c.changed("drop", heading_s=Known(value=60.0)),
    ),
    Law(
        label="gas 8 K warmer than the air",
        change=lambda c: c.changed("balloon", gas_warmer_k=Known(value=8.0)),
    ),
    Law(
        label="film of 50 N/m",
        change=lambda c: c.changed("balloon", film_stiffness_npm=50.0),
    ),
    Law(
        label="drag of the balloon by Reynolds number, filled for the same climb",
        change=lambda c: c.changed(
            "balloon",
            drag_table=DRAG_TABLE,
            neck_lift_kg=Known(value=2.15),
            burst_diameter_m=Known(value=7.05),
        ),
    ),
)


def law_numbers(runs: Any) -> tuple[float, ...]:
    """Return burst (T+, km), home shuts, reopens (T+), spare from T+80 (km), quickest (T+)."""
    turns, flight = FIGURES_MODULE.turns_min(runs.ensemble), runs.home_from(80)
    return (
        FIGURES_MODULE.burst_min(runs.ensemble.climbs),
        FIGURES_MODULE.burst_km(runs.ensemble.climbs),
        turns[-2],
        turns[-1],
        flight.spare_m / 1e3,
        flight.over_field_s / 60.0,
    )


LAW_STEPS = (0.0, 0.0, 0.5, 0.5, 0.0, 0.0)


@pytest.fixture(scope="module")
def simplified(demo_flight: FlightFile, demo_sounding: Sounding) -> Any:
    flight = demo_flight.sortie
    glider = replace(flight.glider, speed_margin_ratio=0.0)
    at_sea = replace(flight, launch=replace(flight.launch, amsl_m=0.0), glider=glider)
    return Runs(Case(sortie=at_sea, sounding=demo_sounding, slowing=False))


@pytest.fixture(scope="module")
def whole(demo_flight: FlightFile, demo_sounding: Sounding) -> Any:
    return Runs(Case(sortie=demo_flight.sortie, sounding=demo_sounding, slowing=True))


def numbers(cell: str) -> list[str]:
    return re.findall(r"-?\d+(?:\.\d+)?", cell.replace("−", "-"))


def rows_of_page() -> dict[str, list[list[str]]]:
    """Return the numbers of each row of the page's tables, cell by cell, by the row's label."""
    text = PAGE.read_text(encoding="utf-8")
    found = {}
    for block in re.split(r"^   \* - ", text, flags=re.MULTILINE)[1:]:
        cells = re.findall(r"(?:\A|^     - ?)(.*)$", block, flags=re.MULTILINE)
        found[cells[0].strip()] = [numbers(cell) for cell in cells[1:]]
    return found


def assert_shown(printed: list[str], computed: tuple[float, ...], step: float, where: str) -> None:
    """Assert that a cell shows these values, to one step of its last digit."""
    assert len(printed) == len(computed), where
    for text, value in zip(printed, computed, strict=True):
        last_digit = 10.0 ** -len(text.partition(".")[2])
        assert abs(float(text) - value) <= max(step, last_digit) + 1e-9, f"{where}: {value}"


@pytest.mark.parametrize("figure", FIGURES, ids=lambda figure: figure.label)
def test_simplified_plan_meets_the_independent_figure(figure: Any, simplified: Any) -> None:
    found = figure.found(simplified)
    assert len(found) == len(figure.values)
    for value, independent in zip(found, figure.values, strict=True):
        allowed = max(figure.within, figure.share * abs(independent))
        assert abs(value - independent) <= allowed + 1e-9, found


def test_page_shows_what_is_computed(simplified: Any, whole: Any) -> None:
    rows = rows_of_page()
    for figure in FIGURES:
        independent, ours, full = rows[figure.label]
        assert_shown(independent, figure.values, 0.0, figure.label)
        assert_shown(ours, figure.found(simplified), figure.step, figure.label)
        assert_shown(full, figure.found(whole), figure.step, figure.label)


def test_page_shows_what_each_law_does(simplified: Any, whole: Any) -> None:
    rows = rows_of_page()
    for law in LAWS:
        base = whole if law.upon_whole else simplified
        found = law_numbers(Runs(law.change(base.case)))
        for cell, value, step in zip(rows[law.label], found, LAW_STEPS, strict=True):
            assert_shown(cell, (value,), step, law.label)


def test_figures_that_miss_do_so_by_the_luck_of_200_draws(simplified: Any) -> None:
    """With errors apart the scripts have 0.51 and 0.64 at T+62 and T+64, and a window from T+74.

    A share p of 200 draws has the standard deviation sqrt(p (1 - p) / 200) = 0.035: both shares,
    of the same draws, lie 1.3 to 1.6 of them above ours of 8000 draws. The window begins where the
    chance come within 0.02 of their best, on a flat slope: each 200 draws say another minute.
    """
    many = [FIGURES_MODULE.apart_of(simplified.case, seed) for seed in range(1, 9)]
    for ours, theirs in zip(np.mean(many, axis=0), (0.51, 0.64), strict=True):
        assert 0.04 < theirs - ours < 1.7 * (ours * (1.0 - ours) / 200.0) ** 0.5
    begins = [decision.first / 2.0 for decision in simplified.chance.decisions]
    assert min(begins) < 74.0 < max(begins)
    assert float(np.mean(begins)) == pytest.approx(74.0, abs=float(np.std(begins)))


def test_the_straight_way_reaches_home_less_often_than_the_best_path(simplified: Any) -> None:
    """The page tells its shares beside; only the all-knowing path meets those of the scripts."""
    text = PAGE.read_text(encoding="utf-8")
    told = re.search(
        r"at T\+20, 22, 24, 26, 62, 64 it has([\d., \s]+); by 9 in 10([^.]+.[^.]+)", text
    )
    assert told is not None
    assert_shown(numbers(told[1]), simplified.straight.reach, 0.0, "the straight way")
    turned = (simplified.straight.reopens, simplified.straight.shut)
    assert_shown(numbers(told[2]), turned, 0.0, "the straight way")
    for best, straight in zip(simplified.chance.reach, simplified.straight.reach, strict=True):
        assert 0.01 < best - straight < 0.05


def test_errors_drawn_apart_are_too_good_while_home_shuts(simplified: Any) -> None:
    # 4 to 9 points by the independent figures; while home opens the two hardly differ.
    chance = simplified.chance
    excess = [b - a for a, b in zip(chance.reach, chance.apart, strict=True)]
    assert all(0.04 < points < 0.11 for points in excess[:4])
    assert all(-0.03 < points < 0.06 for points in excess[4:])
