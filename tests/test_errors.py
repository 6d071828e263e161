"""Errors: what they say, and the same as attributes: name, value, unit, what is allowed, remedy."""

import math
from pathlib import Path

import pytest

from farglide.errors import (
    ContradictionError,
    FarglideError,
    FlightFileError,
    InputError,
    Problem,
    SourceError,
    check_range,
    is_number,
)


@pytest.mark.parametrize(
    ("value", "expected"), [(3, True), (-0.5, True), (True, False), ("3", False), (None, False)]
)
def test_true_and_false_are_no_numbers(value: object, expected: bool) -> None:
    assert is_number(value) is expected


def test_the_ends_of_a_range_belong_to_it() -> None:
    check_range("loss_db", 0.0, "dB", (0.0, 60.0))
    check_range("loss_db", 60.0, "dB", (0.0, 60.0))


@pytest.mark.parametrize("value", [-0.1, 60.1, math.nan, math.inf])
def test_a_number_outside_is_refused_with_its_name_and_unit(value: float) -> None:
    with pytest.raises(InputError) as caught:
        check_range("loss_db", value, "dB", (0.0, 60.0), "Count it positive.")
    text = f"loss_db is {value:g} dB; allowed: 0 to 60 dB. Count it positive."
    assert str(caught.value) == text
    error = caught.value
    assert (error.name, error.unit, error.allowed) == ("loss_db", "dB", "0 to 60 dB")
    assert error.value == pytest.approx(value, nan_ok=True)
    assert error.remedy == "Count it positive."


def test_a_pure_number_has_no_unit() -> None:
    with pytest.raises(InputError, match=r"n_turns is 3; allowed: 4 to 60\.$") as caught:
        check_range("n_turns", 3, "", (4, 60))
    assert (caught.value.unit, caught.value.remedy) == ("", "")


@pytest.mark.parametrize(
    ("told", "value", "unit"),
    [
        ("60000 m", 60_000.0, "m"),  # a number with its unit
        ("-1.5 kg per m2", -1.5, "kg per m2"),
        (7, 7, ""),  # a number without
        (0.25, 0.25, ""),
        ("'video'", "'video'", ""),  # words
        ("no height on the way", "no height on the way", ""),
        ("missing", "missing", ""),
        ("", "", ""),
        ((1.0, 2.0), (1.0, 2.0), ""),  # several at once
        (None, None, ""),
        (Path("a b"), Path("a b"), ""),
    ],
)
def test_a_value_is_kept_as_what_it_is(told: object, value: object, unit: str) -> None:
    error = InputError("name", told, "another", "Change it.")
    assert (error.value, error.unit) == (value, unit)
    assert type(error.value) is type(value)
    assert str(error) == f"name is {told}; allowed: another. Change it."
    assert (error.name, error.allowed, error.remedy) == ("name", "another", "Change it.")


def test_all_are_one_tree_and_wrong_values_are_value_errors() -> None:
    for kind in (InputError, FlightFileError, SourceError, ContradictionError):
        assert issubclass(kind, FarglideError)
    assert issubclass(InputError, ValueError)
    assert issubclass(ContradictionError, ValueError)
    assert not issubclass(SourceError, ValueError)


def test_a_flight_file_tells_all_its_problems_at_once() -> None:
    one = Problem("[glider] mass", "is missing.", "Weigh it.")
    error = FlightFileError("mine.toml", (one, Problem("[wish]", "is none.")))
    assert str(error) == (
        "mine.toml: 2 problems\n  [glider] mass: is missing. Weigh it.\n  [wish]: is none."
    )
    assert str(FlightFileError("mine.toml", (one,))).startswith("mine.toml: 1 problem\n")
    assert error.problems[0] is one


def test_a_source_is_told_with_the_place_in_it() -> None:
    error = SourceError("winds.csv", "line 3", "is not CSV.", "Mend it.")
    assert str(error) == "winds.csv, line 3: is not CSV. Mend it."
    assert (error.path, error.where) == ("winds.csv", "line 3")
    assert (error.what, error.remedy) == ("is not CSV.", "Mend it.")
    assert str(SourceError("winds.csv", "", "is empty.")) == "winds.csv: is empty."


def test_a_problem_with_a_value_keeps_its_facts_apart() -> None:
    problem = Problem.of_value("[packs] box", "-70 °C", "-60 to 60 °C", "Is the sign right?")
    assert str(problem) == "[packs] box: is -70 °C; allowed: -60 to 60 °C. Is the sign right?"
    assert (problem.value, problem.unit, problem.allowed) == (-70.0, "°C", "-60 to 60 °C")
    assert (Problem("[packs]", "is missing.").value, Problem("[packs]", "is missing.").unit) == (
        None,
        "",
    )


def test_a_contradiction_tells_reason_and_remedy_apart() -> None:
    error = ContradictionError("two barriers are called 'Rill'.", "Rename one.")
    assert (error.what, error.remedy) == ("two barriers are called 'Rill'.", "Rename one.")
    assert str(error) == "two barriers are called 'Rill'. Rename one."


def test_of_very_many_problems_the_first_are_told_and_all_are_kept() -> None:
    problems = tuple(Problem(f"line {i}", "is wrong.") for i in range(80_000))
    error = FlightFileError("f.toml", problems)
    lines = str(error).splitlines()
    assert (lines[0], lines[-1]) == (
        "f.toml: 80000 problems", "  ... and 79900 more: mend these first.",
    )  # fmt: skip
    assert len(lines) == 102
    assert error.problems == problems
