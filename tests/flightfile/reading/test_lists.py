"""List keys: names, files, pairs and outlines, read or refused."""

from datetime import time

import pytest

from farglide.errors import Problem
from farglide.flightfile.reading.lists import (
    PairTable,
    read_files,
    read_names,
    read_outline,
    read_pairs,
    with_clock_words,
)
from farglide.flightfile.reading.reader import Reader

CURVE = PairTable(
    key="curve",
    n_rows=(2, 3),
    shape="a list of 2 or 3 pairs",
    example="Write curve = [[1, 2], [3, 4]].",
    first=(-70.0, 75.0),
    second=(0.0, 1.0),
    allowed="-70 to 75, 0 to 1",
    slip="Shares are up to 1.",
    unsorted="first numbers",
    sort="Sort them.",
)


def reader(key: str, value: object) -> tuple[Reader, list[Problem]]:
    problems: list[Problem] = []
    return Reader("[kite]", {key: value}, problems), problems


def test_names_lose_spaces_and_repeats() -> None:
    one, problems = reader("needs", [" feed  cable", "Feed cable", "pin"])
    assert read_names(one, "needs") == ("feed cable", "pin")
    assert read_names(one, "others") == ()
    assert not problems


@pytest.mark.parametrize("value", ["pin", ["pin"] * 41, [1], [""], ["x" * 61], ["a\nb\0"]])
def test_what_is_no_list_of_names_is_refused(value: object) -> None:
    one, problems = reader("needs", value)
    assert read_names(one, "needs") == ()
    assert problems
    assert problems[0].remedy == 'Write needs = ["car receiver", "feed cable"].'


def test_files_are_names_and_asked_for_where_the_section_is_there() -> None:
    one, problems = reader("files", ["a.tif", "b.tif"])
    assert read_files(one, "ground.tif") == ("a.tif", "b.tif")
    assert not problems
    for value in (3, [3], [""]):
        one, problems = reader("files", value)
        assert read_files(one, "ground.tif") == ()
        assert problems[0].remedy == 'Write files = ["ground.tif", "another"].'
    one, problems = reader("void_m", 0)
    assert read_files(one, "ground.tif") == ()
    assert str(problems[0]) == (
        '[kite] files: is missing. Write files = ["ground.tif"], or take [kite] out.'
    )


def test_pairs_are_numbers_in_rising_order() -> None:
    one, problems = reader("curve", [[-20, 0.6], [20, 1]])
    assert read_pairs(one, CURVE) == ((-20.0, 0.6), (20.0, 1.0))
    assert read_pairs(Reader("[kite]", {}, problems), CURVE) is None
    assert not problems


@pytest.mark.parametrize(
    ("value", "problem"),
    [
        (5, "is 5, not a list of 2 or 3 pairs. Write curve = [[1, 2], [3, 4]]."),
        ([[1, 0.2]], "is [[1, 0.2]], not a list of 2 or 3 pairs. Write curve = [[1, 2], [3, 4]]."),
        ([[1, 0.2], [2, True]], "row 2 is [2, True], not two numbers. "
         "Write curve = [[1, 2], [3, 4]]."),
        ([[1, 0.2], 3], "row 2 is 3, not two numbers. Write curve = [[1, 2], [3, 4]]."),
        ([[1, 0.2], [2, 10**400]], "row 2 is"),
        ([[1, 0.2], [2, 5]], "row 2 is [2, 5]; allowed: -70 to 75, 0 to 1. Shares are up to 1."),
        ([[2, 0.2], [2, 0.5]], "has first numbers that do not rise. Sort them."),
    ],
)  # fmt: skip
def test_pairs_of_another_shape_are_refused(value: object, problem: str) -> None:
    one, problems = reader("curve", value)
    read_pairs(one, CURVE)
    assert len(problems) == 1
    assert str(problems[0]).startswith(f"[kite] curve: {problem}")


@pytest.mark.parametrize(
    ("value", "words"),
    [
        ("round", "not a list of corners"),
        ([], "not a list of corners"),
        ([[1, 2], [1]], "corner 2 is [1], not two numbers"),
        ([[91, 2]], "Are they swapped?"),
        ([[91, 181]], "longitude -180 to 180"),
        ([[float("nan"), 1]], "longitude -180 to 180"),
    ],
)
def test_outlines_of_another_shape_are_refused(value: object, words: str) -> None:
    one, problems = reader("outline", value)
    assert read_outline(one) == ()
    assert len(problems) == 1
    assert words in str(problems[0])


def test_an_outline_is_its_corners() -> None:
    one, problems = reader("outline", [[1, 2], [3, 4], [5, 6]])
    assert read_outline(one) == ((1.0, 2.0), (3.0, 4.0), (5.0, 6.0))
    assert read_outline(Reader("[kite]", {}, problems)) == ()
    assert not problems


def test_a_time_of_day_is_text() -> None:
    assert with_clock_words({"at": time(7, 5)}, "at") == {"at": "07:05"}
    assert with_clock_words({"at": "dusk"}, "at") == {"at": "dusk"}
