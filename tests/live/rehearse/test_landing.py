"""Landing: on which field, how far off, with how much time in hand."""

from collections.abc import Callable

import pytest

from farglide.chances.ensemble import Ensemble
from farglide.live.rehearse.flown import let_go, turned
from farglide.live.rehearse.landing import landing_of
from farglide.live.rehearse.lifted import lifted
from farglide.live.rehearse.truth import Truth

Make = Callable[..., Truth]


def test_home_in_time_is_on_its_field_with_time_in_hand(low: Ensemble, truth: Make) -> None:
    made = truth(low)
    flown = let_go(made, lifted(made), 76.0 * 60.0, 0)
    found = landing_of(made, flown, 0)
    assert (found.field, found.is_on_field, found.n_turns) == ("Harrowend strip", True, 0)
    assert found.away_m == pytest.approx(flown.away_m)
    assert found.in_hand_s == made.end_s - flown.low_s > 0.0


def test_short_of_its_field_the_nearest_is_told(low: Ensemble, truth: Make) -> None:
    made = truth(low)
    flown = let_go(made, lifted(made), 55.0 * 60.0, 0)
    found = landing_of(made, flown, 0)
    assert not found.is_on_field
    assert found.away_m <= flown.away_m
    assert found.in_hand_s == made.end_s - flown.path.end_s


def test_another_field_is_the_one_it_lies_on(low: Ensemble, truth: Make) -> None:
    made = truth(low)
    names = [one.name for one in made.sortie.fields]
    first = let_go(made, lifted(made), 76.0 * 60.0, 0)
    flown = turned(made, first, 80.0 * 60.0, names.index("Corrand strip"))
    found = landing_of(made, flown, 1)
    assert (found.field, found.is_on_field, found.n_turns) == ("Corrand strip", True, 1)
