"""Causes of a bad picture: by Bayes's rule, held against hand cases."""

from dataclasses import replace

import pytest

from farglide.errors import InputError
from farglide.flightfile.flightfile import FlightFile
from farglide.live.asked.causes import DISTANCE, LENS, OVERHEAD, OWN, SENDER, grade_found
from farglide.live.asked.situation import Situation
from farglide.live.asked.stands import stands_now
from farglide.outlook.askedcar import GradeFound, Heard, StandNow


@pytest.fixture(scope="module")
def stand(asked: Situation) -> StandNow:
    return next(one for one in stands_now(asked) if one.name == "Wether Knap")


def found(stand: StandNow, seen: int, flight: FlightFile) -> GradeFound:
    told = grade_found(stand, seen, flight.sortie.links)
    assert told is not None
    return told


def chance(told: GradeFound, cause: str) -> float:
    return next((one.chance_ratio for one in told.causes if one.cause == cause), 0.0)


def test_chances_are_shares_and_the_likeliest_stands_first(
    stand: StandNow, demo_flight: FlightFile
) -> None:
    for seen in range(6):
        told = found(stand, seen, demo_flight)
        shares = [one.chance_ratio for one in told.causes]
        assert sum(shares) == pytest.approx(1.0)
        assert shares == sorted(shares, reverse=True)
        assert told.test_of != DISTANCE


def test_a_picture_as_expected_is_distance_and_one_far_below_is_not(
    stand: StandNow, demo_flight: FlightFile
) -> None:
    as_expected = found(stand, 3, demo_flight)  # +5.5 dB, grade 3
    assert as_expected.causes[0].cause == DISTANCE
    assert as_expected.least_db == 0.0
    worse = found(stand, 1, demo_flight)
    assert chance(worse, DISTANCE) < 0.05
    assert worse.least_db == pytest.approx(5.5 + 4.6 / 3.0, abs=0.2)  # 25.4 dB: 4.6 below, 3 each
    assert worse.most_db is not None


def test_bayes_by_hand(stand: StandNow, demo_flight: FlightFile) -> None:
    """Lens 0.05 x 0.25 and sender 0.07 x 0.04 at grade 2: whatever else, their ratio is 4.46."""
    told = found(stand, 2, demo_flight)
    assert chance(told, LENS) / chance(told, SENDER) == pytest.approx(0.0125 / 0.0028)


def test_nothing_that_fails_makes_a_picture_better_than_its_link(
    stand: StandNow, demo_flight: FlightFile
) -> None:
    """A link 9 dB below its budget shows no picture: seen as 3, it is the budget that is off."""
    weak = replace(
        stand, links=(replace(stand.links[0], margin_db=-9.0, grade=0), *stand.links[1:])
    )
    told = found(weak, 3, demo_flight)
    assert told.expected_grade < told.seen_grade
    assert told.causes[0].cause == DISTANCE
    assert chance(told, LENS) < 0.1


def test_overhead_counts_where_it_stands_so_high(stand: StandNow, demo_flight: FlightFile) -> None:
    low, high = (found(replace(stand, elevation_deg=deg), 1, demo_flight) for deg in (38.0, 80.0))
    assert chance(high, OVERHEAD) > 5.0 * chance(low, OVERHEAD)


def test_without_a_command_link_no_own_sender_disturbs(
    stand: StandNow, demo_flight: FlightFile
) -> None:
    alone = replace(stand, links=stand.links[:1])
    assert chance(found(alone, 1, demo_flight), OWN) == 0.0
    assert chance(found(stand, 1, demo_flight), OWN) > 0.0


def test_none_at_all_points_to_the_sender_and_has_no_upper_end(
    stand: StandNow, demo_flight: FlightFile
) -> None:
    told = found(stand, 0, demo_flight)
    assert told.most_db is None
    assert chance(told, SENDER) > chance(found(stand, 1, demo_flight), SENDER)


def test_what_is_missing_shortens_the_reach(stand: StandNow, demo_flight: FlightFile) -> None:
    """The demo reaches 80 km, 40 km with 6 dB less."""
    full = found(replace(stand, links=(replace(stand.links[0], margin_db=30.0),)), 5, demo_flight)
    assert full.reach_m == pytest.approx(80_000.0, rel=0.01)
    told = found(stand, 1, demo_flight)
    assert told.reach_m == pytest.approx(80_000.0 * 10.0 ** (-told.least_db / 20.0), rel=0.01)


def test_without_a_picture_link_nothing_is_said(stand: StandNow, demo_flight: FlightFile) -> None:
    command = Heard(purpose="command", margin_db=9.0, sd_db=4.0, holds_ratio=0.9, grade=None)
    assert grade_found(replace(stand, links=(command,)), 3, demo_flight.sortie.links) is None


def test_a_grade_that_is_none_is_refused(stand: StandNow, demo_flight: FlightFile) -> None:
    with pytest.raises(InputError, match="seen_grade"):
        grade_found(stand, 7, demo_flight.sortie.links)
