"""Picture: from a grade that is seen back to the decibels that are missing."""

import math

import numpy as np
import pytest

from farglide.errors import InputError
from farglide.radio.picture import (
    bounded_margin_db,
    grade_of,
    picture_seen,
)


def test_a_loss_lies_between_what_its_grade_leaves_open() -> None:
    rng = np.random.default_rng(11)
    for _ in range(500):
        expected_db, loss_db = rng.uniform(-10.0, 30.0), rng.uniform(0.0, 25.0)
        for is_digital in (False, True):
            grade = grade_of(expected_db - loss_db, is_digital)
            seen = picture_seen(expected_db, grade, is_digital)
            assert seen.least_db <= loss_db + 1e-9
            assert seen.most_db >= loss_db - 1e-9


def test_a_picture_as_expected_may_miss_nothing() -> None:
    for expected_db in (-2.0, 0.0, 5.6, 12.0):
        seen = picture_seen(expected_db, grade_of(expected_db, is_digital=False), is_digital=False)
        assert seen.least_db == 0.0
    # better than expected: nothing is missing
    assert picture_seen(1.0, 5, is_digital=False) == (0.0, 0.0)


def test_a_strong_link_loses_decibels_that_no_eye_sees() -> None:
    assert picture_seen(25.0, 5, is_digital=False).most_db == pytest.approx(9.5)
    assert picture_seen(25.0, 5, is_digital=True).most_db == pytest.approx(22.0)


def test_without_a_picture_the_loss_has_no_upper_end() -> None:
    assert picture_seen(5.0, 0, is_digital=False).most_db == math.inf
    # a digital picture that freezes is on its cliff, whatever the viewer calls it
    spans = {picture_seen(10.0, grade, is_digital=True) for grade in (1, 2, 3, 4)}
    assert spans == {(7.0, 10.0)}


@pytest.mark.parametrize("grade", [-1, 6, 3.5])
def test_a_grade_that_there_is_not_is_refused(grade: float) -> None:
    with pytest.raises(InputError, match="seen_grade"):
        picture_seen(5.0, grade, is_digital=False)  # type: ignore[arg-type]


def test_a_margin_that_cannot_be_is_refused() -> None:
    with pytest.raises(InputError, match="margin_db"):
        picture_seen(float("nan"), 3, is_digital=False)


@pytest.mark.parametrize(
    ("margin_db", "bounded_db"), [(-500.0, -100.0), (7.0, 7.0), (900.0, 200.0)]
)
def test_far_out_nothing_changes_any_more(margin_db: float, bounded_db: float) -> None:
    assert bounded_margin_db(margin_db) == bounded_db
    for is_digital in (True, False):
        assert grade_of(margin_db, is_digital) == grade_of(bounded_db, is_digital)
