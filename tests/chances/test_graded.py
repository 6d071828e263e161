"""Graded pictures: a link's offset by Bayes, true at its rate, and used where the link counts."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.chances.ensemble import Ensemble
from farglide.chances.graded import VIEWER_DB, Graded, offset_by, with_grades
from farglide.radio.picture import grade_of


def test_grades_find_the_offset_and_are_true_at_their_rate() -> None:
    """Links off as their spread says, graded by viewers who are off by theirs."""
    rng = np.random.default_rng(4)
    apart, sds = [], []
    for _ in range(400):
        true_db = 8.0 * rng.standard_normal()
        expected = rng.uniform(0.0, 25.0, 8)
        seen = [
            grade_of(float(z + true_db + VIEWER_DB * rng.standard_normal()), is_digital=False)
            for z in expected
        ]
        found = offset_by(expected, seen, False, 8.0)
        apart.append((true_db - found.mean_db) / found.sd_db)
        sds.append(found.sd_db)
    assert np.mean(apart) == pytest.approx(0.0, abs=0.2)
    assert np.std(apart) == pytest.approx(1.0, abs=0.12)
    assert np.mean(sds) < 4.0


def test_a_clear_picture_far_above_its_threshold_tells_little() -> None:
    found = offset_by(np.array([45.0]), [5], False, 8.0)
    assert found.mean_db == pytest.approx(0.0, abs=0.3)
    assert found.sd_db == pytest.approx(8.0, rel=0.03)


def test_no_picture_where_one_should_be_is_a_weak_link() -> None:
    analogue = offset_by(np.array([20.0]), [0], False, 8.0)
    assert analogue.mean_db < -20.0
    digital = offset_by(np.array([10.0, 10.0, 10.0]), [3, 3, 3], True, 8.0)
    assert digital.mean_db == pytest.approx(-8.5, abs=1.5)


def test_the_link_moves_by_what_was_seen_of_it(heard_demo: Ensemble) -> None:
    assert heard_demo.listening is not None
    row = heard_demo.listening.rows("picture")[0]
    high = Graded(600.0, 0, 3000.0, 0.0005, 0.0005, 2)
    later = [high._replace(t_s=600.0 + 120.0 * k) for k in range(4)]
    moved, told = with_grades(heard_demo, later)
    assert told is not None
    assert moved.listening is not None
    was, now = heard_demo.listening.waves, moved.listening.waves
    assert told.link == heard_demo.sortie.links[row].name
    assert told.offset_db < -5.0
    assert now.near_db[row] == pytest.approx(was.near_db[row] + told.offset_db)
    assert now.sd_db[row] == told.offset_sd_db < was.sd_db[row]
    others = [k for k in range(len(was.sd_db)) if k != row]
    np.testing.assert_array_equal(now.near_db[others], was.near_db[others])
    _, alone = with_grades(heard_demo, [high, high._replace(t_s=610.0)])
    assert alone is not None
    assert alone.offset_sd_db > told.offset_sd_db


def test_without_grades_or_links_nothing_moves(heard_demo: Ensemble) -> None:
    assert with_grades(heard_demo, []) == (heard_demo, None)
    deaf = replace(heard_demo, listening=None)
    grade = Graded(600.0, 0, 3000.0, 0.0, 0.0, 2)
    assert with_grades(deaf, [grade]) == (deaf, None)
