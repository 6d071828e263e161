"""Advised: what advice told of bursts, places and chances, beside how it came."""

from dataclasses import replace

import pytest

from farglide.chances.ensemble import Ensemble
from farglide.outlook.ascent import Spread
from farglide.outlook.freshness import Freshness
from farglide.review.advised import advice_promises, stated_of
from farglide.review.landing import Landed
from farglide.review.parted import Parted, parted

from .made import Made, advice, been

HOME = Landed(True, "Harrowend strip", 8000.0)


def parts_of(planned: Ensemble, made: Made) -> Parted:
    return parted(made.flown, planned.sortie.launch, planned.air.scene)


def test_bursts_told_at_whole_heights_are_not_judged_by_a_release(
    planned: Ensemble, as_told: Made
) -> None:
    told = [advice(900.0 * k) for k in range(1, 6)]
    rows = list(advice_promises(planned, parts_of(planned, as_told), told))
    assert [one.told for one in rows] == [f"at {km} km, 8 in 10" for km in (5, 10, 15, 20, 25)]
    assert {one.within for one in rows} == {"unjudged"}


def test_a_burst_that_may_never_come_is_no_promise(planned: Ensemble, as_told: Made) -> None:
    none = Spread(p10=28_000.0, p50=float("nan"), p90=float("nan"))
    leaking = advice(900.0)
    leaking = replace(leaking, burst=replace(leaking.burst, amsl_m=none))
    assert not list(advice_promises(planned, parts_of(planned, as_told), [leaking]))


def test_a_place_that_was_guessed_is_held_against_where_it_was(
    planned: Ensemble, as_told: Made
) -> None:
    parts = parts_of(planned, as_told)
    guess = replace(advice(3000.0), data=Freshness.GUESSED)
    late = replace(advice(99_000.0), data=Freshness.UNKNOWN)
    rows = [one for one in advice_promises(planned, parts, [guess, late])
            if one.what == "off its place"]  # fmt: skip
    assert len(rows) == 1
    assert rows[0].told == "T+50, no fix"
    assert rows[0].came is not None
    assert (rows[0].half_high, rows[0].most_high, rows[0].within) == (100.0, 250.0, "outside")


def test_chances_of_a_burst_are_taken_once_in_their_own_minutes(
    planned: Ensemble, as_told: Made
) -> None:
    told = [advice(100.0 * k) for k in range(1, 44)]
    found = [one for one in stated_of(parts_of(planned, as_told), HOME, told, 3)
             if "burst" in one.what]  # fmt: skip
    times = [one.after_launch_s for one in found]
    assert times == [100.0 + 300.0 * k for k in range(14)]
    assert {(one.came, one.chance_ratio, one.flight) for one in found} == {(False, 0.1, 3)}


def test_a_burst_comes_true_in_its_last_minutes() -> None:
    flight = Parted(carried=been([0.0, 4000.0], [240.0, 27_000.0]), freed=been([], []),
                    ended="burst", why="marked", top_m=27_000.0)  # fmt: skip
    found = list(stated_of(flight, HOME, [advice(3400.0), advice(3800.0), advice(4100.0)], 0))
    assert [(one.after_launch_s, one.came) for one in found] == [(3400.0, False), (3800.0, True)]


@pytest.mark.parametrize(("field", "name", "came"), [
    ("Harrowend strip", "Harrowend strip", True), ("Brackmoor", "Brackmoor", True),
    ("", "Harrowend strip", False),
])  # fmt: skip
def test_the_chance_of_the_field_flown_to(
    planned: Ensemble, as_told: Made, field: str, name: str, came: bool
) -> None:
    told = [advice(4450.0, chance=0.7)]
    found = list(stated_of(parts_of(planned, as_told), Landed(True, field, 8000.0), told, 0))
    homes = [one for one in found if one.what.endswith("let go then")]
    assert [(one.what.partition(",")[0], one.came) for one in homes] == [(name, came)]


def test_nothing_is_stated_where_nobody_knows(planned: Ensemble, as_told: Made) -> None:
    parts, told = parts_of(planned, as_told), [advice(4450.0)]
    assert not list(stated_of(parts, Landed(False, "", None), told, 0))
    assert not list(stated_of(parts, HOME, [advice(3000.0)], 0))[1:]
    nowhere = replace(parts, carried=been([], []))
    assert not list(stated_of(nowhere, HOME, told, 0))
