"""Advised: what advice told of bursts, places and chances, beside how it came."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.chances.ensemble import Ensemble
from farglide.outlook.advice import Advice, Waited
from farglide.outlook.ascent import Spread
from farglide.outlook.freshness import Freshness
from farglide.outlook.review import Ended
from farglide.review.advised import Outcome, advice_promises, stated_of
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
    found = [one for one in stated_of(Outcome(parts_of(planned, as_told), HOME), told, 3)
             if "burst" in one.what]  # fmt: skip
    times = [one.after_launch_s for one in found]
    assert times == [100.0 + 300.0 * k for k in range(14)]
    assert {(one.came, one.chance_ratio, one.flight) for one in found} == {(False, 0.1, 3)}


def test_a_burst_comes_true_in_its_last_minutes() -> None:
    flight = Parted(carried=been([0.0, 4000.0], [240.0, 27_000.0]), freed=been([], []),
                    ended="burst", why="marked", top_m=27_000.0)  # fmt: skip
    told = [advice(3400.0), advice(3800.0), advice(4100.0)]
    found = list(stated_of(Outcome(flight, HOME), told, 0))
    assert [(one.after_launch_s, one.came) for one in found] == [(3400.0, False), (3800.0, True)]


@pytest.mark.parametrize(("field", "name", "came"), [
    ("Harrowend strip", "Harrowend strip", True), ("Brackmoor", "Brackmoor", True),
    ("", "Harrowend strip", False),
])  # fmt: skip
def test_the_chance_of_the_field_flown_to(
    planned: Ensemble, as_told: Made, field: str, name: str, came: bool
) -> None:
    told = [advice(4450.0, chance=0.7)]
    outcome = Outcome(parts_of(planned, as_told), Landed(True, field, 8000.0))
    found = list(stated_of(outcome, told, 0))
    homes = [one for one in found if one.what.endswith("let go then")]
    assert [(one.what.partition(",")[0], one.came) for one in homes] == [(name, came)]


def test_nothing_is_stated_where_nobody_knows(planned: Ensemble, as_told: Made) -> None:
    parts, told = parts_of(planned, as_told), [advice(4450.0)]
    assert not list(stated_of(Outcome(parts, Landed(False, "", None)), told, 0))
    assert not list(stated_of(Outcome(parts, HOME), [advice(3000.0)], 0))[1:]
    nowhere = replace(parts, carried=been([], []))
    assert not list(stated_of(Outcome(nowhere, HOME), told, 0))


def ends(ended: Ended, until_s: float) -> Parted:
    """Return a flight that was carried until a moment."""
    return Parted(carried=been([0.0, until_s], [240.0, 27_000.0]), freed=been([], []),
                  ended=ended, why="marked", top_m=27_000.0)  # fmt: skip


def test_a_wait_that_a_release_could_cut_is_left_out_however_it_came() -> None:
    """The release is due by 4600 s: a wait from 4350 s on would end after it."""
    told = [advice(3900.0), advice(4350.0)]
    for flight in (ends("released", 4600.0), ends("burst", 4500.0), ends("burst", 4650.0)):
        found = list(stated_of(Outcome(flight, Landed(False, "", None)), told, 0))
        assert [one.after_launch_s for one in found] == [3900.0]
    sent = Outcome(ends("burst", 4150.0), HOME, sent_s=4100.0)  # it burst before the pin moved
    assert not list(stated_of(sent, told, 0))
    sooner = advice(4000.0)
    assert sooner.release is not None
    sooner = replace(sooner, release=replace(sooner.release, release_by_after_launch_s=4150.0))
    burst = Outcome(ends("burst", 4120.0), HOME)
    assert [one.came for one in stated_of(burst, told, 0)] == [True]
    assert not list(stated_of(burst, [told[0], sooner], 0))


@pytest.mark.parametrize("hazard_per_s", [1.0 / 400.0, 1.0 / 1500.0])
def test_chances_of_a_burst_come_true_as_told_whoever_lets_go(hazard_per_s: float) -> None:
    """Bursts at an even rate, released when due: of the waits counted the told share comes."""
    rng, chance = np.random.default_rng(4), -np.expm1(-300.0 * hazard_per_s)
    told, came = list[float](), list[bool]()
    for _ in range(2000):
        burst_s, due_s = 2000.0 + rng.exponential(1.0 / hazard_per_s), rng.uniform(2100.0, 3500.0)
        end_s = min(burst_s, due_s)
        advices = [due_by(at_s, due_s, chance) for at_s in np.arange(2000.0, end_s, 60.0).tolist()]
        flight = ends("burst" if burst_s < due_s else "released", end_s)
        rows = list(stated_of(Outcome(flight, Landed(False, "", None)), advices, 0))
        told += [one.chance_ratio for one in rows]
        came += [one.came for one in rows]
    sd = (chance * (1.0 - chance) / len(came)) ** 0.5
    assert np.mean(came) == pytest.approx(np.mean(told), abs=3.0 * sd)
    assert sd < 0.02


def due_by(at_s: float, due_s: float, chance: float) -> Advice:
    """Return an advice with a release due, and one chance of a burst within five minutes."""
    one = advice(at_s)
    assert one.release is not None
    wait = Waited(seconds=300.0, chance_ratio=0.7, climbed_m=1500.0, burst_ratio=chance)
    release = replace(one.release, release_by_after_launch_s=due_s)
    return replace(one, release=release, waiting=(wait,))
