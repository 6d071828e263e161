"""Odd pairs: whose plug is whose, and two trackers that cannot both be right."""

import pytest

from farglide.track.oddpair import disagreement_suspicions, mixed_up_suspicions
from farglide.track.received import Oddity

from .received_by_hand import AWAY, ON_THE_HAND, received, source

CAR = source("car receiver", of="car")
SECOND = source("second")


def test_a_receiver_that_moves_with_the_car_is_not_the_gliders() -> None:
    now = received(north_m=5000.0, height_m=520.0, speed_mps=20.0)
    car = received(north_m=5030.0, height_m=521.0, feed=CAR)
    (one,) = mixed_up_suspicions(now, (car,), AWAY)
    assert one.oddity is Oddity.CAR
    assert one.what == "tracker moves with car receiver, at 72 km/h."
    assert "the glider would be in the car" in one.changes


@pytest.mark.parametrize(("speed_mps", "how"), [(20.0, "moves on"), (0.0, "stays on")])
def test_a_receiver_that_stays_below_while_another_climbs(speed_mps: float, how: str) -> None:
    now = received(north_m=5000.0, height_m=520.0, speed_mps=speed_mps)
    (one,) = mixed_up_suspicions(now, (received(feed=SECOND, height_m=6000.0),), AWAY)
    assert one.what == f"tracker {how} the ground while second is 6000 m high."


def test_a_car_that_flies() -> None:
    (one,) = mixed_up_suspicions(received(feed=CAR, height_m=4000.0), (), AWAY)
    assert one.what == "car receiver, said to be in the car, is 4000 m high."
    assert not list(mixed_up_suspicions(received(feed=CAR, height_m=900.0), (), AWAY))


def test_before_the_launch_everything_is_in_the_car() -> None:
    now = received(height_m=520.0, speed_mps=20.0)
    assert not list(mixed_up_suspicions(now, (received(height_m=521.0, feed=CAR),), ON_THE_HAND))


@pytest.mark.parametrize(
    "other",
    [
        received(north_m=400.0, height_m=521.0, feed=CAR),
        received(-300.0, height_m=521.0, feed=CAR),
        received(height_m=121.0, feed=CAR),
        received(-300.0, feed=SECOND, height_m=6000.0),
        received(feed=SECOND, height_m=None),
        received(feed=SECOND, height_m=1400.0),
    ],
)
def test_a_car_elsewhere_or_an_old_fix_says_nothing(other) -> None:  # type: ignore[no-untyped-def]
    now = received(height_m=520.0, speed_mps=6.0)
    assert not list(mixed_up_suspicions(now, (other,), AWAY))


def test_a_glider_that_stands_below_the_second_tracker_alone_is_no_car() -> None:
    now = received(height_m=3000.0, speed_mps=20.0)
    assert not list(mixed_up_suspicions(now, (received(feed=SECOND, height_m=9000.0),), AWAY))


def test_two_trackers_farther_apart_than_both_their_doubts() -> None:
    now, other = received(speed_mps=20.0), received(-10.0, north_m=300.0, feed=SECOND)
    (one,) = disagreement_suspicions(now, other)
    assert one.oddity is Oddity.DISAGREE
    assert one.what == "tracker and second are 300 m apart; their doubts allow 242 m."
    assert one.remedy.startswith("Both are kept.")


@pytest.mark.parametrize(
    "other",
    [
        received(-10.0, north_m=200.0, feed=SECOND),
        received(-10.0, north_m=300.0, feed=source("rough", error_m=100.0)),
        received(-300.0, north_m=3000.0, feed=SECOND),
        received(north_m=3000.0, feed=CAR),
    ],
)
def test_what_doubt_or_time_explains_is_no_disagreement(other) -> None:  # type: ignore[no-untyped-def]
    assert not list(disagreement_suspicions(received(speed_mps=20.0), other))


def test_without_a_speed_the_wind_of_a_jet_is_allowed() -> None:
    now, other = received(), received(-10.0, north_m=600.0, feed=SECOND)
    assert not list(disagreement_suspicions(now, other))
    assert list(disagreement_suspicions(now, received(-10.0, north_m=700.0, feed=SECOND)))
