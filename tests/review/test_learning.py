"""Learning: numbers pooled by key and gear, kept where nothing tells, and slips asked about."""

from dataclasses import replace

import pytest

from farglide.review.learning import learned_of, questions_of
from farglide.review.pooled import Belief, Shown
from farglide.review.said import ASCENT, EXACT, Said

DRAG = Said(
    key="balloon.drag_factor",
    spread_key="balloon.drag_factor_spread_ratio",
    what="drag",
    unit="",
    gear="May",
    belief=Belief(1.0, 0.1, 0.5),
    shown=Shown(0.9, 0.02),
    why="",
)


def test_flights_of_one_batch_are_pooled_and_others_are_not() -> None:
    june = replace(DRAG, gear="June", shown=Shown(1.2, 0.02))
    may, other = learned_of([[DRAG], [june], [replace(DRAG, shown=Shown(0.88, 0.02))]])
    assert (may.gear, may.n_told, other.gear, other.n_told) == ("May", 2, "June", 1)
    one = learned_of([[DRAG]])[0]
    assert may.use < one.use < 1.0
    assert may.use_sd < one.use_sd < 0.11
    assert (may.was, may.was_sd) == (0.88, 0.02)
    assert may.spread == pytest.approx(may.use_sd / may.use)


def test_what_no_flight_tells_is_kept_and_says_why() -> None:
    found = learned_of([[replace(DRAG, shown=None, why="no climb was seen: kept")]])[0]
    assert (found.use, found.use_sd, found.n_told) == (1.0, 0.1, 0)
    assert (found.was, found.between_sd, found.why) == (None, None, "no climb was seen: kept")


def test_an_older_flight_tells_where_the_newest_does_not() -> None:
    found = learned_of([[DRAG], [replace(DRAG, shown=None, why="no climb was seen: kept")]])[0]
    assert (found.n_told, found.was, found.why) == (1, 0.9, "")


def test_the_newest_file_says_what_was_thought() -> None:
    found = learned_of([[DRAG], [replace(DRAG, belief=Belief(0.95, 0.05, 0.5))]])[0]
    assert (found.thought, found.thought_sd) == (0.95, 0.05)


def test_a_number_taken_as_exact_stays() -> None:
    exact = replace(DRAG, belief=Belief(1.0, 0.0, 0.5), why=EXACT)
    found = learned_of([[exact]])[0]
    assert (found.use, found.use_sd, found.between_sd, found.why) == (1.0, 0.0, None, EXACT)


def test_spreads_stand_as_the_file_states_them() -> None:
    by_climb = learned_of([[replace(DRAG, spread_key=ASCENT)]])[0]
    assert by_climb.spread == pytest.approx(0.5 * by_climb.use_sd / by_climb.use)
    link = learned_of([[replace(DRAG, spread_key="links[picture].spread_db")]])[0]
    assert link.spread == link.use_sd


def test_one_sided_flights_are_counted() -> None:
    whole = replace(DRAG, shown=Shown(0.5, 0.02, at_least=True))
    found = learned_of([[whole], [whole]])[0]
    assert (found.n_told, found.n_at_least, found.was_at_least) == (2, 2, True)


def test_what_is_twice_as_much_is_asked_about() -> None:
    far = replace(DRAG, shown=Shown(2.3, 0.1))
    assert questions_of([[far]]) == (
        "drag of May: 2.3 against 1 believed. Was it that flight's gear?",
    )
    assert questions_of([[DRAG]]) == ()
    decibels = replace(far, key="links[picture].offset_db")
    assert questions_of([[decibels, replace(far, shown=None)]]) == ()
