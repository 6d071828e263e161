"""The balloon of a flight file and the line below it, each on its own."""

import math

import pytest

from farglide.flightfile.entries import Entry
from farglide.flightfile.sections.balloon import (
    BALLOON,
    TRAIN,
    balloon_of,
    drag_given,
    fill_problems,
)
from farglide.flightfile.standins import DRAG_TABLE, burst_diameter_m
from farglide.sortie.gear import TrainSpec
from farglide.sortie.known import Known, Tag

from ..conftest import Entered, Told

KILO = '[balloon]\nmass_g = 1000\ngas = "Hydrogen"\n'


def test_a_balloon_of_which_only_the_mass_is_known(entered: Entered) -> None:
    one = entered(BALLOON, KILO)
    spec = balloon_of(one, hanging_kg=0.8)
    assert (spec.mass_kg, spec.gas, spec.purity_ratio) == (1.0, "hydrogen", 0.99)
    guess = burst_diameter_m(1.0)
    assert spec.burst_diameter_m == Known(value=guess, sd=0.15 * guess, tag=Tag.GUESS)
    assert spec.neck_lift_kg == Known(value=1.3, tag=Tag.GUESS)  # what hangs, half the balloon
    assert spec.gas_warmer_k == Known(value=8.0, sd=6.0, tag=Tag.GUESS)
    assert spec.drag_table == DRAG_TABLE
    assert not drag_given(one)


def test_a_stated_fill_is_taken(entered: Entered) -> None:
    spec = balloon_of(entered(BALLOON, KILO + "neck_lift_g = 1600"), hanging_kg=0.8)
    assert spec.neck_lift_kg.value == 1.6
    assert spec.neck_lift_kg.tag is Tag.MEASURED


@pytest.mark.parametrize(
    ("text", "table", "tag"),
    [
        ("drag_coefficient = 0.3", ((1e4, 0.3), (1e7, 0.3)), Tag.MEASURED),
        ("drag_table = [[100000, 0.6], [500000, 0.3]]", ((1e5, 0.6), (5e5, 0.3)), Tag.TYPICAL),
        ('drag_coefficient = 0.3\nguesses = ["drag_coefficient"]',
         ((1e4, 0.3), (1e7, 0.3)), Tag.GUESS),
        ('drag_coefficient = 0.3\ndrag_factor = 1\nguesses = ["drag_factor"]',
         ((1e4, 0.3), (1e7, 0.3)), Tag.GUESS),
    ],
)  # fmt: skip
def test_a_factor_is_as_well_known_as_the_drag_that_it_multiplies(
    text: str, table: tuple[tuple[float, float], ...], tag: Tag, entered: Entered
) -> None:
    one = entered(BALLOON, KILO + text)
    assert drag_given(one)
    assert balloon_of(one, 0.8).drag_table == table
    assert balloon_of(one, 0.8).drag_factor.tag is tag


def test_one_drag_is_stated_once(told: Told) -> None:
    text = KILO + "drag_coefficient = 0.3\ndrag_table = [[100000, 0.6]]"
    assert told(BALLOON, text) == [
        "[balloon] drag_coefficient and drag_table: say the same thing twice. Keep one of them."
    ]


def filled(entered: Entered, text: str) -> Entry:
    return entered(BALLOON, KILO + text)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("neck_lift_kg = 0.9", ""),
        ("neck_lift_kg = 0.8", "is 0.8 kg, but 0.800 kg hang below: it will not climb."),
        ("burst_height_amsl_m = 2400", "is 2400 m, less than 1000 m above the launch at 1500 m."),
        ("neck_lift_kg = 1\nmean_ascent_mps = 5\nburst_height_amsl_m = 30000", "are one too many"),
    ],
)
def test_fills_that_cannot_be_are_refused(text: str, words: str, entered: Entered) -> None:
    found = "".join(problem.what for problem in fill_problems(filled(entered, text), 0.8, 1500.0))
    assert words in found
    assert bool(found) is bool(words)
    if "are one" not in words:
        assert not list(fill_problems(filled(entered, text), math.nan, math.nan))


def test_a_line_with_and_without_a_parachute(entered: Entered) -> None:
    assert entered(TRAIN, "").spec(TrainSpec) == TrainSpec()
    spec = entered(TRAIN, "[train]\nline_g = 140\ncanopy_cm = 90").spec(TrainSpec)
    assert (spec.line_kg, spec.canopy_m, spec.canopy_drag) == (0.14, 0.9, 0.8)


def test_a_record_of_bursts_is_read(entered: Entered) -> None:
    text = "n_flights = 12\nn_early_bursts = 1\nseen_to_ratio = 0.7\nearly_burst_percent = 5"
    balloon = balloon_of(entered(BALLOON, KILO + text), 0.8)
    assert (balloon.n_flights, balloon.n_early_bursts, balloon.seen_to_ratio) == (12, 1, 0.7)
    assert balloon.early_burst_ratio == Known(value=0.05, sd=0.05)
    usual = balloon_of(entered(BALLOON, KILO), 0.8)
    assert (usual.n_flights, usual.early_burst_ratio.tag) == (0, Tag.GUESS)
    counted = balloon_of(entered(BALLOON, KILO + "n_flights = 12"), 0.8).early_burst_ratio
    assert (counted.value, counted.tag) == (0.03, Tag.TYPICAL)


def test_more_early_bursts_than_flights_are_refused(told: Told) -> None:
    assert told(BALLOON, KILO + "n_flights = 3\nn_early_bursts = 4") == [
        "[balloon] n_early_bursts: is 4, more than n_flights. n_flights counts all balloons flown, "
        "those that burst early too."
    ]
